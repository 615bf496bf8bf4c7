// SPDX-License-Identifier: Apache-2.0

// Package sheet draws a quilt: its picture, the strip sets with their cut lines,
// pieces for cutters and dies, and the diagrams and labels for sewing.
package sheet

import (
	"maps"
	"slices"

	"lozenge/export/draw"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// pen draws what belongs to a quilt.
type pen struct{ *draw.Pen }

func newPen(unit geometry.Unit, title, note string) *pen {
	return &pen{draw.NewPen(unit, title, note)}
}

// say returns words to be put somewhere, behind swatches of what they name.
func say(words string, swatches ...[]string) draw.Named {
	return draw.Named{Text: draw.Text{Value: words}, Swatches: swatches}
}

// values returns words alone.
func values(lines []draw.Named) (out []string) {
	for _, l := range lines {
		out = append(out, l.Value)
	}
	return out
}

// named puts words so high with their left end, or the swatches before them, at at.
func (d *pen) named(at geometry.Point, height float64, n draw.Named) {
	n.At, n.Height = at, height
	d.PutNamed(draw.Plain, n)
}

// pour fills areas of each colour, the colours in order of their names.
func (d *pen) pour(areas map[quilt.Colour][]geometry.Polygon) {
	for _, c := range slices.SortedFunc(maps.Keys(areas), func(a, b quilt.Colour) int { return slices.Compare(a[:], b[:]) }) {
		d.Fill(c.String(), areas[c])
	}
}
