// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Bed is what a cutter takes: a sheet, the margin to keep clear all round, and
// the gap between rows.
type Bed struct {
	Width, Height float64
	Margin, Gap   float64
}

// MaxSide is the longest side of a sheet, in inches: longer than any table.
const MaxSide = 1200

// minGap is the least gap that a blade can leave, in inches: what is narrower
// is neither one cut nor two.
const minGap = 1.0 / 64

// Validate returns a [*geometry.Error] or nil. Lengths are in u.
func (b Bed) Validate(u geometry.Unit) error {
	length := func(v float64) string { return geometry.FormatLength(v, u) }
	short := min(b.Width, b.Height)
	switch {
	case !(short > 0) || math.IsInf(b.Width, 0) || math.IsInf(b.Height, 0):
		return geometry.Wrong("sheet", fmt.Sprintf("%s by %s is not a size", length(b.Width), length(b.Height)), "give both sides, as 12x24in")
	case u.Inches(max(b.Width, b.Height)) > MaxSide:
		return geometry.Wrong("sheet", fmt.Sprintf("%s is longer than any cutting table", length(max(b.Width, b.Height))), "check the unit")
	case !(b.Margin >= 0):
		return geometry.Wrong("margin", fmt.Sprintf("%s is less than nothing", length(b.Margin)), "give 0 or more")
	case !(b.Margin < short/2):
		return geometry.Wrong("margin", fmt.Sprintf("%s on every side leaves nothing of a sheet %s by %s", length(b.Margin), length(b.Width), length(b.Height)), "make it smaller than half of the sheet")
	case !(b.Gap >= 0) || math.IsInf(b.Gap, 0):
		return geometry.Wrong("gap", fmt.Sprintf("%s is less than nothing", length(b.Gap)), "give 0 or more; at 0 rows share a cut")
	case b.Gap > 0 && u.Inches(b.Gap) < minGap-geometry.Fit:
		return geometry.Wrong("gap", "it is too narrow to cut on both sides", "give 0, so that rows share a cut, or at least 1/64 in (0.04 cm)")
	}
	return nil
}

// whole is the sheet.
func (b Bed) whole() geometry.Rect {
	return geometry.Rect{Max: geometry.Point{X: b.Width, Y: b.Height}}
}

// inside is what the margin leaves.
func (b Bed) inside() geometry.Rect { return b.whole().Inset(b.Margin) }

// rows returns how many rows of that height fit above each other.
func (b Bed) rows(height float64) int {
	room := b.inside().Height()
	n := int(max(math.Floor((room+b.Gap)/(height+b.Gap)), 0)) + 1
	for n > 0 && !geometry.Fits(float64(float64(n)*height)+float64(float64(n-1)*b.Gap), room) {
		n--
	}
	return n
}

// along returns how long a strip is that lies along the sheet, inside the
// margin, of one that is longest long.
func (b Bed) along(longest float64) float64 { return min(b.inside().Width(), longest) }

// holds reports whether a piece fits on a strip of that length, laid along
// the sheet.
func (b Bed) holds(set strip.Set, shape geometry.Shape, length float64) bool {
	width := set.Piece(shape, geometry.Right).Outline.Bounds().Width()
	return b.rows(set.Width) > 0 && geometry.Fits(width, length)
}

// TooLarge is a piece that fits on none of the sheets.
type TooLarge struct {
	Shape         geometry.Shape
	Width, Height float64 // as it lies along the sheet
	Beds          []Bed
}

// Error names the piece.
func (e *TooLarge) Error() string {
	return fmt.Sprintf("a %s fits on no sheet", e.Shape)
}

func tooLarge(set strip.Set, shape geometry.Shape, beds []Bed) error {
	width := set.Piece(shape, geometry.Right).Outline.Bounds().Width()
	return &TooLarge{shape, width, set.Width, beds}
}
