// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"lozenge/geometry"
)

// Screen is the size of the projected picture in pixels.
type Screen struct {
	Width  int `json:"width"`
	Height int `json:"height"`
}

// The sizes that are believed to be a projector's: from 320 x 200, the
// smallest ever sold, to twice 8K.
const (
	leastWidth, leastHeight = 320, 200
	mostPixels              = 16384
)

var pairText = regexp.MustCompile(`^([0-9]{1,6}) *[xX×] *([0-9]{1,6})$`)

// parsePair reads two whole numbers with an x between them.
func parsePair(text string) (a, b int, ok bool) {
	m := pairText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, 0, false
	}
	a, _ = strconv.Atoi(m[1]) // at most six digits
	b, _ = strconv.Atoi(m[2])
	return a, b, true
}

// ParseScreen reads a size such as 1920x1080. The error says what to write.
func ParseScreen(text string) (Screen, error) {
	width, height, ok := parsePair(text)
	s := Screen{width, height}
	if !ok {
		return s, fmt.Errorf("%q is not the size of a screen; write its width and height in pixels, such as 1920x1080", text)
	}
	return s, s.Validate()
}

// Validate returns an error for a size that no projector has.
func (s Screen) Validate() error {
	if s.Width < leastWidth || s.Height < leastHeight || s.Width > mostPixels || s.Height > mostPixels {
		return fmt.Errorf("a screen of %v pixels is not believed; give the projector's own resolution (%dx%d to %dx%d), as its menu or the computer's display settings show it",
			s, leastWidth, leastHeight, mostPixels, mostPixels)
	}
	return nil
}

// String returns the size as 1920x1080.
func (s Screen) String() string { return fmt.Sprintf("%dx%d", s.Width, s.Height) }

// Centre returns the middle of the screen, in pixels.
func (s Screen) Centre() geometry.Point {
	return geometry.Point{X: float64(s.Width) / 2, Y: float64(s.Height) / 2}
}

// Radius returns half the diagonal, in pixels: the R of the model.
func (s Screen) Radius() float64 { return math.Hypot(float64(s.Width), float64(s.Height)) / 2 }

// Holds reports whether the place (u, v) lies on the screen or on its rim.
func (s Screen) Holds(u, v float64) bool {
	return u >= 0 && v >= 0 && u <= float64(s.Width) && v <= float64(s.Height)
}

// bounds returns the screen as a rectangle in (u, v).
func (s Screen) bounds() geometry.Rect {
	return geometry.Rect{Max: geometry.Point{X: float64(s.Width), Y: float64(s.Height)}}
}

// normal returns p of the model for a place in pixels.
func (s Screen) normal(u, v float64) (px, py float64) {
	c, r := s.Centre(), s.Radius()
	return (u - c.X) / r, (v - c.Y) / r
}

// pixels undoes normal.
func (s Screen) pixels(px, py float64) (u, v float64) {
	c, r := s.Centre(), s.Radius()
	return c.X + float64(px*r), c.Y + float64(py*r)
}
