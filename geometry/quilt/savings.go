// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Savings is what other ways of cutting would need. A number is 0 when the
// way can't be taken or is taken already.
type Savings struct {
	MixedLeans int // strip sets in all, with both leans cut from one
	Staggered  int // strip sets in all, with strips sewn offset
	// Together: cuts saved by laying a right- and a left-leaning strip set
	// right sides together, each cut giving a piece of either lean.
	Together int
}

func (p *Plan) savings(length float64) Savings {
	if !p.Fewest.OK() {
		return Savings{}
	}
	s := Savings{Together: together(p.Fewest.Layouts)}
	if p.Spec.Angle == 60 && !p.Spec.MixLeans && p.Spec.Layout.BothLeans() {
		mixed := p.terms(length)
		mixed.MixLeans = true
		s.MixedLeans = len(p.fewest(p.groups, mixed).Layouts) + p.fewer
	}
	if len(p.Set.Cuts) > 1 && !p.Spec.Stagger {
		offset := p.terms(length)
		offset.Stagger = true
		s.Staggered = len(p.fewest(p.groups, offset).Layouts) + p.fewer
	}
	return s
}

// together pairs strip sets of the two leans, the longest rows first, and
// counts the cuts that one of each pair saves. Only diamonds can lie on each
// other: an edge triangle's two sides are cut of both leans.
func together(layouts []strip.Layout) int {
	var cuts [2][]int
	for _, l := range layouts {
		if n := len(l.Word); l.Gives[l.Lean][geometry.Diamond] == n {
			cuts[l.Lean] = append(cuts[l.Lean], n+1)
		}
	}
	for _, c := range cuts {
		slices.Sort(c)
		slices.Reverse(c)
	}
	saved := 0
	for i := range min(len(cuts[0]), len(cuts[1])) {
		saved += min(cuts[0][i], cuts[1][i])
	}
	return saved
}
