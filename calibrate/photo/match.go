// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"

	"lozenge/calibrate"
)

// A lay says which candidate each cross is, or -1, and where the picture lies:
// pixels of the screen to inches along the lines.
type lay struct {
	of    []int
	h     [9]float64
	found int
	score float64
}

const (
	quadsFrom   = 24   // candidates, the best
	nearCross   = 0.07 // of the distance from cross to cross: lens and keystone
	leastScale  = 0.010
	mostScale   = 0.035 // in a pixel, of a screen 1920 across
	mostSqueeze = 1.3   // of a pixel's sides: the picture is projected from somewhere above
)

// leastCrosses is how many of n crosses must be found: 10 of 12.
func leastCrosses(n int) int { return n - n/6 }

// layOut finds which candidates are the crosses: four of them taken for the
// corners say where the others are.
func layOut(c []candidate, step float64, s calibrate.Screen, targets []calibrate.Target, g calibrate.Grid) (best lay, ok bool) {
	places := make([][2]float64, len(c))
	for i, q := range c {
		places[i] = [2]float64{q.s * step, q.t * step}
	}
	n := min(len(c), quadsFrom)
	for _, corners := range cornerSets(g) {
		var from [4][2]float64
		for k, at := range corners {
			from[k] = [2]float64{targets[at].U, targets[at].V}
		}
		eachFour(n, func(q [4]int) {
			var to [4][2]float64
			for k, i := range q {
				to[k] = places[i]
			}
			if !around(&to) {
				return
			}
			for turn := range 4 {
				turned := [4][2]float64{to[turn], to[(turn+1)%4], to[(turn+2)%4], to[(turn+3)%4]}
				h, ok := fourth(from, turned)
				if !ok || !likely(&h, s) {
					continue
				}
				l := match(h, c, places, targets)
				if l.found > best.found || l.found == best.found && l.score > best.score {
					best = l
				}
			}
		})
		if best.found >= len(targets)-1 {
			break
		}
	}
	return best, best.found >= leastCrosses(len(targets))
}

// cornerSets returns which four crosses are taken for known: the corners, and
// where one of them can't be seen its neighbour.
func cornerSets(g calibrate.Grid) [][4]int {
	last := g.Columns*g.Rows - 1
	whole := [4]int{0, g.Columns - 1, last, last - g.Columns + 1}
	out := [][4]int{whole}
	for k, in := range [4]int{1, -1, -1, 1} {
		set := whole
		set[k] += in
		out = append(out, set)
	}
	return out
}

// eachFour calls f with every four of n, in order.
func eachFour(n int, f func([4]int)) {
	for a := 0; a < n; a++ {
		for b := a + 1; b < n; b++ {
			for c := b + 1; c < n; c++ {
				for d := c + 1; d < n; d++ {
					f([4]int{a, b, c, d})
				}
			}
		}
	}
}

// around puts four places in their order round the middle, as u, v corners go:
// clockwise to the eye. False when one lies inside.
func around(p *[4][2]float64) bool {
	cross := func(a, b, c [2]float64) float64 {
		return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	}
	if cross(p[0], p[1], p[2]) < 0 {
		p[1], p[2] = p[2], p[1]
	}
	for _, order := range [3][4]int{{0, 1, 2, 3}, {0, 1, 3, 2}, {0, 3, 1, 2}} {
		q := [4][2]float64{p[order[0]], p[order[1]], p[order[2]], p[order[3]]}
		good := true
		for k := range 4 {
			good = good && cross(q[k], q[(k+1)%4], q[(k+2)%4]) > 1
		}
		if good {
			*p = q
			return true
		}
	}
	return false
}

// fourth returns the homography through four pairs of places.
func fourth(from, to [4][2]float64) (h [9]float64, ok bool) {
	a, ok1 := unitSquare(from)
	b, ok2 := unitSquare(to)
	if !ok1 || !ok2 {
		return h, false
	}
	inv := [9]float64{
		a[4]*a[8] - a[5]*a[7], a[2]*a[7] - a[1]*a[8], a[1]*a[5] - a[2]*a[4],
		a[5]*a[6] - a[3]*a[8], a[0]*a[8] - a[2]*a[6], a[2]*a[3] - a[0]*a[5],
		a[3]*a[7] - a[4]*a[6], a[1]*a[6] - a[0]*a[7], a[0]*a[4] - a[1]*a[3],
	}
	for r := range 3 {
		for c := range 3 {
			for k := range 3 {
				h[3*r+c] += b[3*r+k] * inv[3*k+c]
			}
		}
	}
	if h[8] == 0 {
		return h, false
	}
	last := h[8]
	for k := range h {
		h[k] /= last
	}
	return h, true
}

