// SPDX-License-Identifier: Apache-2.0

package onmat

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Quad takes places in a rectangle on the mat, in inches to the right and
// down from its upper left corner, to pixels: (x, y, 1) times the matrix, row
// by row, divided by the third.
type Quad struct {
	Matrix     [9]float64
	Wide, High float64 // of the rectangle, in
}

// QuadOf returns the quad of a rectangle on the mat: exact at its corners, and
// all over where the lens bends nothing. ok is false when a corner lies off
// the screen.
func QuadOf(m *calibrate.Map, r geometry.Rect) (q Quad, ok bool) {
	q = Quad{Wide: r.Width(), High: r.Height()}
	var c [4]geometry.Point // upper left, upper right, lower right, lower left
	for i, p := range [4]geometry.Point{{X: r.Min.X, Y: r.Max.Y}, r.Max, {X: r.Max.X, Y: r.Min.Y}, r.Min} {
		if c[i].X, c[i].Y, ok = m.ToScreen(p.X, p.Y); !ok {
			return q, false
		}
	}
	q.Matrix, ok = squareTo(c)
	for i := range q.Matrix {
		switch i % 3 {
		case 0:
			q.Matrix[i] /= q.Wide
		case 1:
			q.Matrix[i] /= q.High
		}
	}
	return q, ok && q.Wide > 0 && q.High > 0
}

// squareTo returns the map of the unit square onto four corners, in order
// (Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section
// 2.2.3).
func squareTo(c [4]geometry.Point) (h [9]float64, ok bool) {
	d1, d2 := c[1].Sub(c[2]), c[3].Sub(c[2])
	s := c[0].Sub(c[1]).Add(c[2]).Sub(c[3])
	det := d1.Cross(d2)
	if det == 0 {
		return h, false
	}
	g, k := s.Cross(d2)/det, d1.Cross(s)/det
	return [9]float64{
		c[1].X - c[0].X + float64(g*c[1].X), c[3].X - c[0].X + float64(k*c[3].X), c[0].X,
		c[1].Y - c[0].Y + float64(g*c[1].Y), c[3].Y - c[0].Y + float64(k*c[3].Y), c[0].Y,
		g, k, 1,
	}, true
}

// Turn returns by how many quarter turns, clockwise on the screen, words have
// to stand so that they read upright on the mat, to the nearest one.
func Turn(m *calibrate.Map) int {
	s := m.Screen()
	x, y := m.ToMat(float64(s.Width)/2, float64(s.Height)/2)
	u0, v0, _ := m.ToScreen(x, y)
	u1, v1, _ := m.ToScreen(x+1, y)
	quarters := math.Round(math.Atan2(v1-v0, u1-u0) / (math.Pi / 2))
	return (int(quarters) + 4) % 4
}
