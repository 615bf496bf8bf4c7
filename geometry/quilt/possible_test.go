// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
)

func ofStripSets(n int) Spec {
	return Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 42, StripSets: n,
		Strips:  []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Backing: struct{ UsableWidth, Extra float64 }{42, 4},
	}
}

// Twelve strip sets of 42 in, by hand: strips cut 2 1/2 in make diamonds 4.619 in
// apart along a strip set 4 1/2 in wide. A strip set gives 7 diamonds (38.682 in) or
// 7 and an edge triangle (41.569 in), 6 and 3 edge triangles no longer fit.
// 6 by 14 take 84 diamonds and 12 edge triangles: all twelve, each with one edge
// triangle. With 1/2 in lost at each end a strip set gives 7 diamonds or 6 and 2
// edge triangles, so that 6 by 14 are too many.
func TestTwelveStripSets(t *testing.T) {
	has := func(p *Plan, columns, rows int) bool {
		for _, c := range p.Choices {
			if c.Columns == columns && c.Rows == rows {
				return true
			}
		}
		return false
	}
	p, err := New(ofStripSets(12))
	if err != nil {
		t.Fatal(err)
	}
	if !has(p, 6, 14) || p.Columns != 8 || p.Rows != 10 {
		t.Errorf("%d by %d of %+v", p.Columns, p.Rows, p.Choices)
	}
	if w, h := p.Finished.Width, p.Finished.Height; w < 34.6 || w > 34.7 || h != 44 {
		t.Errorf("%v by %v", w, h)
	}
	s := ofStripSets(12)
	s.EndTrim = 0.5
	if p, err = New(s); err != nil {
		t.Fatal(err)
	}
	if has(p, 6, 14) || !has(p, 6, 13) {
		t.Errorf("with an end trim: %+v", p.Choices)
	}
	s.Columns, s.Rows = 6, 14
	var not *NotMade
	if _, err = New(s); !errors.As(err, &not) || not.Asked.Columns != 6 || len(not.Choices) == 0 {
		t.Errorf("%v", err)
	}
	for _, c := range not.Choices {
		if c.Chosen {
			t.Errorf("%+v is chosen", c)
		}
	}
}

// Law: each of the choices takes no more strip sets than there are, and a column or
// a row more would; none beats another; exactly one is chosen, and planned.
func TestChoicesLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := ofStripSets(rapid.IntRange(1, 30).Draw(t, "strip sets"))
		s.Angle = rapid.SampledFrom([]geometry.Angle{60, 45, 75}).Draw(t, "angle")
		s.Layout = drawLayout(t, 4)
		s.UsableWidth = rapid.Float64Range(12, 60).Draw(t, "usable width")
		s.Spare = rapid.IntRange(0, 2).Draw(t, "spare")
		s.EndTrim = rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "end trim")
		p, err := New(s)
		var not *NotMade
		if errors.As(err, &not) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		takes := func(columns, rows int) int {
			f := p.Set.Fewest(s.Layout.Needs()(columns, rows).With(s.Spare), p.terms(p.Yield.Length))
			if !f.OK() {
				return MaxStripSets + 1
			}
			return len(f.Layouts)
		}
		chosen := 0
		for i, c := range p.Choices {
			if n := takes(c.Columns, c.Rows); n > s.StripSets || n != c.StripSets {
				t.Fatalf("%+v takes %d", c, n)
			}
			if takes(c.Columns+1, c.Rows) <= s.StripSets || takes(c.Columns, c.Rows+1) <= s.StripSets {
				t.Fatalf("%+v may be larger", c)
			}
			if i > 0 && (c.Columns <= p.Choices[i-1].Columns || c.Rows >= p.Choices[i-1].Rows) {
				t.Fatalf("%+v beside %+v", c, p.Choices[i-1])
			}
			if c.Chosen {
				chosen++
				if c.Columns != p.Columns || c.Rows != p.Rows || c.StripSets != len(p.Fewest.Layouts) {
					t.Fatalf("chosen %+v, planned %d by %d", c, p.Columns, p.Rows)
				}
			}
		}
		if chosen != 1 {
			t.Fatalf("%d chosen", chosen)
		}
	})
}

// What a gradient whose edges match, bands and scattered colours are said to make of so
// many strip sets, they make: each of the choices, planned by itself, takes no more than
// there are. How long it takes to choose says BenchmarkChoices.
func TestColouredChoicesAreMade(t *testing.T) {
	for i, one := range []struct {
		sets   int
		angle  geometry.Angle
		layout Layout
		order  ColourOrder
	}{
		{5, 60, Zigzag, Gradient}, {7, 60, Zigzag, Scattered}, {7, 45, Chevron, Bands},
		{13, 45, Chevron, Gradient}, {12, 60, OneWay, Gradient}, {24, 60, Zigzag, Gradient},
	} {
		if i > 2 && !outside.Full() {
			break
		}
		s := colouredStripSets(one.sets)
		s.Angle, s.Layout, s.ColourOrder = one.angle, one.layout, one.order
		p, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range p.Choices {
			s.StripSets, s.Columns, s.Rows = 0, c.Columns, c.Rows
			of, err := New(s)
			if err != nil {
				t.Fatal(err)
			}
			if n := len(of.Fewest.Layouts); n > one.sets || c.Chosen && n != c.StripSets {
				t.Errorf("%v: %+v takes %d", one, c, n)
			}
		}
	}
}

// The quilt that was chosen of what strip sets make stays the same quilt from fat
// quarters, of which it takes more strip sets, and in a size that is asked for no number
// of strip sets stands against it.
func TestChosenStaysAsLarge(t *testing.T) {
	s := ofStripSets(12)
	s.Fabrics = []Fabric{{Key: "a"}, {Key: "b"}}
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	spec, ok := p.Sized().FromFatQuarters()
	if !ok {
		t.Fatal("not from fat quarters")
	}
	fq, err := New(spec)
	if err != nil || fq.Columns != p.Columns || fq.Rows != p.Rows || len(fq.Fewest.Layouts) <= 12 {
		t.Errorf("%v: %d by %d, not %d by %d", err, fq.Columns, fq.Rows, p.Columns, p.Rows)
	}
	spec, err = p.Spec.Covering(Size{80, 90})
	if err != nil {
		t.Fatal(err)
	}
	if large, err := New(spec); err != nil || !(large.Finished.Width >= 80) {
		t.Errorf("%v", err)
	}
}

// colouredStripSets is so many strip sets in several colours, with matched edges.
func colouredStripSets(n int) Spec {
	s := ofStripSets(n)
	s.Strips[0].Cut, s.Edges = 2, Matched
	colours := []Colour{{0, 128, 128}, {51, 102, 153}, {250, 240, 230}, {255, 0, 0}}
	s.Fabrics = []Fabric{{Key: "a", Colours: colours[:3]}, {Key: "b", Colours: colours}}
	return s
}

// How long it takes to choose from what 12 strip sets make of a gradient whose edges
// match: below a second.
func BenchmarkChoices(b *testing.B) {
	for b.Loop() {
		if _, err := New(colouredStripSets(12)); err != nil {
			b.Fatal(err)
		}
	}
}
