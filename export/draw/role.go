// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"encoding/hex"
	"fmt"
	"image/color"
	"slices"
	"strings"
)

// Role is what a line is for; each has an SVG group, and those of paper a DXF
// layer, of its own.
type Role int

// The roles.
const (
	Cut    Role = iota // cut here
	Sew                // a seam runs here; never cut
	Mark               // labels, arrows, the edges of the cloth
	Square             // the calibration square
	Figure             // in a drawing that explains: nothing is cut or measured there
	LineUp             // on a screen: lay the edge of the last cut here
	Done               // on a screen: a cut that is made already
)

// String returns the name of the role's group: "cut", "sew", "mark", "square",
// "figure", "line-up" or "done".
func (r Role) String() string {
	return [...]string{"cut", "sew", "mark", "square", "figure", "line-up", "done"}[r]
}

// Style is what the lines of a role look like. Widths and dashes go with the
// width of a cut line, so that they are seen at any scale.
type Style struct {
	Role   Role
	Grey   uint8 // 0 is black; on paper
	Width  float64
	Thin   float64   // width of those that are thin
	Dash   []float64 // drawn, left out, ...; nil: lines that don't break
	Short  []float64 // likewise of those that are thin; nil: as the others
	Faint  bool      // on a screen, in the fainter colour
	Screen bool      // only on a screen
}

// styles are those of all roles in the order in which they are drawn: what is cut
// lies on top. Figures are dark, but not black, so that nobody who reads a file
// back takes them for cut lines.
var styles = [...]Style{
	{Role: Sew, Width: 1, Thin: 0.5, Dash: []float64{6, 4}, Short: []float64{1.5, 2}, Faint: true},
	{Role: Mark, Grey: 0x80, Width: 0.5, Thin: 0.25, Faint: true},
	{Role: Figure, Grey: 0x4d, Width: 1, Thin: 0.5, Faint: true},
	{Role: Done, Width: 1, Thin: 0.5, Dash: []float64{1, 4}, Faint: true, Screen: true},
	{Role: LineUp, Width: 1.5, Thin: 0.75, Dash: []float64{12, 5}, Screen: true},
	{Role: Cut, Width: 1, Thin: 0.5},
	{Role: Square, Width: 0.5, Thin: 0.5},
}

// Styles returns the styles of all roles in the order in which they are drawn.
func Styles() []Style { return slices.Clone(styles[:]) }

// Dashes returns the lengths drawn and left out for cut lines of a width, thin lines
// or others; nil for lines that don't break.
func (s Style) Dashes(line float64, thin bool) []float64 {
	dash := s.Dash
	if thin && s.Short != nil {
		dash = s.Short
	}
	var out []float64
	for _, d := range dash {
		out = append(out, d*line)
	}
	return out
}

// RGB reads a colour of the form #1f5f7a, the only one that stands in a drawing.
func RGB(s string) (c color.RGBA, err error) {
	b, err := hex.DecodeString(strings.TrimPrefix(s, "#"))
	if err != nil || len(b) != 3 || s[0] != '#' {
		return c, fmt.Errorf("colour %q is not of the form #1f5f7a", s)
	}
	return color.RGBA{b[0], b[1], b[2], 255}, nil
}

// Ink is the grey of lettering, and DarkGrey that of what is Dark: a file in
// which cut lines are only known by being black still tells them from one.
const (
	Ink      = 0x30
	DarkGrey = 0x48
)
