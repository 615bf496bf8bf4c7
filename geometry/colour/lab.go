// SPDX-License-Identifier: Apache-2.0

package colour

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// RGB is red, green and blue of the standard colour space of screens, sRGB
// (IEC 61966-2-1).
type RGB [3]uint8

// Lab is a colour in CIE 1976 L*a*b* (ISO/CIE 11664-4) seen in daylight, D65,
// in thousandths: L from 0 for black to 100,000 for white; A from green to
// red and B from blue to yellow, 0 for greys.
type Lab struct{ L, A, B int }

// white is the white of sRGB, x = 0.3127 and y = 0.3290 (IEC 61966-2-1), as X,
// Y, Z: x/y, 1, (1-x-y)/y. Against it every grey has A = B = 0.
var white = [3]float64{0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290}

// LabOf returns a colour as it looks.
func LabOf(c RGB) Lab {
	l, a, b := colorful.Color{R: float64(c[0]) / 255, G: float64(c[1]) / 255, B: float64(c[2]) / 255}.LabWhiteRef(white)
	return Lab{thousandths(l), thousandths(a), thousandths(b)}
}

// thousandths takes a value of the library, whose L runs from 0 to 1.
func thousandths(v float64) int { return int(math.Round(100_000 * v)) }

// Apart returns the square of the CIE 1976 colour difference, the distance in
// CIELAB, in millionths: 1,000,000 is a difference of 1.
func (c Lab) Apart(d Lab) int {
	l, a, b := c.L-d.L, c.A-d.A, c.B-d.B
	return l*l + a*a + b*b
}
