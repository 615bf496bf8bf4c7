// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/geometry"
)

func box(t *rapid.T, name string) geometry.Rect {
	return geometry.EmptyRect().Grow(point(t, name+" a"), point(t, name+" b"))
}

// A box that is free holds no point of a line and of another box, and lies in the
// room; one that is not is not.
func TestFreeRoomIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := draw.Room{}
		if rapid.Bool().Draw(t, "bounded") {
			room.Holds = func(p geometry.Point) bool { return p.Len() < 8 }
		}
		for range rapid.IntRange(0, 3).Draw(t, "lines") {
			room.Lines = append(room.Lines, geometry.Segment{A: point(t, "from"), B: point(t, "to")})
		}
		for range rapid.IntRange(0, 3).Draw(t, "boxes") {
			room.Boxes = append(room.Boxes, box(t, "taken"))
		}
		b := box(t, "box")
		inside := func(r geometry.Rect, p geometry.Point) bool {
			return p.X > r.Min.X && p.X < r.Max.X && p.Y > r.Min.Y && p.Y < r.Max.Y
		}
		touched := false
		for _, s := range room.Lines {
			for i := range 101 {
				touched = touched || inside(b.Inset(1e-6), s.A.Add(s.B.Sub(s.A).Mul(float64(i)/100)))
			}
		}
		for i := range 11 {
			for j := range 11 {
				p := geometry.Point{X: b.Min.X + b.Width()*float64(i)/10, Y: b.Min.Y + b.Height()*float64(j)/10}
				for _, o := range room.Boxes {
					touched = touched || inside(b, p) && inside(o, p)
				}
			}
		}
		for _, c := range b.Polygon() {
			touched = touched || room.Holds != nil && !room.Holds(c)
		}
		if free := room.Free(b); free && touched {
			t.Fatalf("%v is free, and touches something", b)
		}
		if !room.Free(b) && room.Holds == nil && len(room.Lines)+len(room.Boxes) == 0 {
			t.Fatalf("%v is not free where nothing is", b)
		}
	})
}

// The largest box lies in the outline; no larger one does, wherever it is put.
func TestLargestBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A diamond, or half of one, turned.
		angle := geometry.Angle(rapid.Float64Range(20, 90).Draw(t, "angle"))
		sin, cos := angle.SinCos()
		g := geometry.Polygon{{}, {X: 3}, {X: 3 + 3*cos, Y: 3 * sin}, {X: 3 * cos, Y: 3 * sin}}
		if rapid.Bool().Draw(t, "half") {
			g = g[:3]
		}
		wide := rapid.Float64Range(0.5, 4).Draw(t, "wide")
		middle, high := draw.LargestBox(g, wide)
		fits := func(c geometry.Point, h float64) bool {
			half := geometry.Point{X: wide * h / 2, Y: h / 2}
			for _, p := range (geometry.Rect{Min: c.Sub(half), Max: c.Add(half)}).Polygon() {
				for _, s := range g.Sides() {
					if s.B.Sub(s.A).Cross(p.Sub(s.A)) < -1e-7 {
						return false
					}
				}
			}
			return true
		}
		if high <= 0 || !fits(middle, high) {
			t.Fatalf("a box %v high at %v is not inside", high, middle)
		}
		b := g.Bounds()
		for i := range 41 {
			for j := range 41 {
				c := geometry.Point{X: b.Min.X + b.Width()*float64(i)/40, Y: b.Min.Y + b.Height()*float64(j)/40}
				if fits(c, 1.02*high) {
					t.Fatalf("one %v high fits at %v, the largest is said to be %v", 1.02*high, c, high)
				}
			}
		}
	})
}

// The box around a text is as wide as the words, turned with them.
func TestTextOutline(t *testing.T) {
	x := draw.Text{At: geometry.Point{X: 1, Y: 2}, Height: 0.5, Value: "turned", Turn: 90, Centred: true}
	b := x.Outline(draw.Plain, 0.2).Bounds()
	w := draw.TextWidth("turned", 0.5)
	want := geometry.Rect{Min: geometry.Point{X: 0.5, Y: 2 - w/2}, Max: geometry.Point{X: 1.1, Y: 2 + w/2}}
	if math.Abs(b.Min.X-want.Min.X)+math.Abs(b.Max.X-want.Max.X)+math.Abs(b.Min.Y-want.Min.Y)+math.Abs(b.Max.Y-want.Max.Y) > 1e-9 {
		t.Errorf("%v, want %v", b, want)
	}
}
