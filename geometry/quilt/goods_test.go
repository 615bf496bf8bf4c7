// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// TestKits: what kits take is worked out strip by strip, with the amounts that a shop
// sells (yards in eighths, metres in tenths) as in common practice, no source.
//
//   - one kit is bought as the quilt is;
//   - n kits never take more than n times what one takes, of anything;
//   - they take no less than what lies in n bags;
//   - and no less than one kit fewer, for up to three widths of a fabric;
//   - the bill of cutting gives n times the strips of one, for each strip set.
func TestKits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		drawCloth(t, &s)
		p, err := quilt.New(s)
		outside.Refused(t, err, "fabrics", "backing", "binding") // wider than a fat quarter, and the like
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		one, err := p.Kits(1)
		if err != nil {
			t.Fatal(err)
		}
		own := p.Goods()
		if !reflect.DeepEqual(one.Cloth, own.Cloth) || !reflect.DeepEqual(one.Cutting, own.Cutting) || !reflect.DeepEqual(one.Borders, own.Borders) || one.Backing != own.Backing || one.Binding != own.Binding {
			t.Fatalf("one kit takes %+v, the quilt %+v", one, own)
		}
		n := rapid.IntRange(2, 40).Draw(t, "kits")
		before, err := p.Kits(n - 1)
		if err != nil {
			t.Fatal(err)
		}
		all, err := p.Kits(n)
		if err != nil {
			t.Fatal(err)
		}
		amounts, bag := bought(one), p.Bag()
		for what, buy := range bought(all) {
			if buy > amounts[what]*float64(n)+1e-9 {
				t.Fatalf("%s: %d kits take %v, one %v", what, n, buy, amounts[what])
			}
			if buy < bought(before)[what] {
				t.Fatalf("%s: %d kits take %v, one fewer %v", what, n, buy, bought(before)[what])
			}
		}
		for _, c := range all.Cloth {
			area := 0.0
			for _, b := range bag {
				if b.For == quilt.ForStripSets && b.Fabric == c.Key {
					area += float64(n*b.Count) * b.Cut * b.Length
				}
			}
			if have := cloth(p, c); have < area*(1-1e-12) {
				t.Fatalf("%s: %v square to buy, %v in the bags", c.Key, have, area)
			}
		}
		if got, want := takenBy(all), takenBy(one); len(got) != len(want) {
			t.Fatalf("%d strips of strip sets, want %d", len(got), len(want))
		} else {
			for k, m := range want {
				if got[k] != n*m {
					t.Fatalf("%+v: %d strips for %d kits, %d for one", k, got[k], n, m)
				}
			}
		}
	})
}

// bought returns what is bought of each thing.
func bought(g quilt.Goods) map[string]float64 {
	out := map[string]float64{"backing": g.Backing.Buy, "binding": g.Binding.Buy}
	for _, c := range g.Cloth {
		out["fabric "+c.Key] = c.Buy
		for _, one := range c.ByColour {
			out["fabric "+c.Key+one.Colour.String()] = one.Buy
		}
	}
	for i, b := range g.Borders {
		out["border "+string(rune('1'+i))] = b.Buy
	}
	return out
}

// cloth returns the area of what is bought of a fabric, off the selvages.
func cloth(p *quilt.Plan, c quilt.Cloth) float64 {
	area := 0.0
	strip := p.Spec.UsableWidth
	if c.StripLength != 0 {
		strip = c.StripLength
	}
	switch u := p.Spec.Unit; c.From {
	case quilt.Yardage:
		area = c.Buy * u.Of(36, 100) * strip
	case quilt.FatQuarters:
		area = c.Buy * u.Of(18, 46) * strip
	default: // as wide as it is cut
		area = c.Length * strip
	}
	return area
}

// takenBy counts the strips of the bill of cutting.
func takenBy(g quilt.Goods) map[[2]any]int {
	type strip struct {
		fabric string
		number int
		at     int
	}
	out := map[[2]any]int{}
	for _, w := range g.Cutting {
		for _, s := range w.Strips {
			for _, k := range s.StripSets {
				out[[2]any{k, strip{w.Fabric, w.Number, s.Strip}}]++
			}
		}
	}
	return out
}

// TestKitsByHand: 40 in wide cloth, strips of strip sets up to 20 in long where two
// come out of a strip. One kit of three strips cut 3 in takes two strips (6 in, with 2
// in to straighten 8 in: 1/4 yd, 9 in); four kits take twelve lengths from six strips:
// 18 in and 2 in, 5/8 yd (22 1/2 in), where four times one would be 1 yd. By hand; no
// source.
func TestKitsByHand(t *testing.T) {
	s := quilt.Spec{Name: "Three bands", Angle: 60, Seam: 0.25, UsableWidth: 40, Straighten: 2, Layout: quilt.OneWay, Columns: 2, Rows: 3,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "a"}, {Cut: 3, Fabric: "b"}},
		Fabrics: []quilt.Fabric{{Key: "a", StripLength: 20, Colours: []quilt.Colour{{1}}}, {Key: "b", StripLength: 40, Colours: []quilt.Colour{{2}}}}}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	sets := len(p.Fewest.Layouts)
	for n := 1; n <= 30; n++ {
		g, err := p.Kits(n)
		if err != nil {
			t.Fatal(err)
		}
		for i, perStrip := range []int{1, 2} {
			strips := (n*sets + perStrip - 1) / perStrip
			if buy := math.Ceil((float64(3*strips)+2)/4.5-1e-9) / 8; g.Cloth[i].Strips != strips || g.Cloth[i].Buy != buy {
				t.Errorf("%d kits: %+v, want %d strips and %v yd", n, g.Cloth[i].Purchase, strips, buy)
			}
		}
	}
}

// TestNoKits: what no kit can be packed of is refused by the field that is to blame.
func TestNoKits(t *testing.T) {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.Zigzag, 3, 3)
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	s.Columns, s.Rows, s.StripSets = 0, 0, 4
	few, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		plan  *quilt.Plan
		n     int
		field string
	}{{p, 0, "kits"}, {p, -1, "kits"}, {p, quilt.MaxKits + 1, "kits"}, {few, 2, "strip_sets"}} {
		_, err := c.plan.Kits(c.n)
		var bad *geometry.Error
		if !errors.As(err, &bad) || bad.Field != c.field || bad.Hint == "" {
			t.Errorf("%d kits: %v", c.n, err)
		}
	}
}
