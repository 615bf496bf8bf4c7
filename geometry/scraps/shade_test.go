// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// dusk is a zigzag from two fabrics of which a bin has so many greys each.
func dusk(t *testing.T, order quilt.ColourOrder, greys int, spec quilt.Spec) (*quilt.Plan, []scraps.Scrap) {
	t.Helper()
	spec.Angle, spec.Seam, spec.UsableWidth, spec.ColourOrder = 60, 0.25, 40, order
	spec.Strips = []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}}
	spec.Fabrics = []quilt.Fabric{{Key: "a"}, {Key: "b"}}
	p, err := quilt.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	var in []scraps.Scrap
	for i := range greys {
		g := uint8(20 + i*7%greys*200/greys)
		in = append(in,
			scraps.Scrap{Fabric: "a", Width: 2.5, Length: 36, Count: 1, Colour: &quilt.Colour{g, g, g}},
			scraps.Scrap{Fabric: "b", Width: 2.5, Length: 36, Count: 1, Colour: &quilt.Colour{g + 20, g + 20, g}})
	}
	return p, in
}

// Of scraps that are all alike but for their colour, each strip set takes of
// both fabrics the colours that are as dark, and both leans run from dark to
// light together from the bottom up.
func TestScrapsOfAGradientRunTogether(t *testing.T) {
	for _, setting := range []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay} {
		p, in := dusk(t, quilt.Gradient, 16, quilt.Spec{Layout: setting, Columns: 6, Rows: 10})
		out, err := scraps.New(p, in, false)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, in, out)
		if !out.Enough {
			t.Fatal("not enough")
		}
		apart := 0
		for _, s := range out.Sets {
			a, b := in[s.Strips[0].Scrap].Colour, in[s.Strips[1].Scrap].Colour
			if d := int(b[0]) - int(a[0]); d < 0 || d > 20+2*13 {
				apart++
			}
		}
		// Exchanges end where no further one helps: a pair may be left.
		if apart > 2 {
			t.Errorf("%v: %d of %d strip sets join colours of which one is much darker", setting, apart, len(out.Sets))
		}
		q := out.Quilt
		// In chevron five diamonds of a strip set don't fill a row of six.
		if n := q.Above(); n > len(q.Pieces)/4 || n > 0 && setting != quilt.Chevron {
			t.Errorf("%v: %d of %d pieces lie above a lighter one", setting, n, len(q.Pieces))
		}
		// The darkest and the lightest colour of either lean are near those of the
		// other.
		var least, most [2]uint8
		least = [2]uint8{255, 255}
		for _, pl := range q.Pieces {
			c := q.Colours(pl.StripSet)[0][0]
			least[pl.Lean], most[pl.Lean] = min(least[pl.Lean], c), max(most[pl.Lean], c)
		}
		if setting != quilt.OneWay && (max(least[0], least[1]) > 70 || min(most[0], most[1]) < 150) {
			t.Errorf("%v: leans run from %v to %v", setting, least, most)
		}
	}
}

// Law: exchanging scraps takes no strip set and no length more than the same bin
// takes scattered, and no more of its pieces lie out of place than where each
// strip set keeps the scraps that it was found with.
func TestShadesCostNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		in := drawScraps(t, p, 30)
		spec := p.Spec
		var outs [2]*scraps.Plan
		for i, order := range []quilt.ColourOrder{quilt.Gradient, quilt.Scattered} {
			spec.ColourOrder = order
			q, err := quilt.New(spec)
			if err != nil {
				t.Fatal(err)
			}
			if outs[i], err = scraps.New(q, in, false); err != nil {
				t.Fatal(err)
			}
			check(t, q, in, outs[i])
		}
		shaded, plain := outs[0], outs[1]
		if len(shaded.Sets) != len(plain.Sets) || math.Abs(shaded.Length-plain.Length) > 1e-9 || shaded.Enough != plain.Enough || shaded.Made != plain.Made {
			t.Fatalf("%d strip sets, %v sewn; scattered %d, %v", len(shaded.Sets), shaded.Length, len(plain.Sets), plain.Length)
		}
		if shaded.Quilt == nil {
			return
		}
		spec.ColourOrder, spec.Columns, spec.Rows = quilt.Gradient, plain.Made.Columns, plain.Made.Rows
		q, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		var kept []quilt.Sewn
		for k, s := range plain.Sets {
			kept = append(kept, quilt.Sewn{Layout: s.Layout, Colours: plain.Quilt.Colours(k), Names: plain.Quilt.ColourNames(k)})
		}
		before := q.WithStripSets(kept, nil)
		was, is := before.Above()+before.Edges().Unmatched, shaded.Quilt.Above()+shaded.Quilt.Edges().Unmatched
		if is > was {
			t.Fatalf("%d pieces out of place, %d with the scraps as they were", is, was)
		}
	})
}

// Scattered quilts from a bin: few pieces touch one of the same strip set or the
// same colours.
func TestScrapsScattered(t *testing.T) {
	p, in := dusk(t, quilt.Scattered, 16, quilt.Spec{Columns: 6, Rows: 10})
	out, err := scraps.New(p, in, false)
	if err != nil {
		t.Fatal(err)
	}
	check(t, p, in, out)
	if same, alike := out.Quilt.Touching(); same+alike > 4 {
		t.Errorf("%d pairs of one strip set touch, %d of the same colours", same, alike)
	}
}
