// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"testing"

	"pgregory.net/rapid"
)

// A lane brings in the most when all ways to cut it are tried.
func TestKnapsackIsTheDearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "classes")
		var lengths []int64
		var price []float64
		length, worth := int64(0), 0.0
		for range n {
			length += int64(rapid.IntRange(1, 9).Draw(t, "longer"))
			worth += float64(rapid.IntRange(0, 4).Draw(t, "dearer"))
			lengths, price = append(lengths, length+4), append(price, worth)
		}
		lane := int64(rapid.IntRange(0, 60).Draw(t, "lane"))
		best := make([]float64, lane+1) // by length, the plain way
		for l := range best {
			for k, v := range lengths {
				if v <= int64(l) {
					best[l] = max(best[l], price[k]+best[int64(l)-v])
				}
			}
		}
		got, atMost, classes := newKnapsack(lengths, price).best(lane)
		sum, used := 0.0, int64(0)
		for _, k := range classes {
			sum, used = sum+price[k], used+lengths[k]
		}
		if got != best[lane] || atMost < got || sum != got || used > lane {
			t.Fatalf("%v (at most %v) from %v, want %v", got, atMost, classes, best[lane])
		}
	})
}
