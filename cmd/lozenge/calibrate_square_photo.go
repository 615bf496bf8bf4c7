// SPDX-License-Identifier: Apache-2.0

package main

import (
	"errors"
	"fmt"
	"math"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/geometry"
)

// squareInPhoto measures the square in the photo. Where she measured nothing
// herself the photo's lengths are the reading.
func (t talk) squareInPhoto(f squareFlags, r *calibrate.SquareReading) (*photo.Square, error) {
	o := photo.Options{}
	var err error
	if o.Step, o.Fine, err = photo.ParseGrid(f.grid); err != nil {
		return nil, usagef("--grid: %v", err)
	}
	im, err := photographAt(f.photo, t.in)
	if err != nil {
		return nil, err
	}
	seen, err := photo.ReadSquare(im, r.Nominal, o)
	var refused *photo.Refusal
	if errors.As(err, &refused) {
		return nil, &answerNo{fmt.Sprintf("%s: %s", f.photo, refused.Text)}
	}
	if err == nil && r.Width == 0 {
		*r = seen.Reading(r.Nominal, r.Unit)
	}
	return seen, err
}

// squareSeen says what the photo shows of the square, and what it can't.
func (t *text) squareSeen(r calibrate.SquareReading, s calibrate.SquareResult, seen *photo.Square) {
	length := func(v float64) string { return geometry.FormatLength(r.Unit.FromInches(v), r.Unit) }
	t.section("In the photo, against the mat's own lines")
	t.row("sides", "bottom %s, right %s, top %s, left %s", length(seen.Bottom), length(seen.Right), length(seen.Top), length(seen.Left))
	t.row("diagonals", "%s from the bottom-left corner, %s from the bottom-right", length(seen.Rising), length(seen.Falling))
	if r.Width == seen.Bottom {
		t.paragraph("  -", "Bottom is what lies nearest the photo's lower edge. A photo can't see whether the mat's own lines are true: measure one side with a steel rule, too.")
		return
	}
	grid := (r.Width + r.Height + r.Diagonal1 + r.Diagonal2) / (seen.Bottom + seen.Left + seen.Rising + seen.Falling)
	if off := math.Abs(grid-1) * r.Nominal; off <= s.Tolerance {
		t.paragraph("  -", "Your rule and the mat's lines agree.")
		return
	}
	t.paragraph("  -", fmt.Sprintf("By your rule the mat's lines are %.2f %% as far apart as they should be, or the rule or one of the two readings is wrong. Pieces come out as the mat's lines are.", 100*grid))
}
