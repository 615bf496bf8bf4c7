// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// swatch is one that a drawing has: its corners and its colours.
type swatch struct {
	rim     geometry.Polygon
	colours []string
}

// swatches returns those of a drawing, none of whose colours is that of their rims,
// which come last.
func swatches(d *draw.Drawing) (out []swatch) {
	var one swatch
	for _, f := range d.Fills {
		switch g := f.Polygons[0]; {
		case !f.Bare:
		case f.Colour == "#808080":
			out, one = append(out, one), swatch{}
		case one.rim == nil:
			one = swatch{g, []string{f.Colour}}
		default:
			one.rim[1], one.rim[2], one.colours = g[1], g[2], append(one.colours, f.Colour)
		}
	}
	return out
}

// before returns the colours of the swatches that stand before a text, from left to
// right.
func before(d *draw.Drawing, x draw.Text) (out []string) {
	all := swatches(d)
	at := x.At
	for i := len(all) - 1; i >= 0; i-- {
		// The lower right corner ends near what follows, on the same line.
		if gap := inTextFrame(draw.Text{At: at, Turn: x.Turn}, all[i].rim[1]); gap.X < 0 && gap.X > -0.6*x.Height && gap.Y > -1e-9 && gap.Y < 1e-9 {
			out = append([]string{strings.Join(all[i].colours, " ")}, out...)
			at = all[i].rim[0]
		}
	}
	return out
}

// coloured gives the fabrics of a plan so many colours.
func coloured(t *rapid.T) *quilt.Plan {
	s := drawPlan(t).Spec
	for i := range s.Fabrics {
		s.Fabrics[i].Colours, s.Fabrics[i].Names = nil, nil
		for k := range rapid.IntRange(1, 7).Draw(t, "colours") {
			s.Fabrics[i].Colours = append(s.Fabrics[i].Colours, quilt.Colour{uint8(30 * k), uint8(90 * i), 77})
		}
	}
	s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered}).Draw(t, "order")
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var wordsOfFabrics = regexp.MustCompile(`^(strip \d+: |strips from below: |feed |cloth \d)`)

// Law: on the mat, on pieces, cutters' sheets, dies and labels swatches of their
// colours stand before the fabrics that are named; they lie on the page, on no cut
// line, seam, lettering or other swatch.
func TestSwatches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := coloured(t)
		drawings := []*draw.Drawing{sheet.Cutter(p)}
		mat, ok := sheet.Mat(p)
		if ok {
			drawings = append(drawings, mat)
		}
		labels := sheet.SewingLabels(p, sewing.New(p), quilt.Size{Width: p.Spec.Unit.Of(8.5, 21), Height: p.Spec.Unit.Of(11, 29.7)})
		drawings = append(drawings, labels...)
		bed := nest.Bed{Width: p.Spec.Unit.Of(40, 100), Height: p.Spec.Unit.Of(24, 60), Margin: p.Spec.Unit.Of(0.25, 0.5), Gap: p.Spec.Unit.Of(0.25, 0.6)}
		for _, c := range []sheet.Cutting{{StripSets: true}, {Lines: true}} {
			sheets, err := nest.Pieces(p.Set, p.Need, []nest.Bed{bed})
			if c.StripSets {
				sheets, err = nest.StripSets(p.Set, p.Need, []nest.Bed{bed}, p.Yield.Length, p.Spec.MixLeans)
			}
			if err == nil {
				drawings = append(drawings, sheet.CutSheet(p, sheets[0], 1, c), sheet.Die(p, sheets[0], "pieces", c))
			}
		}
		told := 0
		for _, d := range drawings {
			kind := allOfIt
			switch {
			case d == mat:
				kind = alike
			case slices.Contains(labels, d):
				kind = single
			}
			found := named(t, p, d, kind)
			if kind == single {
				told += found
			} else if found == 0 && !strings.Contains(d.Title, "die") {
				t.Fatalf("%s names no fabric", d.Title)
			}
			swatchesLieClear(t, d)
		}
		if ok != (told > 0) {
			t.Fatalf("%d labels tell their colours", told)
		}
	})
}

