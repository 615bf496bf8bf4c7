// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/pdf"
	"lozenge/export/png"
	"lozenge/export/sheet"
	"lozenge/export/svg"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// combs is the colour of bias edges.
const combs = "#c0143c"

var pieceLabel = regexp.MustCompile(`^[A-Z]+[0-9]+$`)

func fill(s *draw.Drawing, colour string) []geometry.Polygon {
	for _, f := range s.Fills {
		if f.Colour == colour {
			return f.Polygons
		}
	}
	return nil
}

// insideOf tells whether p lies in the counter-clockwise convex g.
func insideOf(g geometry.Polygon, p geometry.Point) bool {
	for i, a := range g {
		if g[(i+1)%len(g)].Sub(a).Cross(p.Sub(a)) < 0 {
			return false
		}
	}
	return true
}

func overlapping(a, b geometry.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// textBox is box for a text that may run upwards.
func textBox(x draw.Text) geometry.Rect {
	if x.Turn != 90 {
		return box(x)
	}
	w := draw.TextWidth(x.Value, x.Height)
	return geometry.Rect{Min: geometry.Point{X: x.At.X - x.Height, Y: x.At.Y - w/2}, Max: geometry.Point{X: x.At.X, Y: x.At.Y + w/2}}
}

func lieClear(t *rapid.T, s *draw.Drawing) {
	t.Helper()
	var boxes []geometry.Rect
	for _, x := range s.Texts {
		b := textBox(x)
		if b.Min.X < s.Page.Min.X || b.Max.X > s.Page.Max.X || b.Min.Y < s.Page.Min.Y || b.Max.Y > s.Page.Max.Y {
			t.Fatalf("%s: %q lies off the page", s.Title, x.Value)
		}
		for i, c := range boxes {
			if overlapping(b, c) {
				t.Fatalf("%s: %q lies on %q", s.Title, x.Value, s.Texts[i].Value)
			}
		}
		boxes = append(boxes, b)
		for _, path := range s.Paths {
			if path.Role == draw.Cut {
				t.Fatalf("%s: a cut line on a drawing that is not at true size", s.Title)
			}
			if path.Role == draw.Mark {
				continue
			}
			for j, u := range path.Points[1:] {
				if _, hit := b.Clip(geometry.Segment{A: path.Points[j], B: u}); hit {
					t.Fatalf("%s: %q lies on a %v line", s.Title, x.Value, path.Role)
				}
			}
		}
	}
}

// Law: the diagram of the whole names every piece once, the middle of its label
// on the finished piece; a comb lies along each bias edge, inside the piece or
// at the quilt's rim, and along no other; rows and joins are named once. No words
// lie on each other, on a line or off the page.
func TestSewingDiagram(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		o := sewing.New(p)
		s := sheet.Sewing(p, o)[0]()
		lieClear(t, s)
		at := map[string]geometry.Point{}
		words := map[string]int{}
		for _, x := range s.Texts {
			words[x.Value]++
			if pieceLabel.MatchString(x.Value) {
				b := textBox(x)
				at[x.Value] = b.Min.Add(b.Max).Mul(0.5)
			}
		}
		within, between := 0.14*p.Set.FinishedWidth(), 0.24*p.Set.FinishedWidth()
		marked := fill(s, combs)
		found, bias := 0, 0
		for i, pc := range o.Pieces {
			label := o.Label(i)
			st, c := p.Standing(pc.Placement), p.Centre(pc.Placement)
			if words[label] != 1 || !insideOf(st.Finished.Move(c), at[label]) {
				t.Fatalf("label %s stands %d times, at %v", label, words[label], at[label])
			}
			for _, e := range o.Kinds[pc.Kind].Edges {
				// On the line that the ticks of the comb would stand on.
				in := 0.07 * within
				switch e.Side {
				case sewing.LowerLeft, sewing.UpperRight:
					in -= within / 2
				case sewing.LowerRight, sewing.UpperLeft:
					in -= between / 2
				}
				mid := e.Line.A.Add(e.Line.B).Mul(0.5)
				out := e.Line.B.Sub(e.Line.A)
				out = geometry.Point{X: out.Y, Y: -out.X}.Mul(1 / out.Len())
				inward := out.Dot(mid) < 0
				if e.Side == sewing.Outer {
					inward = (pc.Row == -1) != (out.Y < 0)
				}
				if inward {
					out = out.Mul(-1)
				}
				has := slices.ContainsFunc(marked, func(g geometry.Polygon) bool { return insideOf(g, mid.Add(out.Mul(in)).Add(c)) })
				if has != e.Bias() {
					t.Fatalf("the %v edge of %s: comb %v, bias %v", e.Side, label, has, e.Bias())
				}
				if has {
					found++
				}
				if e.Bias() {
					bias++
				}
			}
		}
		if found != bias || len(marked) < 4*bias {
			t.Fatalf("%d combs, %d lines and ticks for %d bias edges", found, len(marked), bias)
		}
		for _, r := range o.Rows {
			if n := words[r.Letters]; n != 1 && !(r.Letters == "A" && n == 2) {
				t.Fatalf("row %s is named %d times", r.Letters, n)
			}
		}
		for i := range o.Joins {
			if n := words[fmt.Sprint(i+1)]; n != 1 && !(i == 0 && n == 2) {
				t.Fatalf("join %d is named %d times", i+1, n)
			}
		}
	})
}

