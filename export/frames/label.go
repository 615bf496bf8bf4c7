// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"math"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// clear is how near a number comes to a line, in inches.
const clear = 0.08

// labels puts a number at each line. The word at the broken line comes first:
// it is the longest.
func (d *drawing) labels() {
	_, outline := d.m.Area()
	box := outline.Bounds()
	room := draw.Labels{Face: draw.Wide, Clear: clear, Room: draw.Room{Holds: func(p geometry.Point) bool {
		return p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y && d.m.Holds(p)
	}}}
	for _, p := range d.Paths {
		room.Lines = append(room.Lines, p.Segments()...)
	}
	room.Boxes = append(room.Boxes, d.place.square, geometry.Rect{
		Min: geometry.Point{X: d.place.text.X, Y: d.place.square.Min.Y}, Max: d.place.text.Add(geometry.Point{X: d.place.wide}),
	})
	low, height := d.Shift.Y, d.run.height
	put := func(of draw.Path, value string, sizes []float64, near, away draw.Places) {
		t := room.Put(value, sizes, near, away)
		t.Number, t.Faint = of.Number, of.Role == draw.Done
		d.Texts = append(d.Texts, t)
	}
	for _, p := range d.Paths {
		if p.Role == draw.LineUp {
			c := cut{p.Number, p.Segments()[0]}
			put(p, fmt.Sprintf("edge of cut %d here", p.Number), numberSizes[1:], beyond(c, low, height, 0.5), beyond(c, low, height, 2*far))
		}
	}
	for _, p := range d.Paths {
		switch c := (cut{p.Number, p.Segments()[0]}); {
		case p.Role == draw.Done:
			put(p, fmt.Sprintf("%d done", p.Number), numberSizes[2:], beside(c, low, d.run), beyond(c, low, height, far))
		case p.Role == draw.Cut && !p.Thin:
			put(p, fmt.Sprint(p.Number), numberSizes, beside(c, low, d.run), beyond(c, low, height, far))
		}
	}
	for _, p := range d.Paths {
		if p.Role == draw.Cut && p.Thin {
			put(p, fmt.Sprint(p.Number), numberSizes[2:], nearTrim(p.Segments()[0], low, height, 0), nearTrim(p.Segments()[0], low, height, far))
		}
	}
	if d.run.foot != "" {
		x := d.Shift.X
		for _, p := range d.Paths {
			if a, b := p.Points[0], p.Points[1]; p.Role == draw.Mark && a.Y == low {
				x = (a.X + b.X) / 2
			}
		}
		at := func(w, h float64) []geometry.Point { return outside(x, low, -1, 2*far, h) }
		put(draw.Path{}, d.run.foot, numberSizes[2:], at, at)
	}
}

// nearTrim returns places for the number of a tip trim: outside the cloth,
// beside the tip; aside is how far to the side to look.
func nearTrim(s geometry.Segment, low, height, aside float64) draw.Places {
	mid := s.A.Add(s.B).Mul(0.5)
	edge, away := low, -1.0
	if mid.Y > low+height/2 {
		edge, away = low+height, 1
	}
	return func(w, h float64) []geometry.Point { return outside(mid.X, edge, away, aside+w, h) }
}

var numberSizes = []float64{lettering, 0.34, readable, 0.24, smallest, 0.14, 0.1}

// beside returns places beside a line across the cloth: to its right at each
// height, then to its left, then beyond its ends.
func beside(c cut, low float64, r *run) draw.Places {
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
func beyond(c cut, low, height, aside float64) draw.Places {
	return func(w, h float64) (out []geometry.Point) {
		for _, end := range []struct{ x, edge, away float64 }{
			{c.line.B.X, low + height, 1},
			{c.line.A.X, low, -1},
		} {
			out = append(out, outside(end.x, end.edge, end.away, aside+w, h*(1+draw.Descent))...)
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
