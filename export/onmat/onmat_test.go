// SPDX-License-Identifier: Apache-2.0

package onmat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// drawProjector draws a projector that hangs in any way and its map.
func drawProjector(t *rapid.T) (virtual.Projector, *calibrate.Map) {
	p := virtual.Tilted()
	p.TiltX = rapid.Float64Range(-15, 15).Draw(t, "tilt")
	p.TiltY = rapid.Float64Range(-15, 15).Draw(t, "yaw")
	p.Turn = rapid.SampledFrom([]float64{0, 90, 180, 270}).Draw(t, "turn") + rapid.Float64Range(-5, 5).Draw(t, "askew")
	p.K1 = rapid.SampledFrom([]float64{0, 0.01, -0.01}).Draw(t, "lens")
	p.Wide = rapid.Float64Range(24, 50).Draw(t, "wide")
	return p, mapOf(t, p)
}

func mapOf(t interface{ Fatal(...any) }, p virtual.Projector) *calibrate.Map {
	f, err := p.Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
	if err != nil {
		t.Fatal(err)
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// landed returns where a polyline lands on the mat.
func landed(p virtual.Projector, points []geometry.Point) []geometry.Point {
	var out []geometry.Point
	for _, q := range points {
		x, y := p.Land(q.X, q.Y)
		out = append(out, geometry.Point{X: x, Y: y})
	}
	return out
}

// Law: the check square is one on the mat: each side as long as it says and
// straight, the diagonals equal; it and the words lie in the calibrated area
// without touching.
func TestCheckSquareIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := drawProjector(t)
		u := geometry.Unit(rapid.IntRange(0, 1).Draw(t, "unit"))
		room := RoomOf(m)
		square, words, ok := room.CheckSquare(u)
		if !ok {
			t.Skip("no room")
		}
		size := square.Width()
		step := u.Of(1, 5/geometry.CentimetresPerInch)
		if n := size / step; math.Abs(n-math.Round(n)) > 1e-9 || math.Abs(square.Height()-size) > 1e-9 {
			t.Fatalf("%v by %v", size, square.Height())
		}
		if most := u.Of(12, 30/geometry.CentimetresPerInch); size > most+1e-9 {
			t.Fatalf("%v in is larger than %v in", size, most)
		}
		if words.Max.X >= square.Min.X || !room.Holds(words) || !room.Holds(square) {
			t.Fatalf("square %v, words %v", square, words)
		}
		for _, s := range square.Polygon().Sides() {
			traces, whole := draw.ProjectPath(draw.Path{Points: []geometry.Point{s.A, s.B}}, m)
			if !whole {
				t.Fatalf("%d parts", len(traces))
			}
			d := s.B.Sub(s.A)
			for i, q := range landed(p, traces[0].Points) {
				along := float64(i) / float64(len(traces[0].Points)-1)
				if off := q.Sub(s.A.Add(d.Mul(along))).Len(); off > 0.0005 {
					t.Fatalf("side %v: %.5f in off at %v", s, off, along)
				}
			}
		}
	})
}

// Law: a quad is exact at the corners of its rectangle, and inside it is off
// by no more than the lens bends.
func TestQuad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, m := drawProjector(t)
		r, ok := RoomOf(m).Inner()
		if !ok {
			t.Fatal("no inner rectangle")
		}
		q, ok := QuadOf(m, r)
		if !ok {
			t.Fatal("no quad")
		}
		off := func(fx, fy float64) float64 {
			u, v, _ := m.ToScreen(r.Min.X+fx*q.Wide, r.Max.Y-fy*q.High)
			h, x, y := &q.Matrix, fx*q.Wide, fy*q.High
			w := h[6]*x + h[7]*y + h[8]
			return math.Hypot((h[0]*x+h[1]*y+h[2])/w-u, (h[3]*x+h[4]*y+h[5])/w-v)
		}
		for _, c := range [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
			if e := off(c[0], c[1]); e > 1e-6 {
				t.Fatalf("corner %v is off by %v px", c, e)
			}
		}
		most := 1e-6
		if m.Bends() {
			most = 15
		}
		for _, c := range [][2]float64{{0.5, 0.5}, {0.2, 0.7}, {0.5, 0}, {1, 0.4}} {
			if e := off(c[0], c[1]); e > most {
				t.Fatalf("%v is off by %v px", c, e)
			}
		}
	})
}

// Law: words turned so stand upright on the mat to within half a right angle;
// lettering leads to the right and up there.
func TestUpright(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := drawProjector(t)
		sin, cos := geometry.Angle(90 * Turn(m)).SinCos()
		x0, y0 := p.Land(960, 540)
		x1, y1 := p.Land(960+cos, 540+sin)
		if x1-x0 < math.Abs(y1-y0) {
			t.Fatalf("turned %d times, a step to the right leads to %v, %v", Turn(m), x1-x0, y1-y0)
		}
		l, ok := draw.ProjectText(draw.Text{At: geometry.Point{X: x0, Y: y0}, Height: 0.5, Value: "4", Centred: true}, m)
		if !ok {
			t.Fatal("off the screen")
		}
		for _, c := range []struct{ d, want geometry.Point }{{l.Across, geometry.Point{X: 0.5}}, {l.Up, geometry.Point{Y: 0.5}}} {
			x, y := p.Land(l.At.X+c.d.X, l.At.Y+c.d.Y)
			if off := (geometry.Point{X: x - x0, Y: y - y0}).Sub(c.want).Len(); off > 0.005 {
				t.Fatalf("%v leads to %v, %v", c.d, x-x0, y-y0)
			}
		}
	})
}

// Law: words that stay away from a place do.
func TestAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, m := drawProjector(t)
		room := RoomOf(m)
		inner, _ := room.Inner()
		from := geometry.Point{X: inner.Min.X, Y: inner.Min.Y + rapid.Float64Range(0, 1).Draw(t, "at")*inner.Height()}
		q, ok := room.Away(from, 1.5)
		if !ok || !room.Holds(q) {
			t.Fatalf("%v, %v", q, ok)
		}
		if q.Min.Y < from.Y+1.5-1e-9 && q.Max.Y > from.Y-1.5+1e-9 {
			t.Fatalf("%v is near %v", q, from)
		}
		if q.Height() < inner.Height()/2-1.5-1e-9 {
			t.Fatalf("%v of %v is left", q.Height(), inner.Height())
		}
	})
}
