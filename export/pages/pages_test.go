// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func drawPlan(t *rapid.T) *quilt.Plan {
	unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
	k := unit.Of(1, 2.5)
	layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
	if err != nil {
		t.Fatal(err)
	}
	s := quilt.Spec{
		Name: rapid.SampledFrom([]string{"Labels", "", "A quilt whose name goes on and on, WWW MMM @@@, and still goes on, for it is a long one"}).Draw(t, "name"),
		Unit: unit, Seam: k / 4, UsableWidth: 60 * k,
		Angle:   geometry.Angle(rapid.SampledFrom([]float64{30, 45, 60, 72, 90}).Draw(t, "angle")),
		Layout:  layout,
		Columns: rapid.IntRange(2, 9).Draw(t, "columns"), Rows: rapid.IntRange(2, 9).Draw(t, "rows"),
		Face:  rapid.SampledFrom([]geometry.Face{geometry.FaceUp, geometry.FaceDown}).Draw(t, "face"),
		Tips:  rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		Spare: rapid.IntRange(0, 2).Draw(t, "spare"),
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "strips") {
		key := fmt.Sprintf("cloth-%d", i)
		name := rapid.SampledFrom([]string{"", "Sand", "Brown WOVEN MOMME, the bolt from the market, with a very long name"}).Draw(t, "fabric")
		s.Strips = append(s.Strips, quilt.Strip{Cut: k * rapid.Float64Range(1, 5).Draw(t, "cut"), Fabric: key})
		f := quilt.Fabric{Key: key, Name: name}
		for k := range rapid.IntRange(1, 5).Draw(t, "colours") {
			f.Colours = append(f.Colours, quilt.Colour{uint8(50 * k), uint8(90 * i), 77})
		}
		s.Fabrics = append(s.Fabrics, f)
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func drawPaper(t *rapid.T, u geometry.Unit) Paper {
	if i := rapid.IntRange(0, len(sizes)).Draw(t, "paper"); i < len(sizes) {
		p, _ := Named(sizes[i].name, u)
		return p
	}
	return Paper{
		Width:  u.FromInches(rapid.Float64Range(5, 20).Draw(t, "width")),
		Height: u.FromInches(rapid.Float64Range(5, 20).Draw(t, "height")),
	}
}

func segments(p draw.Path) []geometry.Segment {
	var out []geometry.Segment
	for i, a := range p.Points {
		if i+1 < len(p.Points) || p.Closed {
			out = append(out, geometry.Segment{A: a, B: p.Points[(i+1)%len(p.Points)]})
		}
	}
	return out
}

// Laws of every page: the calibration square has its full side or the reader
// is told why not; nothing lies beyond the margins; no text is smaller than 9
// points, lies on another or on a line; print scaling is spoken of.
func TestPages(t *testing.T) {
	outside.Cases(t, 30, 100)
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		u := p.Spec.Unit
		paper := drawPaper(t, u)
		sheets, err := Templates(p, paper)
		var small *TooSmallError
		if errors.As(err, &small) {
			if min(paper.Width, paper.Height) >= u.Of(8, 20.3) && max(paper.Width, paper.Height) >= u.Of(10.9, 27.7) {
				t.Fatal(err)
			}
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		reach := geometry.Rect{Max: geometry.Point{X: paper.Width, Y: paper.Height}}.Inset(u.Of(0.25, 0.7) - 1e-9)
		inside := func(q geometry.Point) bool {
			return q.X >= reach.Min.X && q.X <= reach.Max.X && q.Y >= reach.Min.Y && q.Y <= reach.Max.Y
		}
		for n, s := range sheets {
			if s.Page.Min != (geometry.Point{}) || s.Page.Max != (geometry.Point{X: paper.Width, Y: paper.Height}) || s.Scale != 1 {
				t.Fatalf("page %d is %v, scale %v", n+1, s.Page, s.Scale)
			}
			words := ""
			for _, x := range s.Texts {
				words += x.Value + "\n"
			}
			flat := strings.Join(strings.Fields(words), " ")
			for _, want := range []string{"100 %", fmt.Sprintf("page %d of %d", n+1, len(sheets)), "each way"} {
				if !strings.Contains(flat, want) {
					t.Fatalf("page %d does not say %q:\n%s", n+1, want, words)
				}
			}
			full := u.Of(4, 10)
			if s.Square.Side < full && !strings.Contains(sheetWords(sheets[0]), "has no room on this paper") || s.Square.Side > full || s.Square.Side != math.Trunc(s.Square.Side) {
				t.Fatalf("page %d: calibration square of %v", n+1, s.Square.Side)
			}
			lines := []draw.Path{{Role: draw.Square, Closed: true, Points: []geometry.Point{
				s.Square.At, s.Square.At.Add(geometry.Point{X: s.Square.Side}),
				s.Square.At.Add(geometry.Point{X: s.Square.Side, Y: s.Square.Side}), s.Square.At.Add(geometry.Point{Y: s.Square.Side}),
			}}}
			lines = append(lines, s.Paths...)
			for _, l := range lines {
				for _, q := range l.Points {
					if !inside(q) {
						t.Fatalf("page %d: a %v line reaches %v, beyond the margin", n+1, l.Role, q)
					}
				}
			}
			swatches := swatchesClear(t, s, lines, inside)
			for i, x := range s.Texts {
				b := shown(x)
				if !inside(b.Min) || !inside(b.Max) {
					t.Fatalf("page %d: %q reaches beyond the margin", n+1, x.Value)
				}
				// A capital is 0.718 of the font's size.
				if points := u.Inches(x.Height) * 72 / 0.718; points < 9 {
					t.Fatalf("page %d: %q is %.1f points in size", n+1, x.Value, points)
				}
				for _, l := range lines {
					for _, e := range segments(l) {
						if _, hit := b.Clip(e); hit {
							t.Fatalf("page %d: %q lies on a %v line %v", n+1, x.Value, l.Role, e)
						}
					}
				}
				others := slices.Clone(swatches)
				for _, y := range s.Texts[:i] {
					others = append(others, shown(y))
				}
				for _, c := range others {
					if b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y {
						t.Fatalf("page %d: %q lies on another text or a swatch at %v", n+1, x.Value, c)
					}
				}
			}
		}
	})
}

