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
	Length  float64  // of its strips as they are sewn, end trim included; 0: as [Plan.SetLength] has it
	Spare   float64  // how much longer its strips could be
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

// FromScraps reports whether the strip sets come from a scrap bin.
func (p *Plan) FromScraps() bool { return p.sewn != nil }

// WithStripSets returns a copy of the plan whose strip sets are these, in
// cutting order, and whose pieces are cut from them. Together they must give
// what the quilt needs. bill says from which scraps they are cut; nothing of the
// strips' fabrics is bought.
func (p *Plan) WithStripSets(sets []Sewn, bill []Whole) *Plan {
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
	q.Cutting, q.Cloth, q.CommonLength, q.BandsCost, q.Savings = bill, p.ofScraps(bill), 0, 0, Savings{Together: together(q.Fewest.Layouts)}
	q.Pieces = slices.Clone(p.Pieces)
	q.assign()
	return &q
}

// ofScraps returns what a bill of scraps comes to: nothing is bought.
func (p *Plan) ofScraps(bill []Whole) (out []Cloth) {
	for _, key := range p.Spec.StripFabrics() {
		c := Cloth{Fabric: p.Spec.fabric(key), PerStrip: 1}
		c.Unit = Scraps.String()
		for number, colour := range c.Colours {
			one := ColourCloth{Colour: colour, Number: number}
			one.Unit = c.Unit
			for _, w := range bill {
				if w.Fabric != key || w.Number != number {
					continue
				}
				for _, s := range w.Strips {
					one.Strips += w.Times * s.Count
					one.Length += float64(float64(w.Times*s.Count) * s.Length)
				}
			}
			if one.Strips > 0 {
				c.ByColour = append(c.ByColour, one)
				c.Strips, c.Length, c.Pieces = c.Strips+one.Strips, c.Length+one.Length, c.Pieces+one.Strips
			}
		}
		out = append(out, c)
	}
	return out
}
