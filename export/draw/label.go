// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"

	"lozenge/geometry"
)

// Labels finds where labels of one face stand in a room.
type Labels struct {
	Room
	Face  Face
	Clear float64 // how near a label comes to what else is there
}

// Letters that reach below the baseline, and by which part of a capital's height
// (0.21 em of 0.72 in most faces).
const (
	descenders = "gjpqy,"
	Descent    = 0.3
)

// Places returns where the middle of a label so wide and high may stand, best
// first.
type Places func(w, h float64) []geometry.Point

// Put places a label: the first of the sizes and, of it, the first of the near
// places that is free; then the same for the far ones. When none is free it still
// has to be somewhere: the smallest at the first place.
func (l *Labels) Put(value string, sizes []float64, near, far Places) Text {
	t, ok := l.try(value, sizes, near)
	if !ok {
		if u, ok := l.try(value, sizes, far); ok {
			return u
		}
	}
	return t
}

func (l *Labels) try(value string, sizes []float64, places Places) (Text, bool) {
	var last Text
	for _, h := range sizes {
		w := l.Face.Width(value, h)
		for i, c := range places(w, h) {
			half := geometry.Point{X: w / 2, Y: h / 2}
			box := geometry.Rect{Min: c.Sub(half), Max: c.Add(half)}
			t := Text{At: geometry.Point{X: c.X, Y: box.Min.Y}, Height: h, Value: value, Centred: true}
			if strings.ContainsAny(value, descenders) {
				t.At.Y += Descent * h / 2
				box.Min.Y -= Descent * h / 2
				box.Max.Y += Descent * h / 2
			}
			if l.Free(box.Inset(-l.Clear)) {
				l.Boxes = append(l.Boxes, box)
				return t, true
			}
			if i == 0 {
				last = t
			}
		}
	}
	return last, false
}
