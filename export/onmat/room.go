// SPDX-License-Identifier: Apache-2.0

package onmat

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Room is the calibrated area as it lies on the mat.
type Room struct {
	sides []geometry.Segment
	box   geometry.Rect
}

// RoomOf returns the room of a calibration.
func RoomOf(m *calibrate.Map) Room {
	_, mat := m.Area()
	return Room{mat.Sides(), mat.Bounds()}
}

// Box returns the smallest rectangle around the room.
func (r Room) Box() geometry.Rect { return r.box }

// Inset is how far from the rim of the room things stay, in inches.
const Inset = 0.1

// Chord returns the widest range of x that lies in the room, and a little inside
// it, at every height from y0 to y1.
func (r Room) Chord(y0, y1 float64) (left, right float64, ok bool) {
	if y0 < r.box.Min.Y+Inset || y1 > r.box.Max.Y-Inset || y1 < y0 {
		return 0, 0, false
	}
	left, right = math.Inf(-1), math.Inf(1)
	look := func(y float64) {
		a, b := math.Inf(1), math.Inf(-1)
		for _, s := range r.sides {
			if min(s.A.Y, s.B.Y) > y || max(s.A.Y, s.B.Y) < y {
				continue
			}
			t := 0.0
			if s.A.Y != s.B.Y {
				t = (y - s.A.Y) / (s.B.Y - s.A.Y)
			}
			x := s.A.X + float64((s.B.X-s.A.X)*t)
			a, b = min(a, x), max(b, x)
		}
		left, right = max(left, a), min(right, b)
	}
	// The room is convex but for what the lens bends: its sides come closest at an
	// end of the range or at a corner.
	look(y0 - Inset)
	look(y1 + Inset)
	for _, s := range r.sides {
		if s.A.Y > y0 && s.A.Y < y1 {
			look(s.A.Y)
		}
	}
	left, right = left+Inset, right-Inset
	return left, right, right > left
}

// Holds reports whether a rectangle, and a little around it, lies in the room.
func (r Room) Holds(q geometry.Rect) bool {
	left, right, ok := r.Chord(q.Min.Y, q.Max.Y)
	return ok && !q.Empty() && q.Min.X >= left && q.Max.X <= right
}

// Inner returns a large rectangle in the room, with the proportions of the
// room's box. ok is false for a room that is hardly one.
func (r Room) Inner() (q geometry.Rect, ok bool) {
	middle := r.box.Centre()
	half := r.box.Max.Sub(middle)
	for i := range 45 {
		f := 1 - float64(i)/50
		q = geometry.Rect{Min: middle.Sub(half.Mul(f)), Max: middle.Add(half.Mul(f))}
		if r.Holds(q) {
			return q, true
		}
	}
	return q, false
}

// Away returns a rectangle in the room for words that stays clear of a place
// by a distance: above it or below it, whichever has more room.
func (r Room) Away(from geometry.Point, clear float64) (q geometry.Rect, ok bool) {
	inner, ok := r.Inner()
	if !ok {
		return inner, false
	}
	above, below := inner, inner
	above.Min.Y = max(above.Min.Y, from.Y+clear)
	below.Max.Y = min(below.Max.Y, from.Y-clear)
	if above.Height() >= below.Height() {
		return above, above.Height() > 0
	}
	return below, below.Height() > 0
}

const gap = 0.6 // between what is shown and the words, in

// Beside places a box of that size at the right of the room, half way up, and
// the rectangle for words to its left, at least so wide. ok is false when they
// don't fit.
func (r Room) Beside(wide, high, least float64) (box, words geometry.Rect, ok bool) {
	middle := r.box.Centre().Y
	tall := func(left, right, high float64) geometry.Rect {
		return geometry.Rect{Min: geometry.Point{X: left, Y: middle - high/2}, Max: geometry.Point{X: right, Y: middle + high/2}}
	}
	_, right, ok := r.Chord(middle-high/2, middle+high/2)
	if !ok {
		return box, words, false
	}
	box = tall(right-wide, right, high)
	// Words take what height there is, but at least that of the box.
	for _, high := range []float64{max(high, 0.8*r.box.Height()), max(high, 0.6*r.box.Height()), high} {
		left, right, ok := r.Chord(middle-high/2, middle+high/2)
		if words = tall(left, min(right, box.Min.X-gap), high); ok && words.Width() >= least {
			return box, words, true
		}
	}
	return box, words, false
}

// Squares returns the sides that a check square may have, in inches, the largest
// first: whole inches or 5 cm, up to what a quilter's square ruler measures in one
// go.
func Squares(u geometry.Unit) []float64 {
	var out []float64
	for n := u.Of(12, 6); n >= 1; n-- {
		out = append(out, n*u.Of(1, 5/geometry.CentimetresPerInch))
	}
	return out
}

const leastWords = 3.5 // in, beside a check square

// Lines is how far apart the mat's printed lines lie, in inches, those of half
// inches too.
func Lines(u geometry.Unit) float64 { return u.Of(0.5, 1/geometry.CentimetresPerInch) }

// Clear moves a check square to the right and up, by less than from line to line of
// the mat: its sides lie half way between those then, so that a photo tells them
// apart.
func Clear(square geometry.Rect, u geometry.Unit) geometry.Rect {
	step := Lines(u)
	to := func(v float64) float64 { return step * (math.Ceil(v/step-0.5-geometry.Fit) + 0.5) }
	by := geometry.Point{X: to(square.Min.X), Y: to(square.Min.Y)}.Sub(square.Min)
	return geometry.Rect{Min: square.Min.Add(by), Max: square.Max.Add(by)}
}

// CheckSquare places the largest check square that has room beside words: clear of
// the mat's printed lines where that can be.
func (r Room) CheckSquare(u geometry.Unit) (square, words geometry.Rect, ok bool) {
	for _, side := range Squares(u) {
		if square, words, ok = r.Beside(side, side, leastWords); ok {
			break
		}
	}
	// To the left, and to where it is nearest.
	by := geometry.Point{X: Lines(u), Y: Lines(u) / 2}
	moved := Clear(geometry.Rect{Min: square.Min.Sub(by), Max: square.Max.Sub(by)}, u)
	if beside := min(words.Max.X, moved.Min.X-gap); ok && r.Holds(moved) && beside-words.Min.X >= leastWords {
		square, words.Max.X = moved, beside
	}
	return square, words, ok
}
