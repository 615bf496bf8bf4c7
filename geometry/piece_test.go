// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
)

func drawCutting(t *rapid.T) geometry.Cutting {
	seam := rapid.Float64Range(0.05, 2).Draw(t, "seam")
	c := geometry.Cutting{
		Seam:  seam,
		Width: seam * rapid.Float64Range(2.05, 60).Draw(t, "width over seam"),
		Angle: geometry.Angle(rapid.Float64Range(15, 90).Draw(t, "angle")),
		Tips:  rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
	}
	for k := 1.0; k < 3; k++ {
		c.Seams = append(c.Seams, c.Width*k/3)
	}
	return c
}

// Laws of every piece: counter-clockwise, convex, on the strip set, the
// finished corners inside by the seam allowance, and every edge is what it
// says it is.
func TestPieceLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		shape := rapid.SampledFrom(geometry.Shapes[:]).Draw(t, "shape")
		lean := rapid.SampledFrom(geometry.Leans[:]).Draw(t, "lean")
		p := c.Piece(shape, lean)
		if len(p.Edges) != len(p.Outline) || p.Finished.Area() <= 0 {
			t.Fatalf("%d edges, %d vertices, area %v", len(p.Edges), len(p.Outline), p.Finished.Area())
		}
		for i, u := range p.Outline {
			v, w := p.Outline[(i+1)%len(p.Outline)], p.Outline[(i+2)%len(p.Outline)]
			d := v.Sub(u)
			if d.Cross(w.Sub(v)) < -1e-12 {
				t.Fatalf("vertex %d turns the wrong way", i+1)
			}
			if u.Y < 0 || u.Y > c.Width {
				t.Fatalf("vertex %v lies off the strip set, %v wide", u, c.Width)
			}
			// The grain is the direction, folded into 0..90 degrees.
			deg := math.Abs(math.Atan2(d.Y, d.X)) * 180 / math.Pi
			deg = min(deg, 180-deg)
			if l := d.Len(); math.Abs(deg-p.Edges[i].Grain) > 1e-6+1e-9/l {
				t.Fatalf("edge %d, %v: runs at %v degrees, says %v", i, p.Edges[i].Kind, deg, p.Edges[i].Grain)
			}
			onRim := u.Y == v.Y && (u.Y == 0 || u.Y == c.Width)
			if onRim != (p.Edges[i].Kind == geometry.StripEdge) {
				t.Fatalf("edge %d from %v to %v is a %v", i, u, v, p.Edges[i].Kind)
			}
			for _, f := range p.Finished {
				inside := d.Cross(f.Sub(u)) / d.Len()
				if p.Edges[i].Kind != geometry.TipTrim && inside < c.Seam-1e-9 && !(onRim && inside >= 0) {
					t.Fatalf("finished corner %v lies %v inside edge %d, want %v", f, inside, i, c.Seam)
				}
			}
		}
		for _, s := range p.Seams {
			if s.A.Y != s.B.Y || s.A.X >= s.B.X {
				t.Fatalf("seam line %v does not run along the strip from left to right", s)
			}
		}
	})
}

// Law: a left-leaning piece is the mirror image of the right-leaning one,
// edges and seams included.
func TestMirrorLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		shape := rapid.SampledFrom(geometry.Shapes[:]).Draw(t, "shape")
		r, l := c.Piece(shape, geometry.Right), c.Piece(shape, geometry.Left)
		n := len(r.Outline)
		for i, v := range r.Outline {
			j := (n - i) % n
			if l.Outline[j] != v.MirrorX() {
				t.Fatalf("vertex %d: %v, mirrored %v", i, v, l.Outline[j])
			}
			// The edge that begins at v ends at its image.
			if r.Edges[i] != l.Edges[(j+n-1)%n] {
				t.Fatalf("edge %d: %v, mirrored %v", i, r.Edges[i], l.Edges[(j+n-1)%n])
			}
		}
		for i, s := range r.Seams {
			if l.Seams[i] != (geometry.Segment{A: s.B.MirrorX(), B: s.A.MirrorX()}) {
				t.Fatalf("seam %d: %v, mirrored %v", i, s, l.Seams[i])
			}
		}
		if c.Centre(geometry.Left) != c.Centre(geometry.Right).MirrorX() {
			t.Fatal("centres are not mirror images")
		}
	})
}

