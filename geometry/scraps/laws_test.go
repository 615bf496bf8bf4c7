// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

func init() { outside.FewCases(8) }

// drawPlan draws a small quilt of any kind.
func drawPlan(t *rapid.T) *quilt.Plan {
	layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
	if err != nil {
		t.Fatal(err)
	}
	spec := quilt.Spec{
		Angle:       geometry.Angle(rapid.SampledFrom([]float64{60, 60, 60, 45, 72.5, 30}).Draw(t, "angle")),
		Seam:        0.25,
		Tips:        rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		UsableWidth: rapid.SampledFrom([]float64{40, 60}).Draw(t, "usable width"),
		Layout:      layout,
		Columns:     rapid.IntRange(1, 5).Draw(t, "columns"),
		Rows:        rapid.IntRange(1, 6).Draw(t, "rows"),
		ColourOrder: rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "order"),
		Stagger:     rapid.Bool().Draw(t, "stagger"),
		EndTrim:     rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "end trim"),
		Spare:       rapid.SampledFrom([]int{0, 0, 2}).Draw(t, "spare"),
	}
	spec.MixLeans = spec.Angle == 60 && rapid.Bool().Draw(t, "mix")
	if spec.Angle == 60 && rapid.IntRange(0, 3).Draw(t, "straight") == 0 {
		spec.EdgeGrain = quilt.Straight
	}
	keys := rapid.SampledFrom([]string{"a", "ab", "ab", "ab", "aba", "abc", "aa"}).Draw(t, "fabrics")
	for _, k := range keys {
		spec.Strips = append(spec.Strips, quilt.Strip{
			Cut:    rapid.SampledFrom([]float64{1.5, 2, 2, 2.5}).Draw(t, "cut"),
			Fabric: string(k),
		})
		if !slices.ContainsFunc(spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == string(k) }) {
			spec.Fabrics = append(spec.Fabrics, quilt.Fabric{Key: string(k), Colours: []quilt.Colour{{1, 2, 3}}})
		}
	}
	p, err := quilt.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func drawScraps(t *rapid.T, p *quilt.Plan, most int) []scraps.Scrap {
	var out []scraps.Scrap
	for i := range rapid.IntRange(0, most).Draw(t, "scraps") {
		s := scraps.Scrap{
			Fabric: p.Spec.Fabrics[i%len(p.Spec.Fabrics)].Key,
			Name:   rapid.SampledFrom([]string{"", "coral", "dusk", "leaf"}).Draw(t, "name"),
			Width:  float64(rapid.IntRange(5, 40).Draw(t, "width, quarters")) / 4,
			Length: float64(rapid.IntRange(8, 200).Draw(t, "length, quarters")) / 4,
			Count:  rapid.SampledFrom([]int{1, 1, 1, 2, 5}).Draw(t, "count"),
		}
		if rapid.Bool().Draw(t, "coloured") {
			s.Colour = &quilt.Colour{uint8(rapid.IntRange(0, 2).Draw(t, "colour"))}
		}
		out = append(out, s)
	}
	return out
}

// Law: every plan holds, whatever the quilt and the scraps.
func TestEveryPlanHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		in := drawScraps(t, p, 16)
		largest := rapid.Bool().Draw(t, "largest")
		out, err := scraps.New(p, in, largest)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, in, out)
		if out.Enough && !largest && out.Made != out.Wanted {
			t.Fatalf("enough for %+v, made %+v", out.Wanted, out.Made)
		}
		if rapid.IntRange(0, 3).Draw(t, "once more") > 0 {
			return
		}
		again, _ := scraps.New(p, in, largest)
		if !reflect.DeepEqual(out.Sets, again.Sets) || !reflect.DeepEqual(out.Left, again.Left) {
			t.Fatal("another answer the second time")
		}
	})
}

// Law: with what the plan says to add, the scraps suffice.
func TestShortfallSuffices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		p.Spec.ColourOrder = quilt.Gradient
		bin := drawScraps(t, p, 8)
		in := slices.Clone(bin)
		out, err := scraps.New(p, in, false)
		if err != nil {
			t.Fatal(err)
		}
		if out.Enough {
			if len(out.Short) > 0 {
				t.Fatalf("enough, and short of %+v", out.Short)
			}
			return
		}
		if p.Fewest.OK() && len(out.Short) == 0 {
			t.Fatal("nothing to add")
		}
		for _, s := range out.Short {
			sum := 0.0
			for _, l := range s.Strips {
				sum += l
				in = append(in, scraps.Scrap{Fabric: s.Fabric, Width: s.Width, Length: l, Count: 1})
			}
			if sum != s.Length {
				t.Fatalf("%+v", s)
			}
		}
		if len(out.Short) == 0 {
			return
		}
		more, err := scraps.New(p, in, false)
		if err != nil {
			t.Fatal(err)
		}
		if check(t, p, in, more); !more.Enough {
			t.Fatalf("not enough with %+v", out.Short)
		}
		// Nothing of it is needless: the shortest strip of each fabric is needed.
		for i := range out.Short {
			all := slices.Clone(bin)
			for k, s := range out.Short {
				strips := s.Strips
				if k == i {
					strips = strips[:len(strips)-1]
				}
				for _, l := range strips {
					all = append(all, scraps.Scrap{Fabric: s.Fabric, Width: s.Width, Length: l, Count: 1})
				}
			}
			if less, err := scraps.New(p, all, false); err == nil && less.Enough {
				t.Fatalf("without the shortest strip of %s there is enough, too: %+v", out.Short[i].Fabric, out.Short)
			}
		}
	})
}

// Law: more scraps never make fewer quilts, nor a bound worse than it proves.
func TestMoreScrapsAreNoWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		p.Spec.ColourOrder = quilt.Gradient
		in := drawScraps(t, p, 12)
		out, err := scraps.New(p, in, false)
		if err != nil {
			t.Fatal(err)
		}
		more, err := scraps.New(p, append(in, drawScraps(t, p, 4)...), false)
		if err != nil {
			t.Fatal(err)
		}
		if out.Enough && more.Enough && more.Bound.Sets > len(out.Sets) {
			t.Fatalf("%d strip sets do, and with more scraps no fewer than %d", len(out.Sets), more.Bound.Sets)
		}
		if out.Enough && !more.Enough && more.Proven {
			t.Fatal("more scraps, and it is proven that they don't suffice")
		}
	})
}

func ExampleNew() {
	p, _ := quilt.New(quilt.Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 3, Rows: 4,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "warm"}, {Cut: 2.5, Fabric: "cool"}},
		Fabrics: []quilt.Fabric{{Key: "warm"}, {Key: "cool"}},
	})
	plan, _ := scraps.New(p, []scraps.Scrap{
		{Fabric: "warm", Name: "coral", Width: 5.5, Length: 31, Count: 1},
		{Fabric: "warm", Name: "brick", Width: 2.5, Length: 44, Count: 1},
		{Fabric: "cool", Name: "linen", Width: 2.75, Length: 33, Count: 2},
		{Fabric: "cool", Name: "fog", Width: 3, Length: 40, Count: 1},
	}, false)
	fmt.Println(plan.Enough, len(plan.Sets), plan.Bound.Sets)
	for _, s := range plan.Sets {
		fmt.Printf("%.2f %v %s %s with %s\n", s.Length, s.Lean, s.Word, plan.Scraps[s.Strips[0].Scrap].Name, plan.Scraps[s.Strips[1].Scrap].Name)
	}
	// Output:
	// true 3 3
	// 24.25 right DDLULU coral with linen
	// 23.09 right DDDD coral with linen
	// 39.26 left UDDDDDDL brick with fog
}
