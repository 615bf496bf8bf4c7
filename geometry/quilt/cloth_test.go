// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// drawCloth gives a pattern fabrics of every kind.
func drawCloth(t *rapid.T, s *quilt.Spec) {
	s.UsableWidth = rapid.Float64Range(20, 120).Draw(t, "usable width")
	for i := range s.Fabrics {
		f := &s.Fabrics[i]
		f.From = rapid.SampledFrom([]quilt.Source{quilt.Yardage, quilt.FatQuarters, quilt.Precut}).Draw(t, "from")
		if rapid.Bool().Draw(t, "own length") {
			f.StripLength = rapid.Float64Range(18, 120).Draw(t, "strip length")
		}
		f.Colours = make([]quilt.Colour, rapid.IntRange(1, 4).Draw(t, "colours"))
	}
	if n := len(s.Strips); n > 1 && rapid.Bool().Draw(t, "one fabric twice") {
		s.Strips[n-1].Fabric = s.Strips[0].Fabric
	}
	s.EndTrim = rapid.Float64Range(0, 1).Draw(t, "end trim")
}

// Law: what is bought is enough, cut out here piece by piece, without the
// planner: every strip set gets a strip of each fabric in its colour, as long
// as its row and the end trim.
func TestBoughtClothSuffices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		drawCloth(t, &s)
		s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "order")
		p, err := quilt.New(s)
		outside.Refused(t, err, "fabrics", "backing", "binding") // wider than a fat quarter, and the like
		if !p.Fewest.OK() {
			if p.Cloth != nil {
				t.Fatal("cloth for strip sets that can't be cut")
			}
			t.Skip("no strip set gives the pieces")
		}
		for _, c := range p.Cloth {
			whole := s.UsableWidth
			if c.StripLength > 0 {
				whole = c.StripLength
			}
			if len(c.ByColour) > len(c.Colours) {
				t.Fatalf("%d colours bought of %d", len(c.ByColour), len(c.Colours))
			}
			pieces, strips, length, buy := 0, 0, 0.0, 0.0
			for _, bought := range c.ByColour {
				strips, length, buy = strips+bought.Strips, length+bought.Length, buy+bought.Buy
				// Cut the longest pieces of each width first from whole
				// strips.
				var widths []float64
				open := map[float64][]float64{} // what is left of the strips of a width
				for i, st := range s.Strips {
					if st.Fabric != c.Key {
						continue
					}
					for k, l := range p.Fewest.Layouts {
						if p.ColourNumbers(k)[i] != bought.Number {
							continue
						}
						pieces++
						need := p.Set.Uses(l) + s.EndTrim
						if need > p.CommonLength+1e-9 {
							t.Fatalf("a row of %v from strips of %v", need, p.CommonLength)
						}
						if p.CommonLength > whole+1e-9 {
							t.Fatalf("%v from strips of %v", p.CommonLength, whole)
						}
						cut := false
						for j, rest := range open[st.Cut] {
							if p.CommonLength <= rest+1e-9 {
								open[st.Cut][j] -= p.CommonLength
								cut = true
								break
							}
						}
						if !cut {
							open[st.Cut] = append(open[st.Cut], whole-p.CommonLength)
							widths = append(widths, st.Cut)
						}
					}
				}
				if len(widths) > bought.Strips {
					t.Fatalf("%s: %d strips needed, %d planned", c.Key, len(widths), bought.Strips)
				}
				sum := 0.0
				for _, w := range widths {
					sum += w
				}
				have := math.Inf(1)
				switch bought.Unit {
				case "yd":
					have = bought.Buy * 36
				case "m":
					have = bought.Buy * 100
				case "strips":
					have = bought.Buy
					sum = float64(len(widths))
				case "fat quarters":
					sum = fatQuarters(widths)
					have = bought.Buy
				default:
					t.Fatalf("unit %q", bought.Unit)
				}
				if sum > have+1e-6 {
					t.Fatalf("%s: %v needed, %v %s bought", c.Key, sum, bought.Buy, bought.Unit)
				}
			}
			if pieces != c.Pieces {
				t.Fatalf("%d pieces of %s in colours that are bought, %d planned", pieces, c.Key, c.Pieces)
			}
			if strips != c.Strips || math.Abs(length-c.Length) > 1e-9 || math.Abs(buy-c.Buy) > 1e-9 {
				t.Fatalf("the colours of %s don't add up", c.Key)
			}
		}
	})
}

// fatQuarters returns how few fat quarters strips laid side by side across 18
// in take: every way of laying up to ten of them is tried, more are left to
// the test of the fabric package.
func fatQuarters(widths []float64) float64 {
	if len(widths) > 10 {
		return 0
	}
	best := len(widths)
	var lay func(i int, left []float64)
	lay = func(i int, left []float64) {
		if len(left) >= best && i < len(widths) {
			return
		}
		if i == len(widths) {
			best = min(best, len(left))
			return
		}
		for j := range left {
			if widths[i] <= left[j]+1e-9 {
				left[j] -= widths[i]
				lay(i+1, left)
				left[j] += widths[i]
			}
		}
		lay(i+1, append(left[:len(left):len(left)], 18-widths[i]))
	}
	lay(0, nil)
	return float64(best)
}

