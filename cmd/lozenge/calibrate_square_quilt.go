// SPDX-License-Identifier: Apache-2.0

package main

import (
	"math"
	"strconv"

	"lozenge/calibrate"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// atScale is a quilt whose pieces were cut to a drawing at the wrong scale.
// The seam allowance is sewn as ever, so that the pieces lose or gain all of
// it in their finished size.
type atScale struct {
	cut, finished float64 // width of a diamond
	quilt         quilt.Size
}

// scaled returns the quilt at scale k of its drawing; finished sizes are 0
// where the seam allowances eat the piece up.
func scaled(p *quilt.Plan, k float64) atScale {
	cut := p.Set.Width * k
	h := max(0, cut-2*p.Set.Seam)
	ratio := h / p.Set.FinishedWidth()
	return atScale{cut, h, quilt.Size{Width: p.Finished.Width * ratio, Height: p.Finished.Height * ratio}}
}

// squareEffect says what the error does to a diamond and to the whole quilt.
func (t *text) squareEffect(r calibrate.SquareReading, s calibrate.SquareResult, p *quilt.Plan) {
	t.section("What that does to " + p.Spec.Name)
	was := t.unit
	t.unit = p.Spec.Unit
	defer func() { t.unit = was }()
	if s.Verdict == calibrate.Rejected {
		t.paragraph("  -", "Nothing can be said from readings that can't be right.")
		return
	}
	if s.Verdict == calibrate.Suspect {
		t.paragraph("  -", "If the readings are right after all:")
	}
	right := scaled(p, 1)
	low, high := scaled(p, math.Min(s.ScaleX, s.ScaleY)), scaled(p, math.Max(s.ScaleX, s.ScaleY))
	// Two scales that differ by no more than is allowed are one.
	if math.Abs(s.ScaleX-s.ScaleY)*r.Nominal <= s.Tolerance*(1+1e-9) {
		low = scaled(p, (s.ScaleX+s.ScaleY)/2)
		high = low
	}
	between := func(a, b float64) string {
		if a == b {
			return t.length(a)
		}
		return t.length(a) + " to " + t.length(b)
	}
	t.row("a diamond", "is cut %s wide instead of %s", between(low.cut, high.cut), t.length(right.cut))
	t.row("", "and finishes %s wide instead of %s, seams of %s as ever", between(low.finished, high.finished), t.length(right.finished), t.length(p.Set.Seam))
	if low != high {
		t.row("", "by how it lies on the drawing")
	}
	if lean := math.Sin(s.SkewDegrees * math.Pi / 180); math.Abs(lean*r.Nominal) > s.Tolerance*(1+1e-9) {
		t.row("", "its corners come out up to %.1f degrees off, and rows don't lie straight", math.Abs(s.SkewDegrees))
	}
	t.row("the quilt", "%s wide instead of %s: %s", between(low.quilt.Width, high.quilt.Width), t.length(right.quilt.Width), t.miss(low.quilt.Width, high.quilt.Width, right.quilt.Width, "narrow", "wide"))
	t.row("", "%s high instead of %s: %s", between(low.quilt.Height, high.quilt.Height), t.length(right.quilt.Height), t.miss(low.quilt.Height, high.quilt.Height, right.quilt.Height, "low", "high"))
	hidden := scaled(p, 1+s.Resolution)
	longest := max(hidden.quilt.Width-right.quilt.Width, hidden.quilt.Height-right.quilt.Height)
	t.row("unseen", "an error of %.1f %%, too small to be read, makes %s of the quilt's longer side", 100*s.Resolution, t.length(longest))
	t.printDialog(r, s, p)
}

// miss says by how much a quilt misses its size.
func (t *text) miss(low, high, want float64, less, more string) string {
	off := func(v float64) string {
		switch d := v - want; {
		case math.Abs(d) < t.unit.Of(1./64, 0.05):
			return "as it should be"
		case d < 0:
			return t.length(-d) + " too " + less
		default:
			return t.length(d) + " too " + more
		}
	}
	if low == high {
		return off(low)
	}
	return off(low) + " to " + off(high)
}

// printDialog gives the figure to type, and what a dialog that takes whole
// numbers leaves.
func (t *text) printDialog(r calibrate.SquareReading, s calibrate.SquareResult, p *quilt.Plan) {
	if r.Purpose != calibrate.ForPrint || known(s.Percent) == nil {
		return
	}
	t.row("print dialog", "type %s %% for what is 100 %% now", strconv.FormatFloat(s.Percent, 'f', 2, 64))
	whole := math.Round(s.Percent)
	if math.Abs(whole-s.Percent) < 0.005 {
		return
	}
	left := scaled(p, whole/s.Percent)
	off := max(math.Abs(left.quilt.Width-p.Finished.Width), math.Abs(left.quilt.Height-p.Finished.Height))
	t.row("", "if it takes whole numbers only, %.0f %% leaves the quilt %s off", whole, geometry.FormatLength(off, p.Spec.Unit))
}
