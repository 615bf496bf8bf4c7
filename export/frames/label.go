// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"math"
	"slices"
	"strings"

	"lozenge/geometry"
)

// clear is how near a number comes to a line, in inches.
const clear = 0.08

// descenders are letters that reach below the baseline, by that part of a
// capital's height (0.21 em of 0.72 in most faces).
const (
	descenders = "gjpqy,"
	below      = 0.3
)

// labeller finds room for numbers beside lines.
type labeller struct {
	lines []geometry.Segment
	boxes []geometry.Rect
	holds func(geometry.Point) bool
}

// free reports whether a text in the box touches nothing.
func (l *labeller) free(box geometry.Rect) bool {
	wide := box.Inset(-clear)
	for _, s := range l.lines {
		if _, touches := wide.Clip(s); touches {
			return false
		}
	}
	for _, b := range l.boxes {
		if wide.Min.X < b.Max.X && wide.Max.X > b.Min.X && wide.Min.Y < b.Max.Y && wide.Max.Y > b.Min.Y {
			return false
		}
	}
	return !slices.ContainsFunc(wide.Polygon(), func(p geometry.Point) bool { return !l.holds(p) })
}

// places returns where the middle of a text so wide and high may stand, best
// first.
type places func(w, h float64) []geometry.Point

// put places a text: the first of the sizes and, of it, the first of the near
// places that is free; then the same for the far ones. When none is free the
// number still has to be somewhere: the smallest at the first place.
func (l *labeller) put(value string, sizes []float64, near, far places) Text {
	t, ok := l.try(value, sizes, near)
	if !ok {
		if u, ok := l.try(value, sizes, far); ok {
			return u
		}
	}
	return t
}

func (l *labeller) try(value string, sizes []float64, candidates places) (Text, bool) {
	var last Text
	for _, h := range sizes {
		w := width(value, h)
		for i, c := range candidates(w, h) {
			box := geometry.Rect{
				Min: c.Sub(geometry.Point{X: w / 2, Y: h / 2}),
				Max: c.Add(geometry.Point{X: w / 2, Y: h / 2}),
			}
			t := Text{At: geometry.Point{X: c.X, Y: box.Min.Y}, Height: h, Value: value, Centred: true}
			if strings.ContainsAny(value, descenders) {
				t.At.Y += below * h / 2
				box.Min.Y -= below * h / 2
				box.Max.Y += below * h / 2
			}
			if l.free(box) {
				l.boxes = append(l.boxes, box)
				return t, true
			}
			if i == 0 {
				last = t
			}
		}
	}
	return last, false
}

var numberSizes = []float64{lettering, 0.34, readable, 0.24, smallest, 0.14, 0.1}

// beside returns places beside a line across the cloth: to its right at each
// height, then to its left, then beyond its ends.
func beside(c cut, low float64, r *run) places {
	d := c.line.B.Sub(c.line.A)
	slant := math.Abs(d.X / d.Y)
	return func(w, h float64) (out []geometry.Point) {
		off := slant*(h/2+clear) + w/2 + clear + 0.03
		for _, side := range []float64{1, -1} {
			for _, y := range r.atHeights() {
				out = append(out, geometry.Point{X: c.at(low+y) + side*off, Y: low + y})
			}
		}
		return append(out, beyond(c, low, r.height, 0)(w, h)...)
	}
}

// beyond returns places outside the cloth near the upper end of a line, then
// near its lower end. aside is how far to the side to look.
func beyond(c cut, low, height, aside float64) places {
	return func(w, h float64) (out []geometry.Point) {
		for _, end := range []struct{ x, edge, away float64 }{
			{c.line.B.X, low + height, 1},
			{c.line.A.X, low, -1},
		} {
			out = append(out, outside(end.x, end.edge, end.away, aside+w, h*(1+below))...)
		}
		return out
	}
}

// far is how far away from its line a number may stand when there is no room
// near it, in inches.
const far = 1.5

// outside returns places beside x, away from the edge of the cloth: at two
// distances, nearest first.
func outside(x, edge, away, reach, h float64) (out []geometry.Point) {
	for d := 0.0; d <= reach; d += 0.05 {
		for _, level := range []float64{0, 1} {
			y := edge + away*(clear+0.03+h/2+level*(h+2*clear))
			out = append(out, geometry.Point{X: x + d, Y: y})
			if d > 0 {
				out = append(out, geometry.Point{X: x - d, Y: y})
			}
		}
	}
	return out
}
