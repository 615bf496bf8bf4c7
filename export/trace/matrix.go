// SPDX-License-Identifier: Apache-2.0

package trace

import (
	"math"

	"lozenge/geometry"
)

// Matrix is an affine map: x' = a x + c y + e, y' = b x + d y + f, in the
// order in which SVG and PDF write it.
type Matrix [6]float64

// Identity returns the map that moves nothing.
func Identity() Matrix { return Matrix{1, 0, 0, 1, 0, 0} }

// Translate returns a displacement.
func Translate(x, y float64) Matrix { return Matrix{1, 0, 0, 1, x, y} }

// Scale returns a scaling about the origin.
func Scale(x, y float64) Matrix { return Matrix{x, 0, 0, y, 0, 0} }

// Rotate returns a rotation about the origin, from x towards y.
func Rotate(a geometry.Angle) Matrix {
	sin, cos := a.SinCos()
	return Matrix{cos, sin, -sin, cos, 0, 0}
}

// Apply maps a point.
func (m Matrix) Apply(p geometry.Point) geometry.Point {
	return geometry.Point{
		X: float64(m[0]*p.X) + float64(m[2]*p.Y) + m[4],
		Y: float64(m[1]*p.X) + float64(m[3]*p.Y) + m[5],
	}
}

// After returns the map that applies first and then m.
func (m Matrix) After(first Matrix) Matrix {
	x := m.Apply(geometry.Point{X: first[4], Y: first[5]})
	return Matrix{
		float64(m[0]*first[0]) + float64(m[2]*first[1]),
		float64(m[1]*first[0]) + float64(m[3]*first[1]),
		float64(m[0]*first[2]) + float64(m[2]*first[3]),
		float64(m[1]*first[2]) + float64(m[3]*first[3]),
		x.X, x.Y,
	}
}

// Det returns the determinant: negative when m mirrors.
func (m Matrix) Det() float64 { return float64(m[0]*m[3]) - float64(m[1]*m[2]) }

// Stretch returns how much longer m makes a length at most: its greater singular
// value.
func (m Matrix) Stretch() float64 {
	return (math.Hypot(m[0]+m[3], m[1]-m[2]) + math.Hypot(m[0]-m[3], m[1]+m[2])) / 2
}

// Finite reports whether all numbers of m are.
func (m Matrix) Finite() bool {
	sum := 0.0
	for _, v := range m {
		sum += math.Abs(v)
	}
	return sum <= math.MaxFloat64
}
