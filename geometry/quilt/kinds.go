// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// neater returns an answer as good in which the edge triangles that don't match
// come from nearer, with fewer different rows of cuts.
func (s *shading) neater(a *shade) *shade {
	near := -1
	m := s.model(a.of, wish{all: a.all, loose: a.loose, zoned: true, as: a})
	steps := nearWork / m.Work()
	if got := m.Solve(math.Inf(1), &steps); got.Values != nil {
		if b := s.asided(m.answer(got)); b.aside <= a.aside {
			a, near = b, int(got.Cost)
		}
	}
	if near < 0 {
		return a
	}
	steps = kindSteps
	return s.fewerKinds(a, near, &steps)
}

// kind is a row of cuts: an option and the lean of the strip sets.
type kind struct {
	lean   geometry.Lean
	option int
}

// kinds returns the different rows of cuts, those of which there are fewest
// first.
func (a *shade) kinds() (out []kind) {
	number := map[kind]int{}
	for i, l := range a.lots {
		for j, n := range a.cut[i] {
			if k := (kind{l.lean, j}); n > 0 {
				if number[k] == 0 {
					out = append(out, k)
				}
				number[k] += n
			}
		}
	}
	slices.SortStableFunc(out, func(a, b kind) int {
		return cmp.Or(cmp.Compare(number[a], number[b]), cmp.Compare(a.option, b.option), cmp.Compare(a.lean, b.lean))
	})
	return out
}

// fewerKinds looks for an answer as good with fewer different rows of cuts:
// without one of them, or with another one in place of two.
func (s *shading) fewerKinds(a *shade, near int, steps *int) *shade {
	// with returns an answer with these kinds only.
	with := func(kinds []kind) *shade {
		m := s.model(a.of, wish{all: a.all, loose: a.loose, zoned: true, as: a, near: near, allowed: func(lean geometry.Lean, option int) bool { return slices.Contains(kinds, kind{lean, option}) }})
		if got := m.Solve(float64(near)+0.5, steps); got.Values != nil {
			if b := s.asided(m.answer(got)); b.aside <= a.aside {
				return b
			}
		}
		return nil
	}
	better := func() *shade {
		for _, kinds := range s.fewer(a.kinds()) {
			if *steps <= 0 {
				return nil
			}
			if b := with(kinds); b != nil {
				return b
			}
		}
		return nil
	}
	for b := better(); b != nil; b = better() {
		a = b
	}
	return a
}

// fewer returns ways to have one kind less: without one of them, or with another
// one in place of two.
func (s *shading) fewer(kinds []kind) (out [][]kind) {
	without := func(drop ...int) (rest []kind) {
		for j, k := range kinds {
			if !slices.Contains(drop, j) {
				rest = append(rest, k)
			}
		}
		return rest
	}
	for i := range kinds {
		out = append(out, without(i))
	}
	for i := range kinds {
		for j := range i {
			for option := range s.options {
				for _, lean := range geometry.Leans {
					if k := (kind{lean, option}); !slices.Contains(kinds, k) {
						out = append(out, append(without(i, j), k))
					}
				}
			}
		}
	}
	return out
}
