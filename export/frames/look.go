// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"lozenge/calibrate"
	"lozenge/geometry/quilt"
)

// Look is what frames look like.
type Look struct {
	Line, Ground quilt.Colour
	Width        float64 // of a cut line in pixels; 0: 2 on a screen 1920 across, and in proportion
}

// PlainLook is light lines on a dark ground: where nothing is drawn the
// projector lights nothing.
func PlainLook() Look { return Look{Line: quilt.Colour{255, 255, 255}} }

// Contrasts between 1 and 21 (WCAG 2.1): 4.5 is asked of text (success
// criterion 1.4.3), 3 of lines (1.4.11).
const (
	textContrast = 4.5
	lineContrast = 3.0
)

// MostWidth is the widest line, in pixels: on most mats more than 1/4 in.
const MostWidth = 20

// ParseColour reads a colour such as #1f5f7a.
func ParseColour(text string) (quilt.Colour, error) {
	digits, ok := strings.CutPrefix(text, "#")
	v, err := strconv.ParseUint(digits, 16, 32)
	if !ok || len(digits) != 6 || err != nil || strings.ContainsAny(digits, "+-_") {
		return quilt.Colour{}, fmt.Errorf("%q is not a colour; write # and six digits from 0 to f, such as #1f5f7a", text)
	}
	return quilt.Colour{uint8(v >> 16), uint8(v >> 8), uint8(v)}, nil
}

// Validate returns an error when the lines would hardly be seen, or the width
// is none.
func (l Look) Validate() error {
	if c := contrast(l.Line, l.Ground); c < textContrast {
		return fmt.Errorf("lines of %v on a ground of %v are hardly seen (their contrast is %.1f, at least %.1f is needed); make one lighter and the other darker", l.Line, l.Ground, c, textContrast)
	}
	if !(l.Width == 0 || l.Width >= 0.5 && l.Width <= MostWidth) {
		return fmt.Errorf("lines %v pixels wide do not work; take 0.5 to %d, 2 for most projectors", l.Width, MostWidth)
	}
	return nil
}

func (l Look) width(s calibrate.Screen) float64 {
	if l.Width == 0 {
		return max(1, 2*float64(s.Width)/1920)
	}
	return l.Width
}

// faint is the colour of what is not to be cut: as near the ground as lines
// may be, but no nearer than three fifths.
func (l Look) faint() quilt.Colour {
	for part := 0.6; part < 1; part += 0.05 {
		var mixed quilt.Colour
		for i := range mixed {
			mixed[i] = uint8(math.Round(part*float64(l.Line[i]) + (1-part)*float64(l.Ground[i])))
		}
		if contrast(mixed, l.Ground) >= lineContrast {
			return mixed
		}
	}
	return l.Line
}

// contrast returns the contrast ratio of two colours, 1 to 21 (WCAG 2.1,
// definitions of contrast ratio and relative luminance).
func contrast(a, b quilt.Colour) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c quilt.Colour) float64 {
	r, g, b := colorful.Color{R: float64(c[0]) / 255, G: float64(c[1]) / 255, B: float64(c[2]) / 255}.LinearRgb()
	return float64(0.2126*r) + float64(0.7152*g) + float64(0.0722*b)
}