// swatchesClear returns where swatches lie, on no line and inside the margins.
func swatchesClear(t *rapid.T, s *draw.Drawing, lines []draw.Path, inside func(geometry.Point) bool) (out []geometry.Rect) {
	for _, f := range s.Fills {
		b := f.Polygons[0].Bounds()
		if out = append(out, b); !f.Bare || !inside(b.Min) || !inside(b.Max) {
			t.Fatalf("%s: a swatch with a line, or at %v", s.Title, b)
		}
		for _, l := range lines {
			for _, e := range segments(l) {
				if _, hit := b.Clip(e); hit {
					t.Fatalf("%s: a swatch lies on a %v line %v", s.Title, l.Role, e)
				}
			}
		}
	}
	return out
}

// shown is where the PDF has a text, by the measures that poppler and FreeType
// confirm in the tests of PDF, capitals without what reaches below the
// line. It may be turned by a quarter.
func shown(x draw.Text) geometry.Rect {
	from, to := 0.0, draw.Fonts{}.Width(x.Value, x.Bold, x.Height)
	if x.Centred {
		from, to = -to/2, to/2
	}
	if x.Turn == 90 {
		return geometry.Rect{Min: geometry.Point{X: -x.Height, Y: from}, Max: geometry.Point{Y: to}}.Move(x.At)
	}
	return geometry.Rect{Min: geometry.Point{X: from}, Max: geometry.Point{X: to, Y: x.Height}}.Move(x.At)
}

func sheetWords(s *draw.Drawing) string {
	var all []string
	for _, x := range s.Texts {
		all = append(all, x.Value)
	}
	return strings.Join(strings.Fields(strings.Join(all, " ")), " ")
}

