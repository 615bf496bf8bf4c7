// SPDX-License-Identifier: Apache-2.0

package geometry

import "slices"

// Polygon is a closed outline: counter-clockwise, first vertex not repeated.
type Polygon []Point

// Area returns the enclosed area in square units, by the shoelace formula;
// it is negative for a clockwise outline.
func (g Polygon) Area() float64 {
	sum := 0.0
	for i, p := range g {
		sum += p.Cross(g[(i+1)%len(g)])
	}
	return sum / 2
}

// Bounds returns the smallest rectangle around g, empty for no vertices.
func (g Polygon) Bounds() Rect { return EmptyRect().Grow(g...) }

// Sides returns the sides, beginning with the one from the first vertex.
func (g Polygon) Sides() []Segment {
	out := make([]Segment, len(g))
	for i, p := range g {
		out[i] = Segment{p, g[(i+1)%len(g)]}
	}
	return out
}

// Middle returns the mean of the vertices.
func (g Polygon) Middle() Point {
	var sum Point
	for _, p := range g {
		sum = sum.Add(p)
	}
	return sum.Mul(1 / float64(len(g)))
}

// Move returns g displaced by d.
func (g Polygon) Move(d Point) Polygon { return g.Map(d.Add) }

// Map returns g with every vertex where f puts it.
func (g Polygon) Map(f func(Point) Point) Polygon {
	out := make(Polygon, len(g))
	for i, p := range g {
		out[i] = f(p)
	}
	return out
}

// MirrorX returns the mirror image in x, again counter-clockwise: its first
// vertex is the image of the first, the others follow in reversed order.
func (g Polygon) MirrorX() Polygon {
	out := make(Polygon, len(g))
	for i, p := range g {
		out[(len(g)-i)%len(g)] = p.MirrorX()
	}
	return out
}

// tidy drops vertices that repeat the one before.
func (g Polygon) tidy() Polygon {
	g = slices.CompactFunc(g, Point.near)
	for len(g) > 1 && g[0].near(g[len(g)-1]) {
		g = g[:len(g)-1]
	}
	if len(g) < 3 {
		return nil
	}
	return g
}

func (p Point) near(q Point) bool { return p.Sub(q).Len() <= Clip }