// Law: an edge triangle is half of the diamond.
func TestTrianglesAreHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		d := c.Piece(geometry.Diamond, geometry.Right).Finished.Area()
		for _, s := range []geometry.Shape{geometry.LowerTriangle, geometry.UpperTriangle} {
			if a := c.Piece(s, geometry.Right).Finished.Area(); math.Abs(2*a-d) > 1e-11*d {
				t.Fatalf("%v has area %v, half a diamond %v", s, a, d/2)
			}
		}
	})
}

// At 60 degrees a diamond is cut off a seam allowance beyond its finished
// points, square to the long diagonal: 1/4 in, as a published page has it for
// a triangle's blunted tip (finished 3 in from a strip cut 3 1/2 in:
// https://francesquilts.com/2022/08/14/cutting-60-degree-diamonds/).
func TestBluntedTipLiesASeamBeyondThePoint(t *testing.T) {
	c := geometry.Cutting{Width: 3.5, Seam: 0.25, Angle: 60}
	p := c.Piece(geometry.Diamond, geometry.Right)
	far := p.Finished[2].Sub(p.Finished[0])
	far = far.Mul(1 / far.Len())
	reach := math.Inf(-1)
	for _, v := range p.Outline {
		reach = max(reach, far.Dot(v.Sub(p.Finished[2])))
	}
	if math.Abs(reach-0.25) > 1e-12 {
		t.Errorf("the tip reaches %v past the point, want 0.25", reach)
	}
	// The flat of the edge triangle's tip: 2 x 0.25 / sqrt 3 = 0.2887 wide,
	// exactly on the strip's edge (same page, computed).
	tri := c.Piece(geometry.LowerTriangle, geometry.Right)
	for i, e := range tri.Edges {
		u, v := tri.Outline[i], tri.Outline[(i+1)%len(tri.Outline)]
		if e.Kind == geometry.StripEdge && u.Y == 3.5 {
			if w := v.Sub(u).Len(); math.Abs(w-0.5/math.Sqrt(3)) > 1e-12 {
				t.Errorf("the flat tip is %v wide, want 0.28868", w)
			}
			return
		}
	}
	t.Error("the tip does not lie on the strip's edge")
}

// Published figures, each exact or rounded as the page rounds; the addresses
// are in testdata/check/README.md.
func TestPublishedSizes(t *testing.T) {
	for _, c := range []struct {
		source      string
		width, seam float64
		angle       geometry.Angle
		what        func(geometry.Cutting) float64
		want, round float64
	}{
		{"Harlequin Diamonds, 2016: finished width 5 has side 5.77", 5.5, 0.25, 60, geometry.Cutting.FinishedSide, 5.77, 0.005},
		{"Harlequin Diamonds, 2016: finished width 5 has long diagonal 10", 5.5, 0.25, 60, geometry.Cutting.LongDiagonal, 10, 1e-12},
		{"Harlequin Diamonds, 2016: short diagonal is the side", 5.5, 0.25, 60, geometry.Cutting.ShortDiagonal, 5.77, 0.005},
		{"Equilateral Diamonds thread: cuts 2 1/4 apart along a strip 2 wide, to 1/4", 2, 0.25, 60, geometry.Cutting.CutSide, 2.25, 0.125},
		{"Equilateral Diamonds thread: 2 3/4 apart at 45 degrees, to 1/4", 2, 0.25, 45, geometry.Cutting.CutSide, 2.75, 0.125},
		{"Lone star, debbykratovilquilts 2015-11: strip 4 1/2 at 45 degrees, side 5.657", 4.5, 0.25, 45, geometry.Cutting.FinishedSide, 5.657, 0.0005},
		{"Cutting 60 Degree Diamonds, cutitstraight 2015: allowance 0.321, strip 2 3/8, side 2", 2.375, 0.3215, 60, geometry.Cutting.FinishedSide, 2, 0.005},
	} {
		got := c.what(geometry.Cutting{Width: c.width, Seam: c.seam, Angle: c.angle})
		if math.Abs(got-c.want) > c.round {
			t.Errorf("%s: got %v", c.source, got)
		}
	}
}
