// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// The least cost is that of gonum's simplex method, on random programs with a
// column of its own for every row to start from; and the duals prove it: no
// column costs less than they say, and they add up to the cost.
func TestSimplexAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(1, 8).Draw(t, "rows")
		n := rapid.IntRange(1, 12).Draw(t, "columns")
		number := func(what string) float64 { return float64(rapid.IntRange(-3, 9).Draw(t, what)) }
		right := make([]float64, m)
		var start []column
		for i := range right {
			right[i] = float64(rapid.IntRange(0, 20).Draw(t, "right"))
			start = append(start, column{cost: 1000, row: []int32{int32(i)}, entry: []float64{1}})
		}
		p := newProgram(right, start)
		a := mat.NewDense(m, m+n, nil)
		cost := make([]float64, m+n)
		for i := range m {
			a.Set(i, i, 1)
			cost[i] = 1000
		}
		for j := range n {
			c := column{cost: float64(rapid.IntRange(0, 9).Draw(t, "cost"))}
			for i := range m {
				if v := number("entry"); v != 0 {
					c.row, c.entry = append(c.row, int32(i)), append(c.entry, v)
					a.Set(i, m+j, v)
				}
			}
			cost[m+j] = c.cost
			p.add(c)
		}
		want, _, err := lp.Simplex(cost, a, right, 1e-10, nil)
		if err != nil {
			t.Skip(err) // it refuses some that are degenerate
		}
		if !p.optimise(1000) {
			t.Fatal("no end")
		}
		got, dual := 0.0, 0.0
		for j, v := range p.levels() {
			if v < -1e-7 {
				t.Fatalf("column %d at %v", j, v)
			}
			got += p.columns[j].cost * v
		}
		for i, b := range right {
			dual += p.duals[i] * b
		}
		for j := range p.columns {
			if r := p.reduced(&p.columns[j]); r < -1e-6 {
				t.Fatalf("column %d could lower the cost by %v", j, r)
			}
		}
		if math.Abs(got-want) > 1e-6*(1+math.Abs(want)) || math.Abs(dual-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("cost %v, duals %v; gonum finds %v", got, dual, want)
		}
	})
}

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