// Which colours of a fabric a swatch shows.
const (
	allOfIt = iota
	alike   // those of strip sets that are cut alike
	single  // that of a strip set
)

// named looks at the swatches before each text that begins with fabrics, and returns
// how many there are.
func named(t *rapid.T, p *quilt.Plan, d *draw.Drawing, kind int) (found int) {
	for _, x := range d.Texts {
		if !wordsOfFabrics.MatchString(x.Value) || strings.HasPrefix(x.Value, "feed") && !strings.HasSuffix(x.Value, "below") {
			continue
		}
		if kind == single && strings.Contains(x.Value, " on the wide side") {
			continue // a pile's line goes on; the swatches stand at the strip set's colours
		}
		found++
		got, want := before(d, x), regexp.MustCompile(`cloth \d`).FindAllString(x.Value, -1)
		if len(got) != len(want) && kind != single || len(got) < len(want) { // a label's line may be cut short
			t.Fatalf("%s: before %q stands %q", d.Title, x.Value, got)
		}
		for i, key := range want {
			f := p.Spec.Fabrics[slices.IndexFunc(p.Spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == key })]
			all := strings.Fields(strings.Trim(fmt.Sprint(f.Colours), "[]"))
			switch shown := strings.Fields(got[i]); {
			case slices.ContainsFunc(shown, func(c string) bool { return !slices.Contains(all, c) }),
				kind == single && len(shown) != 1, kind == allOfIt && !slices.Equal(shown, all):
				t.Fatalf("%s: before %q stands %q of %q", d.Title, x.Value, got, all)
			}
		}
	}
	return found
}

func swatchesLieClear(t *rapid.T, d *draw.Drawing) {
	var boxes []geometry.Polygon
	for _, s := range swatches(d) {
		for _, q := range s.rim {
			if q.X < d.Page.Min.X || q.X > d.Page.Max.X || q.Y < d.Page.Min.Y || q.Y > d.Page.Max.Y {
				t.Fatalf("%s: a swatch at %v lies off the page", d.Title, q)
			}
		}
		for _, path := range d.Paths {
			if path.Role == draw.Mark && !strings.Contains(d.Title, "labels") {
				continue
			}
			for _, side := range path.Segments() {
				if crosses(s.rim, side) {
					t.Fatalf("%s: a swatch lies on a %v line", d.Title, path.Role)
				}
			}
		}
		for _, x := range d.Texts {
			if o := x.Outline(draw.Plain, 0.25); overlap(s.rim, o) {
				t.Fatalf("%s: a swatch lies on %q", d.Title, x.Value)
			}
		}
		for _, b := range boxes {
			if overlap(s.rim, b) {
				t.Fatalf("%s: two swatches lie on each other", d.Title)
			}
		}
		boxes = append(boxes, s.rim)
	}
}

// crosses reports whether a line meets a convex polygon.
func crosses(g geometry.Polygon, s geometry.Segment) bool {
	if contains(g, s.A) || contains(g, s.B) {
		return true
	}
	for i, a := range g {
		b := g[(i+1)%len(g)]
		side := b.Sub(a)
		if side.Cross(s.A.Sub(a))*side.Cross(s.B.Sub(a)) < 0 {
			along := s.B.Sub(s.A)
			if along.Cross(a.Sub(s.A))*along.Cross(b.Sub(s.A)) < 0 {
				return true
			}
		}
	}
	return false
}

// overlap reports whether two convex polygons share an area: no side of either has
// all of the other beyond it.
func overlap(a, b geometry.Polygon) bool {
	for _, pair := range [][2]geometry.Polygon{{a, b}, {b, a}} {
		for i, p := range pair[0] {
			side := pair[0][(i+1)%len(pair[0])].Sub(p)
			beyond := true
			for _, q := range pair[1] {
				beyond = beyond && side.Cross(q.Sub(p)) <= 1e-9
			}
			if beyond {
				return false
			}
		}
	}
	return true
}
