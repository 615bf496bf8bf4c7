// SPDX-License-Identifier: Apache-2.0

package words

import (
	"cmp"
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Pattern says how a quilt is laid out and cut: the line under its name.
func Pattern(s quilt.Spec) string {
	return fmt.Sprintf("%s, cut at %s degrees, seam allowance %s, %s tips", Layout(s), Degrees(s.Angle), geometry.FormatLength(s.Seam, s.Unit), s.Tips)
}

// Layout names how the diamonds lie.
func Layout(s quilt.Spec) string { return cmp.Or(s.Layout.Setting(), "own layout") }

// SeamTest says how to find out whether seams are sewn as the plan takes them.
func SeamTest(p *quilt.Plan) string {
	trial := p.Trial()
	return fmt.Sprintf("sew short strips cut %s: pressed, they must measure %s across", List(Lengths(trial.Cuts, p.Spec.Unit)), geometry.FormatLength(trial.Total, p.Spec.Unit))
}

// Rim says which of the quilt's edges are bias.
func Rim(p *quilt.Plan) string {
	switch top, side := p.RimGrain(); {
	case quilt.Stable(top) && quilt.Stable(side):
		return "all four are on the grain"
	case quilt.Stable(top):
		return "the sides are bias"
	case quilt.Stable(side):
		return "top and bottom are bias"
	}
	return "all four are bias"
}

// RimGrain says how the quilt's edges lie to the grain and what to do about
// it.
func RimGrain(p *quilt.Plan) string {
	top, side := p.RimGrain()
	s := fmt.Sprintf("Grain: the quilt's top and bottom edges lie at %s degrees to the strips and its squared-up sides at %s: %s",
		Degrees(geometry.Angle(top)), Degrees(geometry.Angle(side)), Rim(p))
	switch {
	case quilt.Stable(top) && quilt.Stable(side):
		return s + "."
	case quilt.Stable(top) || quilt.Stable(side):
		s += "; staystitch 1/8 in (3 mm) inside them"
	default:
		s += "; staystitch 1/8 in (3 mm) inside each"
	}
	return s + " before you handle the top."
}
