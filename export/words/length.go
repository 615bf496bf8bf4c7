// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Length writes a length that is given in inches as the trade does in the unit.
func Length(inches float64, u geometry.Unit) string {
	return geometry.FormatLength(u.FromInches(inches), u)
}

// OnRuler writes a length that is given in the unit as a fine ruler shows it: to
// 1/32 in where it is a whole number of them, else as all others are written.
func OnRuler(v float64, u geometry.Unit) string {
	if parts := v * 32; u == geometry.Inch && math.Abs(parts-math.Round(parts)) < 0.01 {
		return geometry.FormatFraction(v, 32) + " in"
	}
	return geometry.FormatLength(v, u)
}

// Lengths writes lengths that are given in the unit.
func Lengths(v []float64, u geometry.Unit) []string {
	out := make([]string, len(v))
	for i, v := range v {
		out[i] = geometry.FormatLength(v, u)
	}
	return out
}

// Small writes a length that is too small for a ruler, given in inches: "0.031
// in", "0.79 mm".
func Small(inches float64, u geometry.Unit) string {
	if u == geometry.Centimetre {
		return fmt.Sprintf("%.2f mm", u.FromInches(inches)*10)
	}
	return fmt.Sprintf("%.3f in", inches)
}

// Degrees writes an angle without its unit: "60", "52.35".
func Degrees(a geometry.Angle) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(float64(a), 'f', 2, 64), "0"), ".")
}

// HowExact says how far off lines of a calibrated projector may land; nothing
// where that is not known.
func HowExact(m *calibrate.Map, u geometry.Unit) string {
	e := m.Expected()
	if !(e.P95 > 0) {
		return ""
	}
	return fmt.Sprintf("Lines land within %s of their place 19 times in 20, within %s at the worst place.", Small(e.P95, u), Small(e.Worst, u))
}
