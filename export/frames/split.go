// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"math"

	"lozenge/geometry"
)

// part is what one frame shows of a run: pieces first to last. With over,
// piece first was cut on the frame before.
type part struct {
	first, last int
	over        bool
	shift       float64 // from the run's x to the mat's, in
	slide       float64 // to the left since the frame before, in
}

// firstNew returns the first piece that is cut on the frame.
func (p part) firstNew() int {
	if p.over {
		return p.first + 1
	}
	return p.first
}

// tooLong is a piece that does not fit beside the edge it is cut from.
type tooLong struct {
	name  string  // "diamond"
	needs float64 // along the cloth, in
	room  float64
}

// slides are the steps in which a strip set is slid, roundest first.
func slides(u geometry.Unit) []float64 {
	if u == geometry.Centimetre {
		return []float64{u.Inches(1), u.Inches(0.5), u.Inches(0.1)}
	}
	return []float64{1, 1. / 2, 1. / 4, 1. / 8, 1. / 16}
}

// split cuts the run into frames that show it between left and right on the
// mat, each with as many pieces as fit.
func (r *run) split(left, right float64, u geometry.Unit) ([]part, *tooLong) {
	room := right - left
	var parts []part
	for done := -1; done < len(r.pieces)-1; { // the last piece that was cut
		p, low, high, ok := r.next(done, room)
		if !ok {
			return nil, &tooLong{r.pieces[done+1].name, high - low, room}
		}
		// The cloth may lie anywhere from least to most.
		least, most := left-low, right-high
		if len(parts) == 0 {
			p.shift = roundest(least, most, slides(u), math.Ceil)
		} else {
			before := parts[len(parts)-1].shift
			p.slide = roundest(before-most, before-least, slides(u), math.Floor)
			p.shift = before - p.slide
		}
		parts = append(parts, p)
		done = p.last
	}
	return parts, nil
}

// next returns the frame that follows when pieces up to done are cut, and how
// far what it shows reaches. false means that not even one piece fits; low
// and high are then what that would take.
func (r *run) next(done int, room float64) (p part, low, high float64, ok bool) {
	fits := func(low, high float64) bool { return geometry.Fits(high-low, room) }
	p = part{first: done + 1, last: done + 1}
	low, high = r.extent(p.first)
	switch {
	case done < 0:
		if start := min(low, r.left); fits(start, high) {
			low = start
		}
	default:
		// With the piece that was cut last, if there is room for it.
		p.first, p.over = done, true
		start, end := r.extent(done)
		if start, end = min(start, low), max(end, high); fits(start, end) {
			low, high = start, end
		}
	}
	if !fits(low, high) {
		return p, low, high, false
	}
	for p.last+1 < len(r.pieces) {
		l, h := r.extent(p.last + 1)
		l, h = min(l, low), max(h, high)
		if !fits(l, h) {
			break
		}
		low, high = l, h
		p.last++
	}
	return p, low, high, true
}

// roundest returns the multiple of the first step that has one between least
// and most; of several, the one that round is nearest to: math.Floor prefers
// most, math.Ceil least. Where no step has one it is the middle.
func roundest(least, most float64, steps []float64, round func(float64) float64) float64 {
	from := most
	if round(0.5) == 1 {
		from = least
	}
	for _, s := range steps {
		n := round(from / s)
		// What is a multiple but for rounding is one.
		if near := math.Round(from / s); math.Abs(near*s-from) <= geometry.Fit {
			n = near
		}
		if v := float64(n * s); v >= least-geometry.Fit && v <= most+geometry.Fit {
			return v
		}
	}
	return (least + most) / 2
}
