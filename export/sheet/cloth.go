// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// Cloth returns where the strips of a strip set lie, lowest first, with the
// left end of the first one to begin at x = 0 and the lower edge at y = 0:
// what shows of each, seam to seam. start is where on it the row begins:
// behind what the end loses when it is trued. In a staggered strip set the
// first cut begins at the end of a strip.
func Cloth(p *quilt.Plan, like quilt.Like, row strip.Row) (strips []geometry.Rect, start float64) {
	length := like.Length
	for i, band := range row.Set.Bands() {
		left := 0.0
		if like.Staggered {
			left = row.Set.Offset(i)
			if row.Lean == geometry.Left {
				left = row.Set.Offset(len(row.Set.Cuts)-1) - left
			}
		}
		strips = append(strips, geometry.Rect{Min: geometry.Point{X: left, Y: band[0]}, Max: geometry.Point{X: left + length, Y: band[1]}})
	}
	start = p.Spec.EndTrim
	if first := row.Cuts()[0].Line; like.Staggered && row.Lean == geometry.Right {
		start -= first.A.X
	} else if like.Staggered {
		start -= first.B.X
	}
	return strips, start
}

// Seams returns the seams between strips that lie on each other.
func Seams(strips []geometry.Rect) []geometry.Segment {
	var out []geometry.Segment
	for i := 1; i < len(strips); i++ {
		below, above := strips[i-1], strips[i]
		out = append(out, geometry.Segment{
			A: geometry.Point{X: max(above.Min.X, below.Min.X), Y: above.Min.Y},
			B: geometry.Point{X: min(above.Max.X, below.Max.X), Y: above.Min.Y},
		})
	}
	return out
}

// colours returns the colours of the strips of each strip set, lowest first; where
// there is no strip set, those of one that there could be.
func colours(p *quilt.Plan) [][]quilt.Colour {
	out := make([][]quilt.Colour, max(len(p.Fewest.Layouts), 1))
	for k := range out {
		out[k] = p.Colours(k)
	}
	return out
}
