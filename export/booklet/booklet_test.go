// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/measure"
	"lozenge/export/outside"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/pdfread"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// drawSizes draws a pattern of any kind in one size or several.
func drawSizes(t *rapid.T) ([]Size, Options) {
	unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
	k := unit.Of(1, 2.5)
	layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
	if err != nil {
		t.Fatal(err)
	}
	s := quilt.Spec{
		Name: rapid.SampledFrom([]string{"Labels", "A quilt whose name goes on and on, WWW MMM @@@, and still goes on, for it is a long one"}).Draw(t, "name"),
		Note: rapid.SampledFrom([]string{"", strings.Repeat("Lay it out by daylight. ", 25)}).Draw(t, "note"),
		Unit: unit, Seam: k / 4, UsableWidth: 42 * k,
		Angle:       geometry.Angle(rapid.SampledFrom([]float64{30, 45, 60, 72, 90}).Draw(t, "angle")),
		Layout:      layout,
		Columns:     rapid.IntRange(2, 12).Draw(t, "columns"),
		Rows:        rapid.IntRange(2, 12).Draw(t, "rows"),
		Face:        rapid.SampledFrom([]geometry.Face{geometry.FaceUp, geometry.FaceDown}).Draw(t, "face"),
		Tips:        rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		ColourOrder: rapid.SampledFrom([]quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}).Draw(t, "colours"),
		Spare:       rapid.IntRange(0, 2).Draw(t, "spare"),
		Stagger:     rapid.Bool().Draw(t, "stagger"),
		TakeUp:      rapid.SampledFrom([]float64{0, 2.5}).Draw(t, "take up"),
	}
	s.MixLeans = s.Angle == 60 && rapid.Bool().Draw(t, "mix leans")
	s.Backing.Extra, s.Binding.Extra, s.Batting.Extra = 4*k, 10*k, 4*k
	if s.Angle == 60 && rapid.Bool().Draw(t, "straight") {
		s.EdgeGrain = quilt.Straight
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "strips") {
		key := fmt.Sprintf("cloth-%d", i)
		name := rapid.SampledFrom([]string{"", "Sand", "Brown WOVEN MOMME, the bolt from the market, with a very long name"}).Draw(t, "fabric")
		cut := k * rapid.SampledFrom([]float64{1.5, 2, 2.5, 3.25}).Draw(t, "cut")
		s.Strips = append(s.Strips, quilt.Strip{Cut: cut, Fabric: key})
		f := quilt.Fabric{Key: key, Name: name, From: rapid.SampledFrom([]quilt.Source{quilt.Yardage, quilt.FatQuarters, quilt.Precut}).Draw(t, "from"), Colours: make([]quilt.Colour, rapid.IntRange(1, 3).Draw(t, "colours"))}
		if f.From == quilt.FatQuarters {
			f.StripLength = 21 * k
		}
		s.Fabrics = append(s.Fabrics, f)
	}
	for range rapid.IntRange(0, 2).Draw(t, "borders") {
		s.Borders = append(s.Borders, quilt.Border{Cut: 1.5 * k, Fabric: s.Strips[0].Fabric, Corners: rapid.SampledFrom([]quilt.Corners{quilt.Butted, quilt.Mitred}).Draw(t, "corners")})
	}
	own, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if !own.Fewest.OK() {
		t.Skip("no strip set gives the pieces")
	}
	paper, _ := pages.Named(rapid.SampledFrom([]string{"letter", "a4"}).Draw(t, "paper"), unit)
	o := Options{Paper: paper, Twin: rapid.Bool().Draw(t, "twin")}
	out := []Size{{Plan: own}}
	if rapid.Bool().Draw(t, "several") {
		out[0].Name = "own size"
		scaled := rapid.Bool().Draw(t, "scaled")
		for i := range rapid.IntRange(1, 5).Draw(t, "sizes") {
			cover := quilt.Size{Width: k * float64(30+9*i), Height: k * float64(40+8*i)}
			spec, err := s.Covering(cover)
			if scaled {
				spec, err = s.Scaled(cover)
			}
			if err != nil {
				t.Fatal(err)
			}
			p, err := quilt.New(spec)
			if err != nil {
				t.Fatal(err)
			}
			if !p.Fewest.OK() {
				t.Skip("no strip set gives the pieces")
			}
			out = append(out, Size{Name: fmt.Sprintf("%g by %g", cover.Width, cover.Height), Wanted: quilt.Wanted{Cover: cover}, Plan: p})
		}
	}
	return out, o
}