// A fat-quarter strip of 21 in beside yardage of 40 in: the strip set is as
// long as the shorter, and where 20 in give as many pieces, two lengths come
// out of each strip of yardage.
func TestTheBestCommonLength(t *testing.T) {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.OneWay, 1, 29)
	s.Fabrics[0].From, s.Fabrics[0].StripLength = quilt.FatQuarters, 21
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	// 29 diamonds and an edge triangle each way: three diamonds take 17.9 in,
	// two with both triangles 18.5 in, so that 20 in give as many as 21.
	if p.CommonLength > 20 || p.Cloth[1].PerStrip != 2 {
		t.Errorf("common length %v, %d from each strip of yardage", p.CommonLength, p.Cloth[1].PerStrip)
	}
	if n := len(p.Fewest.Layouts); p.Cloth[1].Strips != (n+1)/2 || p.Cloth[0].Strips != n {
		t.Errorf("%d strip sets from %d and %d strips", n, p.Cloth[0].Strips, p.Cloth[1].Strips)
	}
}

func TestSavingsAreReal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Bands}).Draw(t, "order")
		for i := range s.Fabrics {
			s.Fabrics[i].Colours = make([]quilt.Colour, rapid.IntRange(1, 4).Draw(t, "colours"))
		}
		p := mustPlan(t, s)
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		if n := p.Savings.MixedLeans; n > 0 {
			s.MixLeans = true
			if got := len(mustPlan(t, s).Fewest.Layouts); got != n {
				t.Fatalf("mixing was said to take %d strip sets, takes %d", n, got)
			}
			s.MixLeans = false
		}
		if n := p.Savings.Staggered; n > 0 {
			s.Stagger = true
			if got := len(mustPlan(t, s).Fewest.Layouts); got != n {
				t.Fatalf("staggering was said to take %d strip sets, takes %d", n, got)
			}
		}
	})
}

// What a quilter measures as she goes: three 1 1/2 in strips make 3 1/2 in
// (quiltcentric.com 2012-09-16), two 2 1/2 in ones 4 1/2 in (common practice,
// no source).
func TestChecksAndTrial(t *testing.T) {
	p, _ := quilt.New(spec([]float64{1.5, 1.5, 1.5}, 0.25, 60, 40, quilt.OneWay, 3, 5))
	if got := p.Trial().Total; got != 3.5 {
		t.Errorf("trial of three 1 1/2 in strips: %v", got)
	}
	p, _ = quilt.New(spec([]float64{2.5}, 0.25, 60, 40, quilt.OneWay, 3, 5))
	if got := p.Trial().Total; got != 4.5 {
		t.Errorf("trial of a single 2 1/2 in strip, doubled: %v", got)
	}
	// Single strips 2 1/2 wide finish 2 in: n of them measure 2n + 1/2.
	got := fmt.Sprint(p.Checks()[:4])
	if want := "[{1 2.5 2.5} {2 2.5 4.5} {3 2.5 6.5} {5 2.5 10.5}]"; got != want {
		t.Errorf("checks %s, want %s", got, want)
	}
	if c := p.Checks()[4]; c.Width != p.Finished.Width+0.5 || c.Length != p.Finished.Height+0.5 {
		t.Errorf("whole top %+v", c)
	}
	// A sixteenth off in 2 in is 3.125 % of what is finished; the whole top is
	// measured as it is above, raw edge to raw edge and with its borders.
	s := p.Spec
	s.Borders = []quilt.Border{{Cut: 3, Fabric: s.Strips[0].Fabric}}
	p, _ = quilt.New(s)
	whole := p.Checks()[4]
	if off := p.OffBy(0); off.Width != whole.Width || off.Height != whole.Length {
		t.Errorf("off by nothing: %v, the whole top %+v", off, whole)
	}
	if off := p.OffBy(1.0 / 16); math.Abs(whole.Length-off.Height-0.03125*p.Finished.Height) > 1e-12 {
		t.Errorf("off by 1/16: %v of %v", off, whole)
	}
}

// Law: strips of the widths that would hit the size do hit it.
func TestExactCutsHitTheSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		exact := mustPlan(t, s)
		s.Columns, s.Rows = 0, 0
		s.Finish = &quilt.Size{
			Width:  exact.Finished.Width * rapid.Float64Range(0.5, 3).Draw(t, "width"),
			Height: exact.Finished.Height * rapid.Float64Range(0.5, 3).Draw(t, "height"),
		}
		p := mustPlan(t, s)
		width, height := p.ExactCuts()
		for i, cuts := range [][]float64{width, height} {
			again := s
			again.Finish, again.Columns, again.Rows = nil, p.Columns, p.Rows
			again.Strips = append([]quilt.Strip{}, s.Strips...)
			for j, c := range cuts {
				again.Strips[j].Cut = c
			}
			set, err := strip.New(cuts, s.Seam, s.Angle, s.Tips, 0)
			outside.Refused(t, err, "strips") // one that narrow can't be sewn
			got := float64(p.Columns)*set.ShortDiagonal() - set.ShortDiagonal()/2
			want := s.Finish.Width
			if i == 1 {
				got, want = float64(p.Rows+1)*set.LongDiagonal()/2, s.Finish.Height
			}
			if math.Abs(got-want) > 1e-9*(1+want) {
				t.Fatalf("%v comes to %v, want %v", cuts, got, want)
			}
		}
	})
}