// unitSquare returns the homography from the unit square to a quadrilateral
// (Heckbert, Fundamentals of texture mapping, 1989, section 2.2.3).
func unitSquare(p [4][2]float64) (h [9]float64, ok bool) {
	sx := p[0][0] - p[1][0] + p[2][0] - p[3][0]
	sy := p[0][1] - p[1][1] + p[2][1] - p[3][1]
	ax, ay := p[1][0]-p[2][0], p[1][1]-p[2][1]
	bx, by := p[3][0]-p[2][0], p[3][1]-p[2][1]
	det := ax*by - bx*ay
	if det == 0 {
		return h, false
	}
	g, k := (sx*by-bx*sy)/det, (ax*sy-sx*ay)/det
	return [9]float64{
		p[1][0] - p[0][0] + g*p[1][0], p[3][0] - p[0][0] + k*p[3][0], p[0][0],
		p[1][1] - p[0][1] + g*p[1][1], p[3][1] - p[0][1] + k*p[3][1], p[0][1],
		g, k, 1,
	}, true
}

// likely reports whether a projector above a mat shows its picture so: neither
// too large nor too small, pixels about square, and no corner far from the
// others' plane.
func likely(h *[9]float64, s calibrate.Screen) bool {
	w, v := float64(s.Width), float64(s.Height)
	largest, least := 0.0, math.Inf(1)
	for _, p := range [4][2]float64{{0, 0}, {w, 0}, {0, v}, {w, v}} {
		d := h[6]*p[0] + h[7]*p[1] + h[8]
		largest, least = max(largest, d), min(least, d)
	}
	if least <= 0 || largest > 2.5*least {
		return false
	}
	long, short := stretch(h, w/2, v/2)
	size := math.Sqrt(long*short) * w / 1920
	return size > leastScale && size < mostScale && long < mostSqueeze*short
}

// stretch returns the singular values of a homography's derivative at a place.
func stretch(h *[9]float64, u, v float64) (long, short float64) {
	a, b, c, d := tangent(h, u, v)
	sum, diff := math.Hypot(a+d, b-c), math.Hypot(a-d, b+c)
	return (sum + diff) / 2, math.Abs(sum-diff) / 2
}

// tangent returns the derivatives of a homography: dx/du, dx/dv, dy/du, dy/dv.
func tangent(h *[9]float64, u, v float64) (xu, xv, yu, yv float64) {
	x, y := mapped(h, u, v)
	w := h[6]*u + h[7]*v + h[8]
	return (h[0] - x*h[6]) / w, (h[1] - x*h[7]) / w, (h[3] - y*h[6]) / w, (h[4] - y*h[7]) / w
}

// match counts the crosses that have a candidate where they should be.
func match(h [9]float64, c []candidate, places [][2]float64, targets []calibrate.Target) lay {
	l := lay{of: make([]int, len(targets)), h: h}
	x0, y0 := mapped(&h, targets[0].U, targets[0].V)
	x1, y1 := mapped(&h, targets[1].U, targets[1].V)
	reach := nearCross * math.Hypot(x1-x0, y1-y0)
	missing := 0
	for i, t := range targets {
		x, y := mapped(&h, t.U, t.V)
		l.of[i] = -1
		nearest := reach
		for k, p := range places {
			if d := math.Hypot(p[0]-x, p[1]-y); d < nearest {
				l.of[i], nearest = k, d
			}
		}
		if l.of[i] < 0 {
			if missing++; len(targets)-missing < leastCrosses(len(targets)) {
				return lay{}
			}
			continue
		}
		l.found++
		l.score += c[l.of[i]].score * (1 - nearest/reach/2)
	}
	return l
}
