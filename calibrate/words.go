// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"
	"strconv"
	"strings"

	"lozenge/geometry"
)

// WriteReading writes a length on the mat, given in inches, as it is read
// off: to the nearest 1/32 in (18 3/32) or to half a millimetre (45.95). The
// unit is not written.
func WriteReading(inches float64, u geometry.Unit) string {
	if !finite(inches) || math.Abs(inches) > 1e6 {
		return "unknown"
	}
	if u == geometry.Centimetre {
		half := math.Round(u.FromInches(inches)*20) / 20
		return strconv.FormatFloat(half+0, 'f', -1, 64)
	}
	return geometry.FormatFraction(inches, 32)
}

// Crosses writes "cross 3" or "crosses 3, 5 and 9".
func Crosses(points []int) string {
	var words []string
	for _, p := range points {
		words = append(words, strconv.Itoa(p))
	}
	last := len(words) - 1
	if last == 0 {
		return "cross " + words[0]
	}
	return "crosses " + strings.Join(words[:last], ", ") + " and " + words[last]
}

// length writes a length with its unit.
func length(inches float64, u geometry.Unit) string {
	return WriteReading(inches, u) + " " + u.String()
}

// percent writes a part of 1 as 103.09 %, without needless zeros.
func percent(v float64) string {
	text := strconv.FormatFloat(v*100, 'f', 2, 64)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".") + " %"
}

// about writes a length for the eye: two decimals of an inch, one of a
// centimetre.
func about(inches float64, u geometry.Unit) string {
	if u == geometry.Centimetre {
		return strconv.FormatFloat(u.FromInches(inches), 'f', 1, 64) + " cm"
	}
	return strconv.FormatFloat(inches, 'f', 2, 64) + " in"
}

// times writes "12 times".
func times(v float64) string {
	if !(v < 1000) {
		return "more than 1000 times"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " times"
}

// many returns the plural of the unit's name.
func many(u geometry.Unit) string {
	if u == geometry.Centimetre {
		return "centimetres"
	}
	return "inches"
}
