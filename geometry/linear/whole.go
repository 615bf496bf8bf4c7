// SPDX-License-Identifier: Apache-2.0

package linear

import (
	"math"
	"slices"
)

// Whole is a program in whole numbers: the least cost of variables that are
// whole and not negative and keep a list of rules. It is solved by branch and
// bound (Land and Doig 1960) over the linear program without the wholeness,
// the branch that lies nearer first.
type Whole struct {
	cost  []float64
	rules []rule
}

// Term is a variable and its factor in a rule.
type Term struct {
	Variable int
	Factor   float64
}

// Sense is how a rule's sum lies to its right-hand side.
type Sense int

// The senses.
const (
	AtMost Sense = iota
	Exactly
	AtLeast
)

type rule struct {
	terms []Term
	sense Sense
	right float64
}

// Variable adds a variable and returns its number.
func (w *Whole) Variable(cost float64) int {
	w.cost = append(w.cost, cost)
	return len(w.cost) - 1
}

// Require adds a rule: the sum of the terms is at most, exactly or at least
// right.
func (w *Whole) Require(terms []Term, sense Sense, right float64) {
	w.rules = append(w.rules, rule{terms, sense, right})
}

// Solution is the best that was found.
type Solution struct {
	Values []int   // of the variables; nil when nothing was found
	Cost   float64 // of Values
	Bound  float64 // no solution costs less
	Proven bool    // the search came to its end
}

// Solve looks for whole values of the least cost, which must be below than.
// All costs are whole, so that a bound may be rounded up. It takes no more
// than so many steps of the simplex method, and takes those that it took off
// steps.
func (w *Whole) Solve(than float64, steps *int) Solution {
	s := search{Whole: w, steps: steps, best: Solution{Cost: than, Proven: true}}
	s.best.Bound = s.branch(nil)
	s.best.Bound = min(s.best.Bound, s.best.Cost)
	return s.best
}

type search struct {
	*Whole
	steps *int
	best  Solution
}

// branch searches what keeps these further rules too, and returns the bound of
// the linear program.
func (s *search) branch(further []rule) float64 {
	values, cost, ok := s.relax(further)
	if !ok {
		if *s.steps <= 0 {
			s.best.Proven = false
			return math.Inf(-1)
		}
		return math.Inf(1)
	}
	bound := math.Ceil(cost - 1e-6)
	if bound >= s.best.Cost {
		return bound
	}
	split, off := -1, 1e-6
	for i, v := range values {
		if d := math.Abs(v - math.Round(v)); d > off {
			split, off = i, d
		}
	}
	if split < 0 {
		s.best.Values, s.best.Cost = make([]int, len(values)), bound
		for i, v := range values {
			s.best.Values[i] = int(math.Round(v))
		}
		return bound
	}
	down, up := math.Floor(values[split]), math.Ceil(values[split])
	one := []Term{{split, 1}}
	ways := []rule{{one, AtLeast, up}, {one, AtMost, down}}
	if values[split]-down < 0.3 {
		slices.Reverse(ways)
	}
	for _, r := range ways {
		s.branch(append(slices.Clip(further), r))
	}
	return bound
}

// missing is what it costs to break a rule by one.
const missing = 1e5

// relax solves the linear program.
func (s *search) relax(further []rule) (values []float64, cost float64, ok bool) {
	m := len(s.rules) + len(further)
	columns := make([]Column, len(s.cost))
	for i, c := range s.cost {
		columns[i].Cost = c
	}
	right := make([]float64, m)
	start := make([]Column, m)
	var slacks []Column
	for i := range m {
		r := &rule{}
		if i < len(s.rules) {
			*r = s.rules[i]
		} else {
			*r = further[i-len(s.rules)]
		}
		sign := 1.0
		if r.right < 0 || r.right == 0 && r.sense == AtLeast {
			sign = -1
		}
		right[i] = sign * r.right
		for _, t := range r.terms {
			columns[t.Variable].Put(i, float64(sign*t.Factor))
		}
		slack := Column{Row: []int32{int32(i)}, Entry: []float64{sign}}
		if r.sense == AtLeast {
			slack.Entry[0] = -sign
		}
		if r.sense != Exactly && slack.Entry[0] > 0 {
			start[i] = slack // holds the right-hand side by itself
			continue
		}
		start[i] = Column{Cost: missing, Row: []int32{int32(i)}, Entry: []float64{1}}
		if r.sense != Exactly {
			slacks = append(slacks, slack)
		}
	}
	p := New(right, start)
	for _, c := range columns {
		p.Add(c)
	}
	for _, c := range slacks {
		p.Add(c)
	}
	done := p.Optimise(max(*s.steps, 0))
	if *s.steps -= p.Steps + 1; !done {
		*s.steps = min(*s.steps, 0)
		return nil, 0, false
	}
	levels := p.Levels()
	for i := range m {
		if start[i].Cost != 0 && levels[i] > 1e-7 {
			return nil, 0, false
		}
	}
	values = levels[m : m+len(s.cost)]
	for i, v := range values {
		cost += float64(v * s.cost[i])
	}
	return values, cost, true
}
