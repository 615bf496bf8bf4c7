// SPDX-License-Identifier: Apache-2.0

package geometry

import "math"

// Keep returns the part of a convex outline where a linear function of its
// vertices is not below 0 (one step of Sutherland and Hodgman's reentrant
// polygon clipping, CACM 17, 1974). Vertices within [Clip] of 0 stay as they
// are; cut makes the one that lies the part t of the way from a to b.
func Keep[V any](outline []V, inside func(V) float64, cut func(a, b V, t float64) V) []V {
	var out []V
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		in, next := inside(a), inside(b)
		if in >= -Clip {
			out = append(out, a)
		}
		if (in > Clip && next < -Clip) || (in < -Clip && next > Clip) {
			out = append(out, cut(a, b, in/(in-next)))
		}
	}
	return out
}

// Left returns the part of a convex g that lies to the left of the directed
// line from a to b, or on it. The result is nil when less than a triangle is
// left.
func (g Polygon) Left(a, b Point) Polygon {
	dir := b.Sub(a)
	dir = dir.Mul(1 / dir.Len())
	return Polygon(Keep(g, func(p Point) float64 { return dir.Cross(p.Sub(a)) }, Point.toward)).tidy()
}

// toward returns the point the part t of the way from p to q.
func (p Point) toward(q Point, t float64) Point { return p.Add(q.Sub(p).Mul(t)) }

// Within returns the part of a convex g inside r.
func (g Polygon) Within(r Rect) Polygon {
	for _, s := range r.Polygon().Sides() {
		if g = g.Left(s.A, s.B); g == nil {
			return nil
		}
	}
	return g
}

// Clip returns the part of s inside a convex g; ok is false when none is, or
// one no longer than [Clip].
func (g Polygon) Clip(s Segment) (part Segment, ok bool) {
	c := clipping{s, 0, 1}
	for _, side := range g.Sides() {
		along := side.B.Sub(side.A)
		along = along.Mul(1 / along.Len())
		run := along.Cross(s.B.Sub(s.A))
		if math.Abs(run) <= Clip {
			run = 0
		}
		c.keep(along.Cross(s.A.Sub(side.A)), run)
	}
	return c.part()
}

// Clip returns the part of s inside r; ok is false when none is, or one no
// longer than [Clip].
func (r Rect) Clip(s Segment) (part Segment, ok bool) {
	c, d := clipping{s, 0, 1}, s.B.Sub(s.A)
	c.keep(s.A.X-r.Min.X, d.X)
	c.keep(r.Max.X-s.A.X, -d.X)
	c.keep(s.A.Y-r.Min.Y, d.Y)
	c.keep(r.Max.Y-s.A.Y, -d.Y)
	return c.part()
}

// clipping is a segment and between which parts of its way it is inside (Liang
// and Barsky's parametric clipping, ACM TOG 3, 1984).
type clipping struct {
	Segment
	from, to float64
}

// keep leaves what is not below 0 where a linear function is inside at A, and
// inside + run at B.
func (c *clipping) keep(inside, run float64) {
	switch {
	case run == 0:
		if inside < -Clip {
			c.to = c.from
		}
	case run > 0:
		c.from = max(c.from, -inside/run)
	default:
		c.to = min(c.to, -inside/run)
	}
}

func (c *clipping) part() (Segment, bool) {
	d := c.B.Sub(c.A)
	if float64((c.to-c.from)*d.Len()) <= Clip {
		return Segment{}, false
	}
	part := c.Segment
	if c.from > 0 {
		part.A = c.A.Add(d.Mul(c.from))
	}
	if c.to < 1 {
		part.B = c.A.Add(d.Mul(c.to))
	}
	return part, true
}
