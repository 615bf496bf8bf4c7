// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"slices"

	"lozenge/geometry/strip"
)

// Sewn is a strip set that is sewn from what is there, in place of one that
// the planner chose.
type Sewn struct {
	strip.Layout
	Colours []Colour // of each strip, lowest first; nil: as [Plan.Colours] has them
	Names   []string // what those are called; nil or "": as the pattern calls them, or the nearest keyword of CSS
	// Bands are the combinations of bands that the pieces join for which the
	// strip set is sewn: the number of that of each strip, lowest first, as
	// [Plan.Band] has it. Strip sets that share one share all. Only the bands
	// order asks.
	Bands [][]int
	// Turn is where the strip set stands from the dark end of a gradient to the
	// light one; where all are 0 they stand on a walk through their colours.
	// Strip sets of the same colours stand side by side.
	Turn int
}

// WithStripSets returns a copy of the plan whose strip sets are these, in
// cutting order, and whose pieces are cut from them. Together they must give
// what the quilt needs. What to buy of the strips' fabrics is left out, since
// these strip sets are not cut from bought cloth.
func (p *Plan) WithStripSets(sets []Sewn) *Plan {
	q := *p
	q.sewn, q.wanted = slices.Clone(sets), nil
	q.sew(sewing{Fewest: strip.Fewest{Possible: [2]bool{true, true}}})
	for _, s := range sets {
		q.Fewest.Layouts = append(q.Fewest.Layouts, s.Layout)
	}
	if slices.ContainsFunc(sets, func(s Sewn) bool { return s.Turn != 0 }) {
		for k := range sets {
			q.order = append(q.order, k)
		}
		slices.SortStableFunc(q.order, func(a, b int) int { return cmp.Compare(sets[a].Turn, sets[b].Turn) })
	}
	q.Cutting, q.Cloth, q.CommonLength = nil, nil, 0
	q.Notes = q.Spec.notes()
	q.Pieces = slices.Clone(p.Pieces)
	q.assign()
	return &q
}
