// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Published and exact figures for a seam allowance of 1/4 in: a tip at 60
// degrees is cut off 1/4 in above the finished point (francesquilts.com,
// "Cutting 60-degree diamonds", by its cut height of finished + 1/2); points
// jut out 0.289 at 60, 0.500 at 45 and 0.866 at 30 degrees (exact); a triangle
// with pointed tips is cut 3/4 in higher than finished (mythicseam.com, "How to
// cut equilateral triangles"), so that its wide side is (4 + 3/4) 2/sqrt 3.
func TestStepsInNumbers(t *testing.T) {
	at := func(angle float64) *quilt.Plan {
		p, err := quilt.New(spec([]float64{2.5, 2.5}, 0.25, angle, 40, quilt.Zigzag, 5, 5))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := at(60)
	for _, shape := range geometry.Shapes {
		tips := p.Tips(shape)
		if len(tips) != 1 || math.Abs(tips[0].Past-0.25) > 1e-9 || math.Abs(tips[0].Off-0.25) > 1e-9 || tips[0].Corner != 60 {
			t.Errorf("%v: %+v", shape, tips)
		}
	}
	if got := p.WideSide(); math.Abs(got-4.75*2/math.Sqrt(3)) > 1e-9 {
		t.Errorf("wide side %v", got)
	}
	if got := p.TipToTip(); math.Abs(got-8.5) > 1e-9 { // 8 in from point to point, 1/4 in past either
		t.Errorf("tip to tip %v", got)
	}
	for angle, want := range map[float64]float64{60: 0.289, 45: 0.500, 30: 0.866} {
		if got := at(angle).DogEar(); math.Abs(got-want) > 0.0005 {
			t.Errorf("%v degrees: dog ear %v, want %v", angle, got, want)
		}
	}
}

// Law: what is cut off a sharp tip is what the sharp outline has and the
// blunted one lacks: the sharp corner lies Off beyond the cut, and Past + Off
// from the finished corner.
func TestTipsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		p := mustPlan(t, s)
		s.Tips = geometry.Sharp
		sharp := mustPlan(t, s)
		if n := len(sharp.Tips(geometry.Diamond)); n != 0 {
			t.Fatalf("%d sharp tips are cut", n)
		}
		// The longest line in the diamond's outline runs from tip to tip.
		if a, b := p.TipToTip(), sharp.TipToTip(); a > b+1e-9 {
			t.Fatalf("blunted %v, sharp %v", a, b)
		}
		for _, shape := range geometry.Shapes {
			piece := p.Set.Piece(shape, geometry.Right)
			for _, tip := range p.Tips(shape) {
				found := false
				for i, c := range piece.Finished {
					n := len(piece.Finished)
					u, v := piece.Finished[(i+1)%n].Sub(c), piece.Finished[(i+n-1)%n].Sub(c)
					angle := math.Atan2(u.Cross(v), u.Dot(v)) * 180 / math.Pi
					if math.Abs(angle-float64(tip.Corner)) > 1e-6 {
						continue
					}
					// Along the bisector, away from the piece.
					out := u.Mul(1 / u.Len()).Add(v.Mul(1 / v.Len()))
					out = out.Mul(-1 / out.Len())
					reach := 0.0
					for _, q := range piece.Outline {
						reach = max(reach, out.Dot(q.Sub(c)))
					}
					found = found || math.Abs(reach-tip.Past) < 1e-9
					if far := s.Seam / math.Sin(angle/2*math.Pi/180); math.Abs(tip.Past+tip.Off-far) > 1e-9 {
						t.Fatalf("%v: %+v, the raw edges meet %v out", shape, tip, far)
					}
				}
				if !found || !(tip.Off > -1e-9) {
					t.Fatalf("%v at %v degrees: no corner is cut as %+v says", shape, float64(s.Angle), tip)
				}
			}
		}
	})
}

// Law: the strips by their widths are all the strips of the fabric.
func TestStripCutsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		drawCloth(t, &s)
		p, err := quilt.New(s)
		outside.Refused(t, err, "fabrics", "backing", "binding") // wider than a fat quarter, and the like
		for _, c := range p.Cloth {
			sum := 0
			for _, cut := range p.StripCuts(c) {
				sum += cut.Full
				if s.Strips[cut.Strip].Cut != cut.Cut || s.Strips[cut.Strip].Fabric != c.Key {
					t.Fatalf("%+v is no strip of %s", cut, c.Key)
				}
			}
			if sum != c.Strips {
				t.Fatalf("%s: %d strips by width, %d in all", c.Key, sum, c.Strips)
			}
		}
	})
}

// Rolls of ready-cut strips are 2 1/2 or 1 1/2 in wide (quiltnotes.com,
// "Precut fabric").
func TestPrecutServes(t *testing.T) {
	for cut, want := range map[float64]float64{2.5: 2.5, 1.5: 1.5, 2: 0, 2.75: 0} {
		p, err := quilt.New(spec([]float64{cut, cut}, 0.25, 60, 40, quilt.Zigzag, 6, 8))
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Precut(p.Cloth[0]); got != want {
			t.Errorf("strips cut %v: ready-cut strips of %v", cut, got)
		}
	}
}
