// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"slices"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// same is how near two points must lie, in inches, to be one, and how far a
// point may lie off a line to lie on it: what no blade and no eye resolves.
const same = 0.0005

const (
	// smooth is the sine of the turn below which two lines are one that bends: 6
	// degrees. No corner of a piece turns by less than 15.
	smooth = 0.1045
	// sight is how far, in inches, a line is followed to see which way it runs.
	sight = 0.01
	// mostBends is the most points of an outline in which corners are looked
	// for: a piece has a dozen, one with curves some hundreds.
	mostBends = 1 << 11
)

// corners returns the corners of an outline, counter-clockwise, and how far,
// in inches, it lies off the straight lines between them at most. Points that
// repeat the one before or lie on a straight line are no corners, and neither
// are those along a curve, whether it is drawn as one or as many short lines.
func corners(g geometry.Polygon) (c geometry.Polygon, bent float64) { return cornersWithin(g, same) }

// cornersWithin is corners for points that lie so near to each other to be one.
func cornersWithin(g geometry.Polygon, near float64) (c geometry.Polygon, bent float64) {
	r := make(ring, 0, len(g))
	for _, p := range g {
		if len(r) == 0 || p.Sub(r[len(r)-1]).Len() > near {
			r = append(r, p)
		}
	}
	for len(r) > 1 && r[0].Sub(r[len(r)-1]).Len() <= near {
		r = r[:len(r)-1]
	}
	if geometry.Polygon(r).Area() < 0 {
		slices.Reverse(r)
	}
	if len(r) < 3 || len(r) > mostBends {
		return geometry.Polygon(r), 0
	}
	at := r.turns(r.bends(near))
	for k, i := range at {
		c = append(c, r[i])
		_, off := r.farthest(i, at[(k+1)%len(at)])
		bent = max(bent, off)
	}
	if bent <= near {
		bent = 0
	}
	return c, bent
}

// ring is an outline, its points by their numbers, which go round.
type ring []geometry.Point

func (r ring) after(i int) int  { return (i + 1) % len(r) }
func (r ring) before(i int) int { return (i + len(r) - 1) % len(r) }

// farthest returns the point between two that lies farthest off the straight
// line between them, and how far.
func (r ring) farthest(from, to int) (at int, off float64) {
	at = -1
	for k := r.after(from); k != to; k = r.after(k) {
		if d := trace.Off(r[k], r[from], r[to]); at < 0 || d > off {
			at, off = k, d
		}
	}
	return at, off
}

// bends returns those of the points, in their order, between which all lie
// within near of the straight line (the method of Douglas and Peucker).
func (r ring) bends(near float64) []int {
	first, last := 0, 0
	for i, p := range r {
		if p.X < r[first].X || p.X == r[first].X && p.Y < r[first].Y {
			first = i
		}
	}
	for i, p := range r {
		if p.Sub(r[first]).Len() > r[last].Sub(r[first]).Len() {
			last = i
		}
	}
	if last == first {
		return nil
	}
	out := []int{first, last}
	for open := [][2]int{{first, last}, {last, first}}; len(open) > 0; {
		side := open[len(open)-1]
		open = open[:len(open)-1]
		if at, off := r.farthest(side[0], side[1]); at >= 0 && off > near {
			out = append(out, at)
			open = append(open, [2]int{side[0], at}, [2]int{at, side[1]})
		}
	}
	slices.Sort(out)
	n, kept := len(out), make([]int, 0, len(out))
	for k, i := range out {
		if trace.Off(r[i], r[out[(k+n-1)%n]], r[out[(k+1)%n]]) > near {
			kept = append(kept, i)
		}
	}
	return kept
}

// turns returns those of the points at which the outline turns.
func (r ring) turns(at []int) []int {
	var out []int
	for _, i := range at {
		in := r[i].Sub(r.seen(i, r.before))
		on := r.seen(i, r.after).Sub(r[i])
		if in.Dot(on) < 0 || in.Cross(on) > smooth*in.Len()*on.Len() || in.Cross(on) < -smooth*in.Len()*on.Len() {
			out = append(out, i)
		}
	}
	return out
}

// seen returns the nearest point to one, going one way, that is far enough to
// tell which way the line runs.
func (r ring) seen(i int, step func(int) int) geometry.Point {
	k := step(i)
	for r[k].Sub(r[i]).Len() < sight && step(k) != i {
		k = step(k)
	}
	return r[k]
}