func make1(t *rapid.T) ([]Size, *Booklet) {
	sizes, o := drawSizes(t)
	return sizes, mustMake(t, sizes, o)
}

func mustMake(t *rapid.T, sizes []Size, o Options) *Booklet {
	b, err := Make(sizes, o)
	var small *pages.TooSmallError
	if errors.As(err, &small) {
		t.Skip("templates too large")
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// textBox is where a text lies, by the measures that poppler and FreeType confirm
// in the tests of PDF, with what reaches below the line: 432/2048 of the size in
// the Go fonts.
func textBox(u geometry.Unit, x draw.Text) geometry.Rect {
	in := func(v float64) float64 { return u.Inches(v) }
	w, h := in(draw.Fonts{}.Width(x.Value, x.Bold, x.Height)), in(x.Height)
	from := 0.0
	if x.Centred {
		from = -w / 2
	}
	r := geometry.Rect{Min: geometry.Point{X: from, Y: -432. / 1480 * h}, Max: geometry.Point{X: from + w, Y: h}}
	if x.Turn == 90 {
		r = geometry.Rect{Min: geometry.Point{X: -r.Max.Y, Y: r.Min.X}, Max: geometry.Point{X: -r.Min.Y, Y: r.Max.X}}
	}
	at := geometry.Point{X: in(x.At.X), Y: in(x.At.Y)}
	return geometry.Rect{Min: r.Min.Add(at), Max: r.Max.Add(at)}
}

// Laws of every page: numbered; no text below 9 points (7 on pieces), beyond the margins or
// on another; every figure lies on its page and has a caption of its own, and
// what the text calls figures, tables and pages is there; bookmarks lead to
// their headings.
func TestEveryPage(t *testing.T) {
	outside.Cases(t, 10, 100)
	rapid.Check(t, func(t *rapid.T) {
		sizes, o := drawSizes(t)
		b := mustMake(t, sizes, o)
		everyPage(t, b)
		if !reflect.DeepEqual(b, mustMake(t, sizes, o)) {
			t.Fatal("made twice, it differs")
		}
	})
}

// Strip sets of many strips, the longest name, the widest sizes.
func TestManyStrips(t *testing.T) {
	for _, n := range outside.Of([]int{1, 12}, []int{1, 5, 12, 20}) {
		s := quilt.Spec{Name: strings.Repeat("W", 120), Designer: strings.Repeat("M", 120), Unit: geometry.Inch, Seam: 0.25, Angle: 60, UsableWidth: 200, Columns: 3, Rows: 3}
		s.Binding.Extra, s.Backing.Extra = 10, 4
		for i := range n {
			key := fmt.Sprintf("%s%d", strings.Repeat("w", 38), i)
			s.Strips = append(s.Strips, quilt.Strip{Cut: 1 + float64(i%4)/4, Fabric: key})
			s.Fabrics = append(s.Fabrics, quilt.Fabric{Key: key, Name: key, Colours: make([]quilt.Colour, 1+i%7)})
		}
		var sizes []Size
		for i := range MaxSizes {
			s.Rows = 3 + i
			p, err := quilt.New(s)
			if err != nil {
				t.Fatal(err)
			}
			sizes = append(sizes, Size{Name: fmt.Sprintf("%d 13/16 (99.999) by 199 13/16 in (199.8125)", 90+i), Plan: p})
		}
		paper, _ := pages.Named("a4", geometry.Inch)
		b, err := Make(sizes, Options{Paper: paper, Twin: true})
		if err != nil {
			t.Fatal(err)
		}
		everyPage(t, b)
	}
}

type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

var figureName = regexp.MustCompile(`^Figure\x{a0}(\d+)\.$|^Figure (\d+)\.$`)

func everyPage(t failer, b *Booklet) {
	t.Helper()
	captions, figuresOn := map[string]int{}, map[int]int{}
	all := ""
	for n, s := range b.Pages {
		page := geometry.Rect{Max: geometry.Point{X: s.Unit.Inches(s.Page.Width()), Y: s.Unit.Inches(s.Page.Height())}}
		var boxes []geometry.Rect
		words := ""
		for _, x := range s.Texts {
			if size := s.Unit.Inches(x.Height) * 72 / 0.718; size < 9 && x.Colour == "" || size < 7 {
				t.Fatalf("page %d: %q is %.2f points", n+1, x.Value, size)
			}
			box := textBox(s.Unit, x)
			if m := 0.24; box.Min.X < m || box.Min.Y < m || box.Max.X > page.Max.X-m || box.Max.Y > page.Max.Y-m {
				t.Fatalf("page %d: %q lies at %v, off the page %v", n+1, x.Value, box, page.Max)
			}
			for i, o := range boxes {
				const touch = 0.3 / 72
				if box.Min.X < o.Max.X-touch && o.Min.X < box.Max.X-touch && box.Min.Y < o.Max.Y-touch && o.Min.Y < box.Max.Y-touch {
					t.Fatalf("page %d: %q lies on %q", n+1, x.Value, s.Texts[i].Value)
				}
			}
			boxes = append(boxes, box)
			words += x.Value + " "
			if m := figureName.FindStringSubmatch(x.Value); m != nil {
				captions[x.Value]++
				figuresOn[n]++
			}
		}
		all += words
		words = strings.ReplaceAll(words, "\u00a0", " ")
		if want := fmt.Sprintf("page %d of %d: ", n+1, len(b.Pages)); !strings.Contains(words, want) {
			t.Fatalf("page %d does not say %q: %.200s", n+1, want, words)
		}
		for _, p := range s.Paths {
			for _, q := range p.Points {
				if x, y := s.Unit.Inches(q.X), s.Unit.Inches(q.Y); x < 0.24 || y < 0.24 || x > page.Max.X-0.24 || y > page.Max.Y-0.24 {
					t.Fatalf("page %d: a %v line reaches %v, %v", n+1, p.Role, x, y)
				}
			}
		}
	}
	for caption, n := range captions {
		if n != 1 {
			t.Fatalf("%s stands %d times", caption, n)
		}
	}
	if len(captions) != len(b.figures) {
		t.Fatalf("%d captions of %d figures", len(captions), len(b.figures))
	}
	drawn := map[int]int{}
	for _, f := range b.figures {
		drawn[f.page]++
		if f.box.Min.X < 0.7 || f.box.Min.Y < 0.6 || f.box.Max.X > b.Pages[f.page].Page.Width()-0.7 || !(f.scale > 0) {
			t.Fatalf("figure %s lies at %v", f.key, f.box)
		}
	}
	for page, n := range drawn {
		if figuresOn[page] != n {
			t.Fatalf("page %d has %d figures and %d captions", page+1, n, figuresOn[page])
		}
	}
	for _, m := range regexp.MustCompile(`(?i)\b(figure|page)\x{a0}(\d+)\b`).FindAllStringSubmatch(all, -1) {
		n := 0
		fmt.Sscan(m[2], &n)
		most := len(b.figures)
		if strings.EqualFold(m[1], "page") {
			most = len(b.Pages)
		}
		if n < 1 || n > most {
			t.Fatalf("%s is spoken of, and there are %d", m[0], most)
		}
	}
	for _, k := range b.Bookmarks {
		if k.Page < 0 || k.Page >= len(b.Pages) {
			t.Fatalf("bookmark %q leads to page %d", k.Title, k.Page+1)
		}
		if k.Level == 0 && !strings.Contains(pageWords(b.Pages[k.Page]), firstWords(k.Title)) && !strings.HasPrefix(k.Title, "Strip gauge") {
			t.Fatalf("bookmark %q leads to page %d, which does not say so", k.Title, k.Page+1)
		}
	}
}

func firstWords(s string) string {
	w := strings.Fields(s)
	short := []rune(strings.Join(w[:min(2, len(w))], " "))
	return string(short[:min(20, len(short))])
}

func pageWords(s *draw.Drawing) string {
	var all []string
	for _, x := range s.Texts {
		all = append(all, x.Value)
	}
	return strings.Join(all, " ")
}

// readBack writes the booklet and reads the paths of its pages.
func readBack(t *rapid.T, b *Booklet) *measure.Drawing {
	var out bytes.Buffer
	if err := pdf.Write(&out, pdf.Document{Title: b.Title, Pages: b.Pages}); err != nil {
		t.Fatal(err)
	}
	d, err := pdfread.Read(&out)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// within returns the paths of a page that lie inside a figure.
func within(d *measure.Drawing, f figureAt) []measure.Path {
	var out []measure.Path
	const slack = 1e-3
	for _, p := range d.Pages[f.page].Paths {
		inside := true
		for _, q := range p.Points {
			inside = inside && q.X > f.box.Min.X-slack && q.X < f.box.Max.X+slack && q.Y > f.box.Min.Y-slack && q.Y < f.box.Max.Y+slack
		}
		if inside {
			out = append(out, p)
		}
	}
	return out
}

// alike reports whether points are a picture of an outline: moved and scaled
// by k alike in every direction, from whichever vertex on.
func alike(points []geometry.Point, outline geometry.Polygon, k float64) bool {
	n := len(outline)
	if len(points) != n {
		return false
	}
	for from := range n {
		ok := true
		for i := range n {
			want := outline[(from+i)%n].Sub(outline[from]).Mul(k)
			got := points[i].Sub(points[0])
			ok = ok && got.Sub(want).Len() < 1e-3
		}
		if ok {
			return true
		}
	}
	return false
}

// Drawings are in true proportion, read back from the file: pieces are
// pictures of their outlines, each strip set's cut lines lie where the row of
// cuts has them, quilts have the shape of the finished quilt, and a figure's
// scale is one and the same for all that is in it.
func TestTrueProportion(t *testing.T) {
	outside.Cases(t, 10, 100)
	rapid.Check(t, func(t *rapid.T) {
		sizes, b := make1(t)
		d := readBack(t, b)
		ways := (&composer{sizes: sizes, p: sizes[0].Plan, unit: sizes[0].Plan.Spec.Unit})
		ways.group()
		list := ways.waysOf(ways.plans())
		checked := map[string]int{}
		for _, f := range b.figures {
			paths := within(d, f)
			kind := strings.Fields(f.key)[0]
			has := func(g geometry.Polygon) bool {
				for _, p := range paths {
					if p.Closed && alike(p.Points, g, f.scale) {
						return true
					}
				}
				return false
			}
			line := func(s geometry.Segment, at geometry.Point) bool {
				a, z := s.A.Mul(f.scale).Add(at), s.B.Mul(f.scale).Add(at)
				for _, p := range paths {
					if len(p.Points) == 2 && (p.Points[0].Sub(a).Len() < 2e-3 && p.Points[1].Sub(z).Len() < 2e-3 ||
						p.Points[1].Sub(a).Len() < 2e-3 && p.Points[0].Sub(z).Len() < 2e-3) {
						return true
					}
				}
				return false
			}
			p := sizes[0].Plan
			switch kind {
			case "tips":
				lean := geometry.Right
				if p.Spec.Face == geometry.FaceDown {
					lean = geometry.Left
				}
				for _, shape := range []geometry.Shape{geometry.Diamond, geometry.LowerTriangle} {
					piece := p.Set.Piece(shape, lean)
					if !has(piece.Outline) || !has(piece.Finished) {
						t.Fatalf("figure %s shows no %v in true proportion", f.key, shape)
					}
				}
			case "way":
				var i int
				fmt.Sscanf(f.key, "way %d", &i)
				w := list[i]
				row := w.plan.Row(w.like.Layout)
				// The strips of the strip set are there, as long as they are cut.
				cloth := rect(0, 0, w.plan.Yield.Length+w.plan.Spec.EndTrim, w.plan.Set.Bands()[0][1])
				if !has(cloth) {
					t.Fatalf("figure %s shows no strip %v in true proportion", f.key, cloth)
				}
				// Every crosscut that reaches from edge to edge lies where it
				// should, measured from the first: the starting cut may begin
				// beyond the end of the strips.
				var cuts []geometry.Segment
				for _, cut := range row.Cuts() {
					if cut.Kind != strip.TipTrimCut {
						cuts = append(cuts, cut.Line)
					}
				}
				// The first and the last cut may end beyond the strips.
				found := len(cuts) < 3
				for _, q := range paths {
					if len(q.Points) != 2 || found {
						continue
					}
					for _, cut := range cuts[1:] {
						try := q.Points[0].Sub(cut.A.Mul(f.scale))
						if q.Points[1].Sub(cut.B.Mul(f.scale)).Sub(try).Len() < 2e-3 {
							n := 0
							for _, other := range cuts[1 : len(cuts)-1] {
								if line(other, try) {
									n++
								}
							}
							if n == len(cuts)-2 {
								found = true
								break
							}
						}
					}
				}
				if !found {
					t.Fatalf("figure %s: the cuts of %q are not where they should be", f.key, row.Word)
				}
			case "picture", "map", "colouring":
				i := 0
				fmt.Sscanf(f.key, kind+" %d", &i)
				size := sizes[i].Plan
				shown := viewOf(size).shown
				if !has(shown.Polygon()) {
					t.Fatalf("figure %s does not have the shape of the quilt, %v", f.key, size.Finished)
				}
				outer := size.Outer
				if len(size.Spec.Borders) > 0 && shown == size.Frame() && !has(rect(0, 0, outer.Width, outer.Height)) {
					t.Fatalf("figure %s does not have the shape of the quilt with borders, %v", f.key, outer)
				}
				if kind == "colouring" {
					// The diamonds' sides lie on straight seams: one family
					// climbs a row in half a column.
					slope := sizes[i].Plan.RowStep / (sizes[i].Plan.ColumnStep / 2)
					steep := 0
					for _, q := range paths {
						if len(q.Points) == 2 {
							dx, dy := q.Points[1].X-q.Points[0].X, q.Points[1].Y-q.Points[0].Y
							if math.Hypot(dx, dy) > 0.3 && math.Abs(math.Abs(dy/dx)-slope) < 0.02*slope {
								steep++
							}
						}
					}
					if steep < size.Columns {
						t.Fatalf("figure %s: %d seams have the slope %v", f.key, steep, slope)
					}
				}
			case "corner", "diagonal":
				n := 0
				for _, pl := range p.Pieces {
					if pl.Shape == geometry.Diamond {
						st := p.Standing(pl)
						for _, q := range paths {
							for _, shrink := range []float64{1, 0.93} {
								if q.Closed && alike(q.Points, st.Finished, f.scale*shrink) {
									n++
								}
							}
						}
						break
					}
				}
				if n == 0 {
					t.Fatalf("figure %s shows no diamond in true proportion", f.key)
				}
			case "layers":
				for _, s := range []quilt.Size{p.Outer, p.Batting, {Width: p.Backing.Width, Height: p.Backing.Height}} {
					if !has(rect(0, 0, s.Width, s.Height)) {
						t.Fatalf("figure %s shows no layer of %v", f.key, s)
					}
				}
			case "start", "slide":
				// The ruler's edge lies at the angle of the crosscuts.
				tan := math.Abs(float64(p.Set.Angle.Tan()))
				n := 0
				for _, q := range paths {
					if len(q.Points) == 2 {
						dx, dy := q.Points[1].X-q.Points[0].X, q.Points[1].Y-q.Points[0].Y
						if math.Abs(dy) > 0.9*p.Set.Width*f.scale && (p.Set.Angle == 90 && math.Abs(dx) < 1e-3 || math.Abs(math.Abs(dy/dx)/tan-1) < 1e-3) {
							n++
						}
					}
				}
				if n == 0 {
					t.Fatalf("figure %s has no cut at %v degrees", f.key, float64(p.Set.Angle))
				}
			case "part":
				kind = "map" // of a quilt that is shown in parts, without its borders
			default:
				continue
			}
			checked[kind]++
		}
		for _, kind := range []string{"tips", "way", "picture", "map", "colouring", "corner", "diagonal", "layers", "start", "slide"} {
			if checked[kind] == 0 {
				t.Fatalf("no figure of the kind %s", kind)
			}
		}
	})
}

func TestNoSizes(t *testing.T) {
	if _, err := Make(nil, Options{}); err == nil {
		t.Error("a booklet of no size")
	}
	if _, err := Make(make([]Size, MaxSizes+1), Options{}); err == nil {
		t.Error("a booklet of too many sizes")
	}
}