// Law: the sheets of the rows name every piece once, and at every seam of a row
// which piece lies underneath.
func TestSewingRowSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		o := sewing.New(p)
		each := rapid.IntRange(1, 3).Draw(t, "rows on a sheet")
		words := map[string]int{}
		for i := 0; i < len(o.Rows); i += each {
			s := sheet.SewingRows(p, o, i, min(i+each, len(o.Rows))-1)
			lieClear(t, s)
			for _, x := range s.Texts {
				words[x.Value]++
			}
		}
		under := map[string]int{}
		for _, r := range o.Rows {
			for i := r.First; i < r.First+r.Number; i++ {
				if n := words[o.Label(i)]; n != 1 {
					t.Fatalf("piece %s is named %d times", o.Label(i), n)
				}
				if i+1 == r.First+r.Number {
					continue
				}
				seam := o.Seams[r.FirstSeam+i-r.First]
				say := "either way"
				if k := o.SeamKinds[seam.Kind]; k.Under != sewing.Either {
					say = o.Label(seam.Pieces[k.Under]) + " underneath"
				}
				under[say]++
			}
		}
		for say, n := range under {
			if words[say] != n {
				t.Fatalf("%q stands %d times, should %d times", say, words[say], n)
			}
		}
	})
}

// Labels for rows, piles and pieces: all are there, words are at least 4 mm high, lie
// on the page and touch no others, as wide as they come out in the PDF.
func TestSewingLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		o := sewing.New(p)
		size := p.Spec.Unit.Of(1, 2.54)
		for _, paper := range []quilt.Size{{Width: 8.5 * size, Height: 11 * size}, {Width: 4 * size, Height: 2 * size}} {
			words := map[string]int{}
			pages := sheet.SewingLabels(p, o, paper)
			for _, s := range pages {
				lieClear(t, s)
				for i, x := range s.Texts {
					words[x.Value]++
					if p.Spec.Unit.Inches(x.Height)*25.4 < 4 {
						t.Fatalf("%q is %v high", x.Value, x.Height)
					}
					for _, y := range s.Texts[:i] {
						if overlapping(x.Outline(draw.Go, 0).Bounds(), y.Outline(draw.Go, 0).Bounds()) {
							t.Fatalf("%q touches %q", x.Value, y.Value)
						}
					}
				}
			}
			for _, r := range o.Rows {
				if words[r.Letters] != 1 || words["row "+r.Letters] != 1 {
					t.Fatalf("row %s has %d labels", r.Letters, words[r.Letters])
				}
			}
			sets := map[int]bool{}
			for _, pile := range o.Piles() {
				sets[pile.StripSet] = true
			}
			if !p.Fewest.OK() || paper.Height < 3*size {
				continue
			}
			of := map[string]int{}
			for _, s := range pages {
				for _, x := range s.Texts {
					if strings.HasPrefix(s.Texts[0].Value, "Cut apart and pin on the pieces") {
						of[x.Value]++
					}
				}
			}
			for i := range o.Pieces {
				if of[o.Label(i)] != 1 {
					t.Fatalf("piece %s has %d labels", o.Label(i), of[o.Label(i)])
				}
			}
			n := -len(o.Pieces)
			for w, times := range words {
				if strings.HasPrefix(w, "strip ") || w == "pieces" {
					n += times
				}
			}
			if n != len(sets) {
				t.Fatalf("%d labels for the piles of %d strip sets", n, len(sets))
			}
		}
	})
}