// Laws of a grid: what is printed between glue lines covers the outline and
// overlaps nowhere; neighbours share at least half an inch; glue lines lie off
// seams and edges; no page is empty; one window fewer each way would not do.
func TestGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		in := p.Spec.Unit.FromInches
		ts := templates([]Quilt{{Plan: p}})
		template := rapid.SampledFrom(ts).Draw(t, "template")
		outline := template.piece.Outline
		w := in(rapid.Float64Range(1.5, 12).Draw(t, "window width"))
		h := in(rapid.Float64Range(1.5, 12).Draw(t, "window height"))
		g := newGrid(outline, w, h, in(overlap))
		g.levels, g.clear = template.levels(), in(0.12)
		area, seen := 0.0, geometry.EmptyRect()
		tiles := g.tiles()
		for i, a := range tiles {
			part := outline.Within(a.core)
			if part == nil {
				t.Fatalf("%s is empty", a.name())
			}
			area += part.Area()
			seen = seen.Union(part.Bounds())
			if !close(a.window.Width(), w) || !close(a.window.Height(), h) {
				t.Fatalf("%s is %v", a.name(), a.window)
			}
			for _, b := range tiles[:i] {
				if a.name() == b.name() {
					t.Fatalf("two pages %s", a.name())
				}
				if a.row == b.row && a.col == b.col+1 {
					if shared := b.window.Max.X - a.window.Min.X; shared < in(0.5) {
						t.Fatalf("%s and %s share %v", b.name(), a.name(), shared)
					}
					if !close(b.core.Max.X, a.core.Min.X) {
						t.Fatalf("glue lines at %v and %v", b.core.Max.X, a.core.Min.X)
					}
				}
				if a.col == b.col && a.row == b.row+1 {
					glue := b.core.Min.Y
					if !close(glue, a.core.Max.Y) || glue < b.window.Min.Y+in(0.1) || glue > a.window.Max.Y-in(0.1) {
						t.Fatalf("glue lines at %v and %v, windows from %v to %v", glue, a.core.Max.Y, b.window.Min.Y, a.window.Max.Y)
					}
					// No seam or edge is hidden under it.
					for _, level := range g.levels {
						if math.Abs(level-glue) < in(0.1) {
							t.Fatalf("the glue line at %v lies on the line at %v", glue, level)
						}
					}
				}
			}
		}
		if math.Abs(area-outline.Area()) > 1e-3 {
			t.Fatalf("the pages hold %v of %v", area, outline.Area())
		}
		box := outline.Bounds()
		for _, way := range []struct {
			n            int
			length, wind float64
		}{{g.cols, box.Width(), w}, {g.rows, box.Height(), h}} {
			if covered := g.span(way.n, way.wind); covered < way.length-1e-8 {
				t.Fatalf("%d windows cover %v of %v", way.n, covered, way.length)
			}
			if way.n > 1 && g.span(way.n-1, way.wind) >= way.length {
				t.Fatalf("%d windows where %d do", way.n, way.n-1)
			}
		}
		// The lines on all pages, together, are the outline: each side is
		// seen in full.
		for i, a := range outline {
			b := outline[(i+1)%len(outline)]
			total := 0.0
			for _, w := range tiles {
				if s, ok := w.core.Clip(geometry.Segment{A: a, B: b}); ok {
					total += s.B.Sub(s.A).Len()
				}
			}
			if length := b.Sub(a).Len(); math.Abs(total-length) > 1e-2 {
				t.Fatalf("of the side from %v to %v, %v long, the pages show %v", a, b, length, total)
			}
		}
	})
}

func close(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// An exact fit takes no page more: a window of 8, overlaps of 0.75, so that n
// windows cover 8n - 0.75(n - 1).
func TestExactFit(t *testing.T) {
	for n := 1; n < 40; n++ {
		length := 8*float64(n) - 0.75*float64(n-1)
		for _, c := range []struct {
			off  float64
			want int
		}{{0, n}, {1e-12, n}, {-1e-12, n}, {1e-6, n + 1}, {-1e-6, n}} {
			if got := windows(length+c.off, 8, 0.75); got != c.want {
				t.Errorf("%v%+g: %d windows, want %d", length, c.off, got, c.want)
			}
		}
	}
}

func TestClip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := rapid.SampledFrom(templates([]Quilt{{Plan: drawPlan(t)}})).Draw(t, "template").piece.Outline
		box := outline.Bounds()
		at := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		r := geometry.EmptyRect().Grow(
			geometry.Point{X: at("x", box.Min.X-1, box.Max.X+1), Y: at("y", box.Min.Y-1, box.Max.Y+1)},
			geometry.Point{X: at("x", box.Min.X-1, box.Max.X+1), Y: at("y", box.Min.Y-1, box.Max.Y+1)})
		got, want := 0.0, 0.0
		for _, c := range clip(outline, r) {
			for i := range c.points {
				if i+1 < len(c.points) || c.closed {
					got += c.points[(i+1)%len(c.points)].Sub(c.points[i]).Len()
				}
			}
		}
		for i, a := range outline {
			if s, ok := r.Clip(geometry.Segment{A: a, B: outline[(i+1)%len(outline)]}); ok {
				want += s.B.Sub(s.A).Len()
			}
		}
		if math.Abs(got-want) > 1e-9 {
			t.Fatalf("lines of %v, want %v", got, want)
		}
	})
	square := geometry.Polygon{{}, {X: 2}, {X: 2, Y: 2}, {Y: 2}}
	whole := clip(square, geometry.Rect{Max: geometry.Point{X: 2, Y: 2}})
	if len(whole) != 1 || !whole[0].closed || len(whole[0].points) != 4 {
		t.Errorf("a square in its own box: %v", whole)
	}
	if half := clip(square, geometry.Rect{Min: geometry.Point{X: -1, Y: -1}, Max: geometry.Point{X: 1, Y: 3}}); len(half) != 1 || half[0].closed || len(half[0].points) != 4 {
		t.Errorf("the left half of a square: %v", half)
	}
}

// Lengths are not torn apart at the end of a line.
func TestWrap(t *testing.T) {
	got := strings.Join(wrap("sides 4 5/8 in (4.619), 97 % and 9 long", 0.1, 1.1), "|")
	if want := "sides|4 5/8 in (4.619),|97 % and 9 long"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got := wrap(strings.Repeat("W", 30), 0.1, 1); len(got) < 3 || strings.Join(got, "") != strings.Repeat("W", 30) {
		t.Errorf("a long word: %q", got)
	}
}

