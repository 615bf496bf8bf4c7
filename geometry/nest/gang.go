// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// GangError says that a die would not hold so many pieces.
type GangError struct {
	Number, Most int
}

// Error says how many fit.
func (e *GangError) Error() string {
	return fmt.Sprintf("%d pieces don't fit, at most %d do", e.Number, e.Most)
}

// Gang lays n pieces beside each other for a die, in as many rows as it
// takes. Blades need room, so neighbours share no cut: they stand the bed's
// gap apart, measured square to the cut. Edge triangles are turned in turn.
// The error is a [*TooLarge] or a [*GangError].
func Gang(set strip.Set, shape geometry.Shape, lean geometry.Lean, n int, bed Bed) (Sheet, error) {
	if !bed.holds(set, shape, bed.inside().Width()) {
		return Sheet{}, tooLarge(set, shape, []Bed{bed})
	}
	each := 1
	for geometry.Fits(gangRow(set, shape, geometry.Right, each+1, bed.Gap).Length, bed.inside().Width()) {
		each++
	}
	rows := bed.rows(set.Width)
	if most := each * rows; n > most || n < 1 {
		return Sheet{}, &GangError{n, most}
	}
	s := Sheet{Bed: bed, Number: 1}
	for n > 0 {
		k := min(n, each)
		y := bed.Margin + float64(float64(len(s.Rows))*(set.Width+bed.Gap))
		s.Rows = append(s.Rows, Row{Row: gangRow(set, shape, lean, k, bed.Gap), At: geometry.Point{X: bed.Margin, Y: y}})
		n -= k
	}
	return s, nil
}

func gangRow(set strip.Set, shape geometry.Shape, lean geometry.Lean, n int, gap float64) strip.Row {
	// Along the strip two crosscuts lie gap / sin(angle) apart, two base
	// lines, at 90 degrees and half the angle to it, gap / cos(angle/2).
	crosscut := set.CutSide() + gap/set.Angle.Sin()
	base := set.BaseSpacing() + gap/(set.Angle/2).Cos()
	row := strip.Row{Set: set, Lean: lean}
	x, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for i := range n {
		if i > 0 && shape != geometry.Diamond && i%2 == 1 == (shape == geometry.LowerTriangle) {
			x += base
		} else if i > 0 {
			x += crosscut
		}
		s := shape
		if shape != geometry.Diamond && i%2 == 1 {
			s = geometry.LowerTriangle + geometry.UpperTriangle - shape
		}
		box := set.Piece(s, geometry.Right).Outline.Bounds()
		low, high = min(low, x+box.Min.X), max(high, x+box.Max.X)
		row.Pieces = append(row.Pieces, strip.Placed{Shape: s, Lean: lean, Offset: x})
		row.Word += [...]string{"D", "L", "U"}[s]
	}
	row.Length = high - low
	for i := range row.Pieces {
		p := &row.Pieces[i]
		if p.Offset -= low; lean == geometry.Left {
			p.Offset = row.Length - p.Offset
		}
	}
	return row
}