// The diagrams can be written in every form that shows pictures, the same way
// each time.
func TestSewingInEveryForm(t *testing.T) {
	s := quilt.Spec{Name: "Forms", Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 5,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{10, 90, 120}}}, {Key: "b", Colours: []quilt.Colour{{220, 210, 190}}}}}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	all := func() []*draw.Drawing {
		o := sewing.New(p)
		sheets := []*draw.Drawing{sheet.Sewing(p, o)[0](), sheet.SewingRows(p, o, 0, 3)}
		return append(sheets, sheet.SewingLabels(p, o, quilt.Size{Width: 8.5, Height: 11})...)
	}
	write := func(w io.Writer, sheets []*draw.Drawing) {
		if err := pdf.Write(w, pdf.Document{Title: "Forms", Pages: sheets}); err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			if err := svg.Write(w, s); err != nil {
				t.Fatal(err)
			}
			if err := png.Write(w, s, 30, draw.Fonts{}); err != nil {
				t.Fatal(err)
			}
		}
	}
	var a, b bytes.Buffer
	write(&a, all())
	write(&b, all())
	if a.Len() == 0 || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two runs give different bytes")
	}
}

// A quilt that a page does not hold so that its labels can be read is drawn whole
// without them, and in parts, each no larger than a page of letter or A4 paper,
// that name every piece once. (0.055 in are the capitals of 5.5 point type.)
func TestSewingInParts(t *testing.T) {
	s := quilt.Spec{Name: strings.Repeat("Sixty by sixty ", 7), Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 60, Rows: 60,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}},
		Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{10, 90, 120}}}}}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	o := sewing.New(p)
	all := sheet.Sewing(p, o)
	labels, joins := map[string]int{}, map[string]int{}
	for i, draw := range all {
		d := draw()
		if w, h := d.Page.Width()*d.Scale, d.Page.Height()*d.Scale; i > 0 && (w > 8.27 || h > 11) {
			t.Errorf("part %d is %v by %v in", i, w, h)
		}
		for _, x := range d.Texts {
			switch {
			case pieceLabel.MatchString(x.Value):
				labels[x.Value]++
				if i == 0 || x.Height*d.Scale < 0.054 {
					t.Fatalf("%q on sheet %d is %v in high", x.Value, i, x.Height*d.Scale)
				}
			case i > 0:
				joins[x.Value]++
			}
		}
	}
	if len(all) < 5 || len(labels) != len(o.Pieces) {
		t.Errorf("%d sheets name %d of %d pieces", len(all), len(labels), len(o.Pieces))
	}
	for label, n := range labels {
		if n != 1 {
			t.Errorf("%s is named %d times", label, n)
		}
	}
	for i := range o.Joins {
		if n := joins[fmt.Sprint(i+1)]; n != 1 {
			t.Errorf("join %d is named %d times", i+1, n)
		}
	}
}

func BenchmarkSewing(b *testing.B) {
	for _, size := range [][2]int{{50, 50}, {250, 400}} {
		s := quilt.Spec{Name: "Large", Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: size[0], Rows: size[1],
			Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
			Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{10, 90, 120}}}, {Key: "b", Colours: []quilt.Colour{{220, 210, 190}}}}}
		p, err := quilt.New(s)
		if err != nil {
			b.Fatal(err)
		}
		o := sewing.New(p)
		for _, what := range []string{"whole", "rows"} {
			b.Run(fmt.Sprintf("%s/diamonds=%d", what, size[0]*size[1]), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if what == "whole" {
						for _, s := range sheet.Sewing(p, o) {
							if err := svg.Write(io.Discard, s()); err != nil {
								b.Fatal(err)
							}
						}
						continue
					}
					for i := range o.Rows {
						if err := svg.Write(io.Discard, sheet.SewingRows(p, o, i, i)); err != nil {
							b.Fatal(err)
						}
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(size[0]*size[1]), "ns/diamond")
			})
		}
	}
}
