// SPDX-License-Identifier: Apache-2.0

package colour

// Ink is what a label is written in.
type Ink int

// The inks.
const (
	Black Ink = iota
	White
)

// RGB returns the ink's colour.
func (i Ink) RGB() RGB {
	if i == White {
		return RGB{255, 255, 255}
	}
	return RGB{}
}

// InkOn returns the ink that can be read on a colour: black on light ones,
// white on dark ones. The border lies at L* = 49.5, where a colour is as far
// from black as from white in the contrast ratio of WCAG 2.2 (W3C, success
// criterion 1.4.3), (Y1 + 0.05)/(Y2 + 0.05) with Y of white being 1: both are
// then at least 4.55, and text of any size needs 4.5.
func InkOn(c RGB) Ink {
	if LabOf(c).L < 49_500 {
		return White
	}
	return Black
}
