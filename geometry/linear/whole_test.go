// SPDX-License-Identifier: Apache-2.0

package linear_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/linear"
)

// Small programs in whole numbers have the least cost that trying everything
// finds: each variable is at most 4, so that there is an end to it.
func TestWholeAgainstTryingEverything(t *testing.T) {
	const most = 4
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "variables")
		var w linear.Whole
		cost := make([]int, n)
		for i := range n {
			cost[i] = rapid.IntRange(-5, 5).Draw(t, "cost")
			w.Require([]linear.Term{{Variable: w.Variable(float64(cost[i])), Factor: 1}}, linear.AtMost, most)
		}
		type rule struct {
			factors []int
			sense   linear.Sense
			right   int
		}
		var rules []rule
		for range rapid.IntRange(0, 4).Draw(t, "rules") {
			r := rule{sense: linear.Sense(rapid.IntRange(0, 2).Draw(t, "sense")), right: rapid.IntRange(-6, 12).Draw(t, "right")}
			var terms []linear.Term
			for i := range n {
				r.factors = append(r.factors, rapid.IntRange(-3, 4).Draw(t, "factor"))
				terms = append(terms, linear.Term{Variable: i, Factor: float64(r.factors[i])})
			}
			rules = append(rules, r)
			w.Require(terms, r.sense, float64(r.right))
		}
		keeps := func(x []int) bool {
			for _, r := range rules {
				sum := -r.right
				for i, f := range r.factors {
					sum += f * x[i]
				}
				if r.sense == linear.AtMost && sum > 0 || r.sense == linear.Exactly && sum != 0 || r.sense == linear.AtLeast && sum < 0 {
					return false
				}
			}
			return true
		}
		priced := func(x []int) (sum int) {
			for i, c := range cost {
				sum += c * x[i]
			}
			return sum
		}
		least, found := 0, false
		x := make([]int, n)
		var try func(i int)
		try = func(i int) {
			if i < n {
				for x[i] = 0; x[i] <= most; x[i]++ {
					try(i + 1)
				}
			} else if keeps(x) && (!found || priced(x) < least) {
				least, found = priced(x), true
			}
		}
		try(0)
		steps := 100_000
		got := w.Solve(math.Inf(1), &steps)
		if !got.Proven || (got.Values != nil) != found {
			t.Fatalf("%+v; trying everything: %d, found %v", got, least, found)
		}
		if !found {
			return
		}
		if !keeps(got.Values) || priced(got.Values) != least || got.Cost != float64(least) || got.Bound > got.Cost {
			t.Fatalf("%+v, kept %v; trying everything: %d", got, keeps(got.Values), least)
		}
	})
}

// A step prices every entry of the rules: a program of few rules about many
// variables costs more than its rules say.
func TestWork(t *testing.T) {
	var w linear.Whole
	var terms []linear.Term
	for range 1000 {
		terms = append(terms, linear.Term{Variable: w.Variable(1), Factor: 1})
	}
	for range 5 {
		w.Require(terms, linear.AtLeast, 1)
	}
	if got := w.Work(); got < 5*1000 {
		t.Errorf("a step is said to cost %d, but prices 5000 entries", got)
	}
}
