// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// What is left is worth keeping from 2 in (5 cm) of length and 1 in (2.5 cm) of
// width on (common practice, no source).
func (b *bin) keep() (width, length float64) {
	u := b.plan.Spec.Unit
	return u.Of(1, 2.5), u.Of(mostLeft, mostLeftCentimetres)
}

// rest returns what is left of the scraps: those that are not cut as they are, of
// the others the ends of their strips and what is not cut into strips.
func (b *bin) rest(c *cutPlan) (out []quilt.Leftover) {
	type copied struct{ scrap, copied int }
	used := c.used(len(c.strips))
	width := map[copied]float64{} // that is cut into strips
	cutOf := map[int]float64{}    // width of each strip that is used
	for _, s := range c.sets {
		for i, id := range s.ids {
			cutOf[id] = max(cutOf[id], b.plan.Spec.Strips[i].Cut)
		}
	}
	for id, cut := range cutOf {
		width[copied{c.strips[id].scrap, c.strips[id].copied}] += cut
	}
	leastWidth, leastLength := b.keep()
	add := func(scrap int, width, length float64) {
		if width < leastWidth-geometry.Fit || length < leastLength-geometry.Fit {
			return
		}
		s := b.scraps[scrap]
		for i := range out {
			if o := &out[i]; o.Fabric == s.Fabric && o.Name == s.Name && sameColour(o.Colour, s.Colour) && same(o.Width, width) && same(o.Length, length) {
				o.Count++
				return
			}
		}
		out = append(out, quilt.Leftover{Fabric: s.Fabric, Name: s.Name, Colour: s.Colour, Width: width, Length: length, Count: 1})
	}
	for id, s := range c.strips {
		if cutOf[id] > 0 {
			add(s.scrap, cutOf[id], s.length-used[id])
		}
	}
	for i, s := range b.scraps {
		for k := range s.Count {
			add(i, s.Width-width[copied{i, k}], s.Length)
		}
	}
	keys := b.plan.Spec.StripFabrics()
	slices.SortStableFunc(out, func(a, b quilt.Leftover) int {
		return cmp.Or(cmp.Compare(slices.Index(keys, a.Fabric), slices.Index(keys, b.Fabric)), cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width))
	})
	return out
}

func same(a, b float64) bool { return geometry.Fits(a, b) && geometry.Fits(b, a) }

func sameColour(a, b *quilt.Colour) bool { return a == b || a != nil && b != nil && *a == *b }

// mostLacks bounds the strips that may be lacking for a larger quilt to be named.
const mostLacks = 6

// next returns the quilt with a row more and what is lacking for it; nil where that
// is much, or not known.
func (b *bin) next(size Size) *quilt.Larger {
	size.Rows++
	spec := b.plan.Spec
	need := spec.Layout.Needs()(size.Columns, size.Rows).With(spec.Spare)
	if spec.ColourOrder == quilt.Bands || need.Total() > mostNeedful {
		return nil
	}
	out := &quilt.Larger{Columns: size.Columns, Rows: size.Rows}
	strips := 0
	for _, s := range b.shortfall(need) {
		out.Lacks = append(out.Lacks, quilt.Lack{Fabric: s.Fabric, Width: s.Width, Strips: s.Strips})
		strips += len(s.Strips)
	}
	if strips == 0 || strips > mostLacks {
		return nil
	}
	return out
}
