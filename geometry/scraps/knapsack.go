// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"
)

// knapsack finds the dearest pieces that a lane can be cut into, by branch and
// bound, those dearest for their length first.
type knapsack struct {
	length []int64
	price  []float64
	dense  []float64 // price over length, falling
	class  []int
	nodes  int
	value  float64
	now    []int
	at     []int
}

// mostNodes bounds the search in one lane: beyond it the best found is
// returned, and a bound instead of the exact price.
const mostNodes = 20_000

// newKnapsack takes the price of each class of length; longer pieces are never
// cheaper.
func newKnapsack(lengths []int64, price []float64) *knapsack {
	kn := &knapsack{}
	for k, p := range price {
		if p > 1e-12 && (k == 0 || p > price[k-1]+1e-12) {
			kn.class = append(kn.class, k)
		}
	}
	slices.SortStableFunc(kn.class, func(a, b int) int {
		return cmp.Compare(price[b]/float64(lengths[b]), price[a]/float64(lengths[a]))
	})
	for _, k := range kn.class {
		kn.length = append(kn.length, lengths[k])
		kn.price = append(kn.price, price[k])
		kn.dense = append(kn.dense, price[k]/float64(lengths[k]))
	}
	return kn
}

// best returns the most that a lane brings in and the classes that it is then
// cut into. atMost is the same, or more when the search was cut short.
func (kn *knapsack) best(length int64) (value, atMost float64, classes []int) {
	kn.value, kn.at, kn.now, kn.nodes = 0, kn.at[:0], kn.now[:0], 0
	kn.search(length, 0, 0)
	atMost = kn.value
	if kn.nodes > mostNodes {
		atMost = float64(kn.dense[0] * float64(length))
	}
	return kn.value, atMost, slices.Clone(kn.at)
}

func (kn *knapsack) search(left int64, from int, value float64) {
	if kn.nodes++; kn.nodes > mostNodes {
		return
	}
	if value > kn.value+1e-12 {
		kn.value = value
		kn.at = append(kn.at[:0], kn.now...)
	}
	for i := from; i < len(kn.length); i++ {
		if value+float64(float64(left)*kn.dense[i]) <= kn.value+1e-12 {
			return
		}
		if kn.length[i] <= left {
			kn.now = append(kn.now, kn.class[i])
			kn.search(left-kn.length[i], i, value+kn.price[i])
			kn.now = kn.now[:len(kn.now)-1]
		}
	}
}
