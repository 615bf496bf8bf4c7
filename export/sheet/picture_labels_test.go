// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// contrast is the contrast ratio of WCAG 2.2 of two colours, #rrggbb.
func contrast(t *rapid.T, a, b string) float64 {
	luminance := func(c string) float64 {
		v, err := strconv.ParseUint(strings.TrimPrefix(c, "#"), 16, 32)
		if err != nil || len(c) != 7 {
			t.Fatalf("%q is not a colour", c)
		}
		sum := 0.0
		for i, k := range [3]float64{0.0722, 0.7152, 0.2126} {
			x := float64(v>>(8*i)&0xff) / 255
			if x <= 0.04045 {
				x /= 12.92
			} else {
				x = math.Pow((x+0.055)/1.055, 2.4)
			}
			sum += k * x
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// inside reports whether a box lies in a convex polygon.
func inside(b geometry.Rect, g geometry.Polygon) bool {
	for i, p := range g {
		q := g[(i+1)%len(g)]
		for _, c := range []geometry.Point{b.Min, b.Max, {X: b.Min.X, Y: b.Max.Y}, {X: b.Max.X, Y: b.Min.Y}} {
			if q.Sub(p).Cross(c.Sub(p)) < -1e-9 {
				return false
			}
		}
	}
	return true
}

// Law: every piece bears the number of its strip set, on one strip alone, inside
// the squared-up quilt, with the contrast that text of any size needs (WCAG 2.2,
// success criterion 1.4.3); where both leans come out of one strip set, the lean
// too. On paper the labels of whole pieces are no smaller than 0.07 in.
func TestPictureLabels(t *testing.T) {
	mixed := 0
	rapid.Check(t, func(t *rapid.T) {
		base := drawPlan(t)
		s := base.Spec
		s.ColourOrder = rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "order")
		for i := range s.Fabrics {
			s.Fabrics[i].Colours = nil
			for range rapid.IntRange(1, 4).Draw(t, "colours") {
				s.Fabrics[i].Colours = append(s.Fabrics[i].Colours, quilt.Colour{rapid.Uint8().Draw(t, "r"), rapid.Uint8().Draw(t, "g"), rapid.Uint8().Draw(t, "b")})
			}
		}
		if rapid.Bool().Draw(t, "both leans") {
			s.Angle, s.MixLeans = 60, true
			s.UsableWidth = s.Unit.Of(1, 2.5) * rapid.Float64Range(30, 60).Draw(t, "usable width")
		}
		p, err := quilt.New(s)
		if err != nil {
			t.Fatal(err)
		}
		d, ok := sheet.LabelledPicture(p)
		if ok != p.Fewest.OK() {
			t.Fatalf("a labelled picture: %v", ok)
		}
		if !ok {
			t.Skip("no strip set gives the pieces")
		}
		leans := false
		for _, l := range p.Fewest.Layouts {
			leans = leans || l.Mixed
		}
		if leans {
			mixed++
		}
		labels := d.Texts
		next := func() draw.Text {
			if len(labels) == 0 {
				t.Fatal("too few labels")
			}
			x := labels[0]
			labels = labels[1:]
			return x
		}
		frame, small := p.Frame(), math.Inf(1)
		for _, pl := range p.Pieces {
			x := next()
			if want := fmt.Sprint(pl.StripSet + 1); x.Value != want {
				t.Fatalf("%+v is labelled %q", pl, x.Value)
			}
			area := box(x)
			if leans {
				letter := next()
				if want := map[geometry.Lean]string{geometry.Right: "R", geometry.Left: "L"}[pl.Lean]; letter.Value != want || letter.Colour != x.Colour {
					t.Fatalf("%+v: lean %q", pl, letter.Value)
				}
				if b := box(letter); b.Min.X < area.Max.X {
					t.Fatalf("%+v: the lean's letter lies on the number", pl)
				}
				area = area.Union(box(letter))
			}
			on := -1
			for i, patch := range p.Standing(pl).Patches {
				if seen := patch.Move(p.Centre(pl)).Within(frame); seen != nil && inside(area, seen) {
					on = i
				}
			}
			if on < 0 {
				t.Fatalf("%+v: its label at %v lies on no strip of it", pl, area)
			}
			ground := p.Colours(pl.StripSet)[on].String()
			if k := contrast(t, x.Colour, ground); k < 4.5 {
				t.Fatalf("%+v: %s on %s has a contrast of %.2f", pl, x.Colour, ground, k)
			}
			if pl.Column > 0 && pl.Column < p.Columns-1 {
				small = min(small, x.Height)
			}
		}
		if onPaper := s.Unit.Inches(small) * d.Scale; onPaper < 0.07-1e-9 {
			t.Fatalf("labels %v in high on paper", onPaper)
		}
		words := ""
		for _, x := range labels {
			words += x.Value + "\n"
		}
		if !strings.Contains(words, "number of the strip set that the piece is cut from") || leans != strings.Contains(words, "L: left-leaning") {
			t.Fatalf("the legend says %q", words)
		}
	})
	if mixed == 0 {
		t.Error("no quilt had strip sets of both leans")
	}
}

func BenchmarkLabelledPicture(b *testing.B) {
	for _, n := range []int{50, 316} {
		b.Run(fmt.Sprintf("diamonds=%d", n*n), func(b *testing.B) {
			p, err := quilt.New(quilt.Spec{
				Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: n, Rows: n,
				Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
				Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{1}, {2}, {3}}}, {Key: "b", Colours: []quilt.Colour{{4}}}},
			})
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				sheet.LabelledPicture(p)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/diamond")
		})
	}
}
