// SPDX-License-Identifier: Apache-2.0

package onmat

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Room is the calibrated area as it lies on the mat.
type Room struct {
	m   *calibrate.Map
	box geometry.Rect
}

// RoomOf returns the room of a calibration.
func RoomOf(m *calibrate.Map) Room {
	_, mat := m.Area()
	return Room{m, mat.Bounds()}
}

// Box returns the smallest rectangle around the room.
func (r Room) Box() geometry.Rect { return r.box }

// inset is how far from the rim of the room things stay, in inches.
const inset = 0.1

// Holds reports whether a rectangle, and a little around it, lies in the
// room. The room's sides are straight but for what the lens bends, so points
// an inch apart along the rectangle's rim are looked at.
func (r Room) Holds(q geometry.Rect) bool {
	if q.Empty() {
		return false
	}
	for _, s := range q.Inset(-inset).Polygon().Sides() {
		n := int(math.Ceil(s.B.Sub(s.A).Len()/step)) + 1
		for i := range n {
			if !r.m.Holds(s.A.Add(s.B.Sub(s.A).Mul(float64(i) / float64(n)))) {
				return false
			}
		}
	}
	return true
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
	middle := (r.box.Min.Y + r.box.Max.Y) / 2
	const nudge = 0.25
	for x := r.box.Max.X - wide - inset; x >= r.box.Min.X+least; x -= nudge {
		box = geometry.Rect{Min: geometry.Point{X: x, Y: middle - high/2}}
		box.Max = box.Min.Add(geometry.Point{X: wide, Y: high})
		if r.Holds(box) {
			break
		}
	}
	if !r.Holds(box) {
		return box, words, false
	}
	// Words take what height there is, but at least that of the box.
	for _, tall := range []float64{max(high, 0.8*r.box.Height()), max(high, 0.6*r.box.Height()), high} {
		for x := r.box.Min.X + inset; x <= box.Min.X-gap-least; x += nudge {
			words = geometry.Rect{
				Min: geometry.Point{X: x, Y: middle - tall/2}, Max: geometry.Point{X: box.Min.X - gap, Y: middle + tall/2},
			}
			if r.Holds(words) {
				return box, words, true
			}
		}
	}
	return box, words, false
}

// CheckSquare places the largest check square that has room beside words: its
// diagonals are still measured with a ruler of 24 in or 60 cm, and its sides
// are whole inches or 5 cm. useful reports whether it is as large as it should
// be, 12 in or 30 cm.
func (r Room) CheckSquare(u geometry.Unit) (square, words geometry.Rect, useful, ok bool) {
	unit := u.Inches(u.Of(1, 5))
	most, enough := int(u.Of(16, 8)), int(u.Of(12, 6))
	for _, least := range []float64{7, 5, 3.5} {
		for n := most; n >= enough; n-- {
			if square, words, ok = r.Beside(float64(n)*unit, float64(n)*unit, least); ok {
				return square, words, true, true
			}
		}
	}
	for n := enough - 1; n >= 1; n-- {
		if square, words, ok = r.Beside(float64(n)*unit, float64(n)*unit, 3.5); ok {
			return square, words, false, true
		}
	}
	return square, words, false, false
}
