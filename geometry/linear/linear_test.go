// SPDX-License-Identifier: Apache-2.0

package linear_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"lozenge/geometry/linear"
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
		var start []linear.Column
		for i := range right {
			right[i] = float64(rapid.IntRange(0, 20).Draw(t, "right"))
			start = append(start, linear.Column{Cost: 1000, Row: []int32{int32(i)}, Entry: []float64{1}})
		}
		p := linear.New(right, start)
		a := mat.NewDense(m, m+n, nil)
		cost := make([]float64, m+n)
		for i := range m {
			a.Set(i, i, 1)
			cost[i] = 1000
		}
		for j := range n {
			c := linear.Column{Cost: float64(rapid.IntRange(0, 9).Draw(t, "cost"))}
			for i := range m {
				if v := number("entry"); v != 0 {
					c.Row, c.Entry = append(c.Row, int32(i)), append(c.Entry, v)
					a.Set(i, m+j, v)
				}
			}
			cost[m+j] = c.Cost
			p.Add(c)
		}
		want, _, err := lp.Simplex(cost, a, right, 1e-10, nil)
		if err != nil {
			t.Skip(err) // it refuses some that are degenerate
		}
		if !p.Optimise(1000) {
			t.Fatal("no end")
		}
		got, dual := 0.0, 0.0
		for j, v := range p.Levels() {
			if v < -1e-7 {
				t.Fatalf("column %d at %v", j, v)
			}
			got += p.Columns[j].Cost * v
		}
		for i, b := range right {
			dual += p.Duals[i] * b
		}
		for j := range p.Columns {
			if r := p.Reduced(&p.Columns[j]); r < -1e-6 {
				t.Fatalf("column %d could lower the cost by %v", j, r)
			}
		}
		if math.Abs(got-want) > 1e-6*(1+math.Abs(want)) || math.Abs(dual-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("cost %v, duals %v; gonum finds %v", got, dual, want)
		}
	})
}
