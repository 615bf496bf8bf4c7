// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// Law: the bill of cutting gives every strip set its strips, each once and in
// its colour; no whole piece gives more than it holds; and the whole pieces
// are what is bought.
func TestBillOfCutting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		drawCloth(t, &s)
		s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "order")
		p, err := quilt.New(s)
		outside.Refused(t, err, "fabrics", "backing", "binding") // wider than a fat quarter, and the like
		type lengths struct {
			set    int
			fabric string
			cut    float64
			colour int
		}
		want, got := map[lengths]int{}, map[lengths]int{}
		for k := range p.Fewest.Layouts {
			for i, n := range p.ColourNumbers(k) {
				want[lengths{k, s.Strips[i].Fabric, s.Strips[i].Cut, n}]++
			}
		}
		type bought struct {
			fabric string
			colour int
		}
		cloth, pieces, strips := map[bought]float64{}, map[bought]int{}, map[bought]int{}
		for _, w := range p.Cutting {
			of := bought{w.Fabric, w.Number}
			pieces[of] += w.Times
			wide := 0.0
			for _, c := range w.Strips {
				if len(c.StripSets) != w.Times*c.Count || c.Length != p.CommonLength || c.Count < 1 {
					t.Fatalf("%+v of %+v", c, w)
				}
				for _, k := range c.StripSets {
					got[lengths{k, w.Fabric, c.Cut, w.Number}]++
				}
				each := int(w.Length/c.Length + 1e-9)
				if full := int(math.Ceil(float64(c.Count) / float64(each))); full != c.Full {
					t.Fatalf("%+v: %d in each strip of %+v", c, each, w)
				}
				wide += c.Cut * float64(c.Full)
				strips[of] += w.Times * c.Full
			}
			if wide > w.Width+1e-9 || w.From == quilt.FatQuarters && w.Width != fabric.FatQuarterWidth(s.Unit) || w.From == quilt.Precut && len(w.Strips) != 1 {
				t.Fatalf("%v across %+v", wide, w)
			}
			cloth[of] += w.Width * float64(w.Times)
		}
		for of, n := range want {
			if p.Fewest.OK() && got[of] != n {
				t.Fatalf("strip set %d takes %d strips of %s, cut %v, colour %d; the bill has %d", of.set, n, of.fabric, of.cut, of.colour, got[of])
			}
			delete(got, of)
		}
		if len(got) > 0 {
			t.Fatalf("the bill has strips for no strip set: %v", got)
		}
		for _, c := range p.Cloth {
			for _, one := range c.ByColour {
				of := bought{c.Key, one.Number}
				if strips[of] != one.Strips || c.From != quilt.Yardage && float64(pieces[of]) != one.Buy || c.From != quilt.FatQuarters && math.Abs(cloth[of]-one.Length) > 1e-6 {
					t.Fatalf("%+v bought, %d strips from %d pieces of %v", one, strips[of], pieces[of], cloth[of])
				}
				if again, ok := c.Colour(one.Number); !ok || again != one {
					t.Fatalf("colour %d is %+v", one.Number, again)
				}
			}
		}
	})
}

// Strips 2 1/2 and 6 1/2 in wide of one fabric: 6 1/2 + 6 1/2 + 2 1/2 + 2 1/2
// fill a fat quarter of 18 in, so half as many are bought as strip sets are
// sewn, or one half more.
func TestWidthsShareAFatQuarter(t *testing.T) {
	s := spec([]float64{2.5, 6.5}, 0.25, 60, 40, quilt.Zigzag, 6, 7)
	s.Strips[1].Fabric = s.Strips[0].Fabric
	s.Fabrics[0].From, s.Fabrics[0].StripLength = quilt.FatQuarters, 21
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	sets := len(p.Fewest.Layouts)
	if want := float64((sets + 1) / 2); p.Cloth[0].Buy != want {
		t.Errorf("%v fat quarters for %d strip sets, want %v", p.Cloth[0].Buy, sets, want)
	}
	if w := p.Cutting[0]; len(w.Strips) != 2 || w.Strips[0].Count != 2 || w.Strips[1].Count != 2 || w.Times != sets/2 {
		t.Errorf("%+v", w)
	}
}
