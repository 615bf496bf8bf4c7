// SPDX-License-Identifier: Apache-2.0

package geometry

import "math"

// Point is a place or a displacement, in the pattern's unit.
type Point struct{ X, Y float64 }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{float64(p.X * k), float64(p.Y * k)} }

// Dot returns the scalar product.
func (p Point) Dot(q Point) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross returns the z component of the vector product; it is positive when q
// lies counter-clockwise of p.
func (p Point) Cross(q Point) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Len returns the length of p.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// MirrorX returns the mirror image in x.
func (p Point) MirrorX() Point { return Point{0 - p.X, p.Y} }

// Segment is the straight line from A to B.
type Segment struct{ A, B Point }

// MirrorX returns the mirror image in x.
func (s Segment) MirrorX() Segment { return Segment{s.A.MirrorX(), s.B.MirrorX()} }

// Move returns s displaced by d.
func (s Segment) Move(d Point) Segment { return Segment{s.A.Add(d), s.B.Add(d)} }

// Rect is an axis-parallel rectangle. The zero Rect is the point (0, 0);
// start a bounding box with [EmptyRect].
type Rect struct{ Min, Max Point }

// EmptyRect returns the rectangle that holds nothing, for growing.
func EmptyRect() Rect {
	inf := math.Inf(1)
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

// Empty reports whether r holds no point.
func (r Rect) Empty() bool { return r.Min.X > r.Max.X || r.Min.Y > r.Max.Y }

// Grow returns the smallest rectangle that holds r and the points.
func (r Rect) Grow(points ...Point) Rect {
	for _, p := range points {
		r.Min.X, r.Min.Y = min(r.Min.X, p.X), min(r.Min.Y, p.Y)
		r.Max.X, r.Max.Y = max(r.Max.X, p.X), max(r.Max.Y, p.Y)
	}
	return r
}

// Union returns the smallest rectangle that holds both.
func (r Rect) Union(s Rect) Rect {
	if s.Empty() {
		return r
	}
	return r.Grow(s.Min, s.Max)
}

// Width returns the extent in x.
func (r Rect) Width() float64 { return r.Max.X - r.Min.X }

// Height returns the extent in y.
func (r Rect) Height() float64 { return r.Max.Y - r.Min.Y }

// Centre returns the point in the middle of r.
func (r Rect) Centre() Point { return r.Min.Add(r.Max).Mul(0.5) }

// Move returns r displaced by d.
func (r Rect) Move(d Point) Rect { return Rect{r.Min.Add(d), r.Max.Add(d)} }

// Inset returns r with each side by that much farther in; less than 0 is
// farther out.
func (r Rect) Inset(by float64) Rect {
	return Rect{r.Min.Add(Point{by, by}), r.Max.Sub(Point{by, by})}
}

// Polygon returns the corners of r, the lower-left one first.
func (r Rect) Polygon() Polygon {
	return Polygon{r.Min, {r.Max.X, r.Min.Y}, r.Max, {r.Min.X, r.Max.Y}}
}
