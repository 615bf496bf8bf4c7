// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// areaMargin is how far beyond the outer targets the map is trusted, as a
// part of the picture's width and height. Farther out the error grows fast.
const areaMargin = 0.02

// areaAround returns the hull of the targets, widened by 2 % of the picture
// on each side and kept on the screen; counter-clockwise in (u, v).
func areaAround(s Screen, targets []geometry.Point) geometry.Polygon {
	du, dv := areaMargin*float64(s.Width), areaMargin*float64(s.Height)
	var corners []geometry.Point
	for _, t := range targets {
		for _, d := range []geometry.Point{{X: -du, Y: -dv}, {X: du, Y: -dv}, {X: du, Y: dv}, {X: -du, Y: dv}} {
			corners = append(corners, t.Add(d))
		}
	}
	return hull(corners).Within(s.bounds())
}

// hull returns the convex hull, counter-clockwise, without vertices on its
// sides (Andrew's monotone chain, 1979).
func hull(points []geometry.Point) geometry.Polygon {
	points = slices.Clone(points)
	slices.SortFunc(points, func(a, b geometry.Point) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	points = slices.Compact(points)
	if len(points) < 3 {
		return nil
	}
	half := func(points []geometry.Point) []geometry.Point {
		var chain []geometry.Point
		for _, p := range points {
			for n := len(chain); n >= 2 && chain[n-1].Sub(chain[n-2]).Cross(p.Sub(chain[n-1])) <= geometry.Clip; n = len(chain) {
				chain = chain[:n-1]
			}
			chain = append(chain, p)
		}
		return chain[:len(chain)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return append(lower, half(points)...)
}

// finestArea is how long the sides of the area on the mat are at most where
// the lens bends them, in inches. A side of 1 in then bends by less than
// 1/1000 in at 2 % of distortion.
const finestArea = 1.0

// Area returns the outline of the calibrated area, the only part in which
// lines may be drawn: the hull of the targets widened by 2 % of the picture.
// screen is in pixels, counter-clockwise when v is thought of as growing
// upwards; mat is in inches, counter-clockwise, with sides subdivided where
// the lens bends them.
func (m *Map) Area() (screen, mat geometry.Polygon) {
	for _, s := range m.area.Sides() {
		steps := 1
		if m.Bends() {
			steps = int(math.Ceil(m.matPoint(s.A).Sub(m.matPoint(s.B)).Len() / finestArea))
		}
		for j := range steps {
			mat = append(mat, m.matPoint(s.A.Add(s.B.Sub(s.A).Mul(float64(j)/float64(steps)))))
		}
	}
	if mat.Area() < 0 {
		slices.Reverse(mat)
	}
	return slices.Clone(m.area), mat
}

func (m *Map) matPoint(p geometry.Point) geometry.Point {
	x, y := m.ToMat(p.X, p.Y)
	return geometry.Point{X: x, Y: y}
}

// within returns how far inside the area a place of the mat lies, in pixels;
// negative outside.
func (m *Map) within(p geometry.Point) float64 {
	u, v, _ := m.ToScreen(p.X, p.Y)
	if math.IsNaN(u) {
		return math.Inf(-1)
	}
	return inside(m.area, geometry.Point{X: u, Y: v})
}

// Holds reports whether a place of the mat lies in the calibrated area.
func (m *Map) Holds(p geometry.Point) bool { return m.within(p) >= -rim }

// clipStep is how far apart, in inches, the places are at which [Map.Clip]
// looks whether a segment is in the area.
const clipStep = 0.5

// hair is how far outside a line along the area's side may seem by rounding,
// in pixels.
const hair = 1e-9

// Clip returns the parts of a segment on the mat that lie in the calibrated
// area: none, one, or, where the lens bends the area's sides inwards, perhaps
// two. Their ends are exact to 1e-9 in. Where the lens bends, parts shorter
// than 1/2 in may be missed beside a side.
func (m *Map) Clip(s geometry.Segment) []geometry.Segment {
	d := s.B.Sub(s.A)
	along := func(t float64) geometry.Point { return s.A.Add(d.Mul(t)) }
	if !finite(s.A.X, s.A.Y, s.B.X, s.B.Y) || d.Len() <= geometry.Clip {
		return nil
	}
	_, mat := m.Area()
	if !m.Bends() { // straight lines stay straight
		if part, ok := mat.Clip(s); ok {
			return []geometry.Segment{part}
		}
		return nil
	}
	// Only what comes near the area needs looking at.
	box := mat.Bounds()
	near, ok := box.Inset(-1).Clip(s)
	if !ok {
		return nil
	}
	from, to := near.A.Sub(s.A).Len()/d.Len(), near.B.Sub(s.A).Len()/d.Len()
	n := int(math.Ceil((to-from)*d.Len()/clipStep)) + 1
	var parts []geometry.Segment
	add := func(a, b geometry.Point) {
		if b.Sub(a).Len() > geometry.Fit {
			parts = append(parts, geometry.Segment{A: a, B: b})
		}
	}
	var start geometry.Point
	in := false
	last := from
	for i := range n + 1 {
		t := from + (to-from)*float64(i)/float64(n)
		now := m.within(along(t)) >= -hair
		edge := t
		if i > 0 && now != in {
			edge = m.crossing(along, last, t, now)
		}
		switch {
		case now && !in:
			start = along(edge)
		case in && !now:
			add(start, along(edge))
		}
		in, last = now, t
	}
	if in {
		end := along(to)
		if to == 1 {
			end = s.B
		}
		add(start, end)
	}
	return parts
}

// crossing returns the place between a and b at which the segment enters
// (rising) or leaves the area, by halving.
func (m *Map) crossing(along func(float64) geometry.Point, a, b float64, rising bool) float64 {
	for range 60 {
		mid := (a + b) / 2
		if (m.within(along(mid)) >= -hair) == rising {
			b = mid
		} else {
			a = mid
		}
	}
	if rising {
		return b
	}
	return a
}

// LongestStep is how long the pieces are at most, in inches, into which a
// line is divided that the lens bends: the middle of a 3 in piece is off by
// 2/1000 in at 2 % of distortion, one of 6 in by 8/1000 in.
const LongestStep = 3.0

// Polyline returns a segment of the mat as it has to be drawn on the screen,
// in pixels: its two ends, and points in between, at most maxStep inches
// apart (0 or more than [LongestStep] means LongestStep), when the lens bends
// it. ok is false when a point lies off the screen; clip the segment first.
func (m *Map) Polyline(s geometry.Segment, maxStep float64) (points []geometry.Point, ok bool) {
	d := s.B.Sub(s.A)
	if !(maxStep > 0 && maxStep < LongestStep) {
		maxStep = LongestStep
	}
	steps := 1
	if m.Bends() {
		steps = max(1, int(math.Ceil(d.Len()/maxStep-geometry.Fit)))
	}
	if steps > 1<<16 {
		return nil, false
	}
	for i := range steps + 1 {
		p := s.A.Add(d.Mul(float64(i) / float64(steps)))
		if i == steps {
			p = s.B
		}
		u, v, on := m.ToScreen(p.X, p.Y)
		if !on {
			return nil, false
		}
		points = append(points, geometry.Point{X: u, Y: v})
	}
	return points, true
}
