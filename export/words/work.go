// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// PressStarchMeasure says what is done with a strip set before it is cut.
const PressStarchMeasure = "Press the seams open, starch the strip sets, let them cool, and measure each before you cut."

// Crosscut says how the ruler is held for a crosscut.
func Crosscut(p *quilt.Plan) string {
	u := p.Spec.Unit
	return fmt.Sprintf("crosscuts at %s degrees: lay the %s line of the ruler on the last cut", Degrees(p.Spec.Angle), geometry.FormatLength(p.Set.Width, u))
}

// SeamLength writes a length of seams or of thread, rounded up to whole yards or
// metres.
func SeamLength(v float64, u geometry.Unit) string {
	yard, name := 36.0, "yd"
	if u == geometry.Centimetre {
		yard, name = 100, "m"
	}
	return fmt.Sprintf("%.0f %s", max(math.Ceil(v/yard-geometry.Fit), 0), name)
}

// WorkOf says how long all seams are, and how much thread they take.
func WorkOf(p *quilt.Plan) []string {
	w := p.Work()
	up := func(v float64) string { return SeamLength(v, p.Spec.Unit) }
	borders := ""
	if w.Borders > 0 {
		borders = ", " + up(w.Borders) + " of borders"
	}
	return []string{
		fmt.Sprintf("%s: %s within strip sets, %s between pieces (%d seams)%s; %d cuts across the strip sets", up(w.Length()), up(w.StripSets), up(w.Pieces), w.Seams, borders, w.Crosscuts),
		fmt.Sprintf("%s, three times the seams", up(w.Thread)),
	}
}