// The tide lap quilt at 60 degrees and 1/4 in: strip set 4 1/2 in, crosscuts
// 4.5/sin 60 = 5.196 in apart, tips trimmed 1/4 in past the finished point
// (facts of the trade, worked by hand).
func TestGaugeMeasures(t *testing.T) {
	p, err := quilt.New(quilt.Spec{
		Name: "Tide", Seam: 0.25, Angle: 60, UsableWidth: 40, Columns: 4, Rows: 4,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "a"}},
		Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	var got [][]float64
	for _, s := range scales(p, templates([]Quilt{{Plan: p}}), 12, 0.1) {
		var at []float64
		for _, m := range s.marks {
			at = append(at, math.Round(m.at*1e6)/1e6)
		}
		got = append(got, at)
	}
	if want := "[[0 0.25 2.25 4.25 4.5] [0 5.196152 10.392305] [0 0.25]]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// As part of a larger document the pages go on counting, and name how many to
// cut for each of the quilts; a kind of piece that only one of them needs has
// a template too.
func TestLayForSeveralQuilts(t *testing.T) {
	s := quilt.Spec{Name: "Two", Seam: 0.25, UsableWidth: 40, Angle: 60, Columns: 3, Rows: 4, Spare: 1,
		Strips: []quilt.Strip{{Cut: 2, Fabric: "moss"}, {Cut: 2, Fabric: "butter"}}}
	plan := func(rows int) *quilt.Plan {
		s.Rows = rows
		p, err := quilt.New(s)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	paper, _ := Named("letter", geometry.Inch)
	// Even and odd rows end in edge triangles of different leans.
	b, err := Lay("Two, crib and twin", []Quilt{{"crib", plan(4)}, {"twin", plan(5)}}, paper)
	if err != nil {
		t.Fatal(err)
	}
	if b.Len() != 6 { // the gauge, two diamonds, three kinds of edge triangle
		t.Fatalf("%d pages", b.Len())
	}
	all := ""
	for i, page := range b.Draw(11, 30) {
		words := strings.Join(strings.Fields(sheetWords(page)), " ")
		if want := fmt.Sprintf("page %d of 30: Two, crib and twin", 11+i); !strings.Contains(words, want) {
			t.Errorf("page %d does not say %q: %s", i+1, want, words)
		}
		all += words + "\n"
	}
	// 3 columns of 4 rows are 6 diamonds of either lean; of 5 rows, 9 and 6.
	for _, want := range []string{
		"Cut for crib: 6, twin: 9 and 1 spare each, fabric right side up.", "Cut for crib: 6, twin: 6 and 1 spare each",
		"Cut for crib: 3, twin: 3 and 1 spare each", "Cut for crib: 3 and 1 spare, fabric", "Cut for twin: 3 and 1 spare, fabric",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not in\n%s", want, all)
		}
	}
	if strings.Contains(all, "diamond, cut") {
		t.Error("a template for several quilts names one number")
	}
}

// Swatches of the fabrics' colours stand before their names: before the strips from
// below, and in each strip of a template.
func TestSwatchesOnTemplates(t *testing.T) {
	s := quilt.Spec{
		Name: "Harbour", Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 3,
		Strips: []quilt.Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 2.5, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{
			{Key: "tide", Name: "Tide blues", Colours: []quilt.Colour{{0x17, 0x50, 0x6b}, {0x9f, 0xcf, 0xcf}}},
			{Key: "sand", Name: "Sand", Colours: []quilt.Colour{{0xfa, 0xf0, 0xe6}}, Names: []string{"linen"}},
		},
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	letter, _ := Named("letter", s.Unit)
	sheets, err := Templates(p, letter)
	if err != nil {
		t.Fatal(err)
	}
	const tide, sand, below = "#17506b #9fcfcf", "#faf0e6", "Strips from below: "
	for _, d := range sheets[1:] {
		for words, want := range map[string]string{below: tide + " " + sand, "Tide blues": tide, "Sand linen": sand} {
			i := slices.IndexFunc(d.Texts, func(x draw.Text) bool { return x.Value == words || words == below && strings.HasPrefix(x.Value, words) })
			if i < 0 {
				t.Errorf("%s: nothing says %q", d.Title, words)
				continue
			}
			x, got := d.Texts[i], []string{}
			for _, f := range d.Fills {
				b := f.Polygons[0].Bounds()
				if f.Colour != "#808080" && b.Max.X < x.At.X && b.Max.X > x.At.X-6*x.Height && b.Min.Y >= x.At.Y && b.Max.Y <= x.At.Y+x.Height {
					got = append(got, f.Colour)
				}
			}
			if strings.Join(got, " ") != want {
				t.Errorf("%s: before %q stands %q, want %q", d.Title, words, got, want)
			}
		}
	}
}
