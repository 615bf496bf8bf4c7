// SPDX-License-Identifier: Apache-2.0

package linear

import "math"

// Whole is a program in whole numbers: the least cost of variables that are
// whole and not negative and keep a list of rules. It is solved by branch and
// bound (Land and Doig 1960) over the linear program without the wholeness,
// the branch that lies nearer first.
type Whole struct {
	cost    []float64
	rules   []rule
	entries int // of all rules
}

// Nothing is 0 of every variable.
func (w *Whole) Nothing() Solution { return Solution{Values: make([]int, len(w.cost))} }

// Work returns what a step costs: it turns an inverse, which grows with the
// square of the rules, and prices every entry of them.
func (w *Whole) Work() int { return max(len(w.rules)*len(w.rules), w.entries) }

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
	w.entries += len(terms)
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
	s := search{Whole: w, steps: steps, best: Solution{Cost: than, Proven: true, Bound: math.Inf(-1)}}
	p := s.program()
	if *steps -= 1; !p.Optimise(max(*steps, 0)) {
		*steps = 0
	}
	*steps -= p.Steps
	s.best.Bound = min(s.branch(p, *steps > 0), s.best.Cost)
	return s.best
}

type search struct {
	*Whole
	steps *int
	first int // column of the first variable
	best  Solution
	held  int // bytes of the programs to which the search may still go back
}

// mostHeld bounds those: below it the search goes on without a way back.
const mostHeld = 64 << 20

// branch searches what keeps the rules of a program that is at its best, and
// returns its bound. Not done: the steps came to their end.
func (s *search) branch(p *Program, done bool) float64 {
	if !done {
		s.best.Proven = false
		return math.Inf(-1)
	}
	values, cost := s.read(p)
	bound := math.Ceil(cost - 1e-6)
	if bound >= s.best.Cost {
		return bound
	}
	split, part := -1, 1e-6
	for i, v := range values {
		if f := v - math.Floor(v); f > part && f < 1-1e-6 {
			split, part = i, f
		}
	}
	if split < 0 {
		s.best.Values, s.best.Cost = make([]int, len(values)), bound
		for i, v := range values {
			s.best.Values[i] = int(math.Round(v))
		}
		return bound
	}
	down := math.Floor(values[split])
	limits := [2]func() *Program{
		func() *Program { return p.Limit(s.first+split, -1, -down-1) },
		func() *Program { return p.Limit(s.first+split, 1, down) },
	}
	if part < 0.3 {
		limits[0], limits[1] = limits[1], limits[0]
	}
	size := 8 * p.Rows * p.Rows
	s.held += size
	defer func() { s.held -= size }()
	for i, limit := range limits {
		if bound >= s.best.Cost {
			break // by the first branch
		}
		q := limit()
		if s.held > mostHeld {
			if s.best.Proven = false; i > 0 {
				break
			}
			p.inverse = nil
		}
		ok := q.Restore(max(*s.steps, 0))
		if *s.steps -= q.Steps + 1; ok || *s.steps <= 0 {
			s.branch(q, *s.steps > 0)
		}
	}
	return bound
}

// read returns the variables of a program and what they cost, more than
// anything where a rule is broken.
func (s *search) read(p *Program) (values []float64, cost float64) {
	levels := p.Levels()
	for i := range s.first {
		if p.Columns[i].Cost != 0 && levels[i] > 1e-7 {
			return nil, math.Inf(1)
		}
	}
	values = levels[s.first : s.first+len(s.cost)]
	for i, v := range values {
		cost += float64(v * s.cost[i])
	}
	return values, cost
}

// missing is what it costs to break a rule by one.
const missing = 1e5

// program returns the linear program.
func (s *search) program() *Program {
	m := len(s.rules)
	s.first = m
	columns := make([]Column, len(s.cost))
	for i, c := range s.cost {
		columns[i].Cost = c
	}
	right := make([]float64, m)
	start := make([]Column, m)
	var slacks []Column
	for i, r := range s.rules {
		sign := 1.0
		if r.right < 0 || r.right == 0 && r.sense == AtLeast {
			sign = -1
		}
		right[i] = float64(sign * r.right)
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
	for _, c := range append(columns, slacks...) {
		p.Add(c)
	}
	return p
}
