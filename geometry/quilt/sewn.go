// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"

	"lozenge/geometry/strip"
)

// Sewn is a strip set that is sewn from what is there, in place of one that
// the planner chose.
type Sewn struct {
	strip.Layout
	Colours []Colour // of each strip, lowest first; nil: as [Spec.Colours] has them
}

// WithStripSets returns a copy of the plan whose strip sets are these, in
// cutting order, and whose pieces are cut from them. Together they must give
// what the quilt needs. What to buy of the strips' fabrics is left out, since
// these strip sets are not cut from bought cloth.
func (p *Plan) WithStripSets(sets []Sewn) *Plan {
	q := *p
	q.sewn = slices.Clone(sets)
	q.Fewest = strip.Fewest{Possible: [2]bool{true, true}}
	for _, s := range sets {
		q.Fewest.Layouts = append(q.Fewest.Layouts, s.Layout)
	}
	q.Cloth, q.CommonLength = nil, 0
	q.Pieces = slices.Clone(p.Pieces)
	assign(q.Pieces, q.Fewest.Layouts, q.Spec)
	return &q
}
