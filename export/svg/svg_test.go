// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"go/parser"
	"go/token"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// document is what the tests look at in a file that was written.
type document struct {
	Width   string   `xml:"width,attr"`
	Height  string   `xml:"height,attr"`
	ViewBox string   `xml:"viewBox,attr"`
	Title   string   `xml:"title"`
	Desc    string   `xml:"desc"`
	Groups  []*group `xml:"g"`
}

type group struct {
	ID     string     `xml:"id,attr"`
	Attrs  []xml.Attr `xml:",any,attr"`
	Paths  []pathElem `xml:"path"`
	Rects  []rectElem `xml:"rect"`
	Groups []*group   `xml:"g"`
	Texts  []textElem `xml:"text"`
}

type pathElem struct {
	D      string `xml:"d,attr"`
	Fill   string `xml:"fill,attr"`
	Stroke string `xml:"stroke-width,attr"`
}

type rectElem struct {
	ID     string  `xml:"id,attr"`
	Size   string  `xml:"data-size,attr"`
	X      float64 `xml:"x,attr"`
	Y      float64 `xml:"y,attr"`
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
}

type textElem struct {
	Transform string  `xml:"transform,attr"`
	Size      float64 `xml:"font-size,attr"`
	Anchor    string  `xml:"text-anchor,attr"`
	Fill      string  `xml:"fill,attr"`
	Value     string  `xml:",chardata"`
}

func (d *document) group(t testing.TB, id string) *group {
	t.Helper()
	for _, g := range d.Groups {
		if g.ID == id {
			return g
		}
	}
	t.Fatalf("there is no group %q", id)
	return nil
}

type failer interface {
	Helper()
	Fatalf(string, ...any)
	Fatal(...any)
}

func write(t failer, s *draw.Drawing) string {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, s); err != nil {
		t.Fatal(err)
	}
	return buf.String()
}

func parse(t failer, text string) *document {
	t.Helper()
	d := &document{}
	dec := xml.NewDecoder(strings.NewReader(text))
	if err := dec.Decode(d); err != nil {
		t.Fatalf("not well-formed: %v\n%s", err, text)
	}
	return d
}

// coords reads path data of the form that is written.
func coords(t failer, d string) (points []geometry.Point, closed bool) {
	t.Helper()
	for i, f := range strings.Fields(d) {
		if f == "Z" {
			closed = true
			continue
		}
		x, y, ok := strings.Cut(f[1:], ",")
		a, errA := strconv.ParseFloat(x, 64)
		b, errB := strconv.ParseFloat(y, 64)
		if !ok || errA != nil || errB != nil || (f[0] != 'L' && f[0] != 'M') || (f[0] == 'M') != (i == 0) {
			t.Fatalf("%q in path data", f)
		}
		points = append(points, geometry.Point{X: a, Y: b})
	}
	return points, closed
}

func page(width, height float64) *draw.Drawing {
	return &draw.Drawing{
		Page:  geometry.Rect{Max: geometry.Point{X: width, Y: height}},
		Line:  0.02,
		Scale: 1,
	}
}

// Sizes on paper are in the unit, with all their decimals: "8.38in" is what
// the library makes of 8 3/8 (r-lib/svglite#50, ajstarks/svgo#18), px would be
// 72, 90 or 96 to the inch (musescore/MuseScore#22531, deeplook/svglib#452).
func TestRoot(t *testing.T) {
	s := page(8.375, 10.0625)
	d := parse(t, write(t, s))
	if d.Width != "8.375in" || d.Height != "10.0625in" || d.ViewBox != "0 0 8.375 10.0625" {
		t.Errorf("root is %q by %q, viewBox %q", d.Width, d.Height, d.ViewBox)
	}
	s.Unit = geometry.Centimetre
	s.Page = geometry.Rect{Min: geometry.Point{X: -1, Y: -2}, Max: geometry.Point{X: 20, Y: 27.7}}
	d = parse(t, write(t, s))
	if d.Width != "21cm" || d.Height != "29.7cm" || d.ViewBox != "0 0 21 29.7" {
		t.Errorf("root is %q by %q, viewBox %q", d.Width, d.Height, d.ViewBox)
	}
	s.Scale = 0.1
	d = parse(t, write(t, s))
	if d.Width != "2.1cm" || d.Height != "2.97cm" || d.ViewBox != "0 0 21 29.7" {
		t.Errorf("a picture's root is %q by %q, viewBox %q", d.Width, d.Height, d.ViewBox)
	}
}

// All groups are there, whether anything is in them or not, and what is drawn
// stands in its own.
func TestGroups(t *testing.T) {
	ids := func(d *document) (out []string) {
		for _, g := range d.Groups {
			out = append(out, g.ID)
		}
		return out
	}
	s := page(10, 10)
	if diff := cmp.Diff([]string{"sew", "mark", "cut", "square"}, ids(parse(t, write(t, s)))); diff != "" {
		t.Error(diff)
	}
	at := geometry.Point{X: 1, Y: 2}
	line := func(y float64) []geometry.Point { return []geometry.Point{{X: 1, Y: y}, {X: 2, Y: y}} }
	s.Fills = []draw.Fill{{Colour: "#1F5f7a", Polygons: []geometry.Polygon{{at, {X: 3, Y: 2}, {X: 3, Y: 3}}, {}, {at, {X: 4, Y: 2}, {X: 4, Y: 3}}}}}
	s.Paths = []draw.Path{
		{Role: draw.Mark, Points: line(1)}, {Role: draw.Sew, Points: line(2)},
		{Role: draw.Cut, Points: line(3), Thin: true}, {Role: draw.Square, Points: line(4)},
		{Role: draw.Cut, Points: line(5)},
	}
	s.Texts = []draw.Text{{At: at, Height: 0.716, Value: "A"}, {At: at, Height: 0.358, Turn: 60, Centred: true, Value: "B", Colour: "#ffffff"}}
	s.Square = &draw.CalibrationSquare{At: at, Side: 4, Size: "4in"}
	d := parse(t, write(t, s))
	if diff := cmp.Diff([]string{"fill", "sew", "mark", "cut", "square"}, ids(d)); diff != "" {
		t.Error(diff)
	}
	want := map[string][]pathElem{
		"fill":   {{D: "M1,8 L3,8 L3,7 Z M1,8 L4,8 L4,7 Z", Fill: "#1F5f7a"}},
		"mark":   {{D: "M1,9 L2,9"}},
		"sew":    {{D: "M1,8 L2,8"}},
		"cut":    {{D: "M1,7 L2,7", Stroke: "0.01"}, {D: "M1,5 L2,5"}},
		"square": {{D: "M1,6 L2,6"}},
	}
	for id, paths := range want {
		if diff := cmp.Diff(paths, d.group(t, id).Paths); diff != "" {
			t.Errorf("%s: %s", id, diff)
		}
	}
	square := rectElem{ID: "calibration-square", Size: "4in", X: 1, Y: 4, Width: 4, Height: 4}
	if diff := cmp.Diff([]rectElem{square}, d.group(t, "square").Rects); diff != "" {
		t.Error(diff)
	}
	// A capital of Arial is 0.716 of the font high; the font is drawn a
	// hundred times its size and scaled.
	texts := []textElem{
		{Transform: "translate(1 8) scale(0.01)", Size: 100, Value: "A"},
		{Transform: "translate(1 8) rotate(-60) scale(0.01)", Size: 50, Anchor: "middle", Fill: "#ffffff", Value: "B"},
	}
	if diff := cmp.Diff(texts, d.group(t, "mark").Groups[0].Texts); diff != "" {
		t.Error(diff)
	}
}

// Every coordinate comes back within half a unit of the sixth decimal, with y
// turned round, and outlines are closed by Z and nothing else.
func TestCoordinates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := page(rapid.Float64Range(1, 500).Draw(t, "width"), rapid.Float64Range(1, 500).Draw(t, "height"))
		offset := geometry.Point{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y")}
		s.Page = geometry.Rect{Min: offset, Max: s.Page.Max.Add(offset)}
		coord := rapid.Float64Range(-100, 100)
		p := draw.Path{Closed: rapid.Bool().Draw(t, "closed")}
		for range rapid.IntRange(3, 8).Draw(t, "corners") {
			p.Points = append(p.Points, geometry.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")})
		}
		want, err := export.Distinct(p.Points, p.Closed, export.SVGDecimals)
		if errors.Is(err, export.ErrNoOutline) || errors.Is(err, export.ErrNoLine) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		s.Paths = []draw.Path{p}
		text := write(t, s)
		got, closed := coords(t, regexp.MustCompile(` d="([^"]*)"`).FindStringSubmatch(text)[1])
		if closed != p.Closed || len(got) != len(want) {
			t.Fatalf("%v, closed %v, came back as %v, closed %v", want, p.Closed, got, closed)
		}
		for i, q := range want {
			x, y := q.X-s.Page.Min.X, s.Page.Max.Y-q.Y
			if math.Abs(got[i].X-x) > 0.51e-6 || math.Abs(got[i].Y-y) > 0.51e-6 {
				t.Fatalf("corner %d: %v, want %v, %v", i, got[i], x, y)
			}
		}
	})
}

// Fixed decimals only: no exponents (spipu/html2pdf#620), no -0
// (fmtlib/fmt#1862), no decimal comma (nodebox/nodebox#404).
func TestPlainNumbers(t *testing.T) {
	t.Setenv("LC_ALL", "de_DE.UTF-8")
	s := page(10, 10)
	s.Page.Min, s.Page.Max = geometry.Point{X: -1e-12}, geometry.Point{X: 1e7, Y: 1e7}
	s.Paths = []draw.Path{{Points: []geometry.Point{{X: -1e-11, Y: 1e7}, {X: 0.00000007, Y: 1e-7}, {X: 1e21, Y: 3.25}}}}
	s.Texts = []draw.Text{{Height: 1e-7, Turn: 1e-7, Value: "x"}}
	s.Square = &draw.CalibrationSquare{At: geometry.Point{X: -1e-12, Y: 1e7 - 1}, Side: 1, Size: "1in"}
	text := write(t, s)
	values := regexp.MustCompile(`\s(?:[xy]|width|height|d|transform|font-size|viewBox)="([^"]*)"`).FindAllStringSubmatch(text, -1)
	if len(values) < 8 {
		t.Fatalf("only %d values", len(values))
	}
	number := regexp.MustCompile(`^-?\d+(\.\d{0,5}[1-9])?(in)?$`)
	for _, v := range values {
		for _, f := range strings.FieldsFunc(v[1], func(r rune) bool { return strings.ContainsRune(" ,()MLZ", r) }) {
			if f == "translate" || f == "scale" || f == "rotate" {
				continue
			}
			if !number.MatchString(f) || f == "-0" {
				t.Errorf("%q in %q", f, v[0])
			}
		}
	}
}

// Whatever the words, the file is well-formed and says them
// (pymupdf/PyMuPDF#3941, fontforge/fontforge#2575, kieler/KLighD#222).
func TestEscaping(t *testing.T) {
	hostile := "A & B <\"x\"> 'y' 👩🏾‍💻 -- ]]> \x01\x00 url(x?a=1) two\nlines \xff"
	plain := "A & B <\"x\"> 'y' 👩🏾‍💻 -- ]]>  url(x?a=1) two lines \uFFFD"
	s := page(10, 10)
	s.Title, s.Note = hostile, hostile
	s.Texts = []draw.Text{{Height: 1, Value: hostile}}
	s.Square = &draw.CalibrationSquare{Side: 4, Size: hostile}
	d := parse(t, write(t, s))
	for where, got := range map[string]string{
		"title": d.Title, "description": d.Desc,
		"text": d.group(t, "mark").Groups[0].Texts[0].Value,
		"size": d.group(t, "square").Rects[0].Size,
	} {
		if got != plain {
			t.Errorf("%s: %q", where, got)
		}
	}
}

func FuzzEscaping(f *testing.F) {
	f.Add("A & B <\"x\"> 'y' 👩🏾‍💻 -- ]]> \x01")
	f.Add("two\nlines\t\u2028\ufffe")
	f.Fuzz(func(t *testing.T, words string) {
		s := page(10, 10)
		s.Title, s.Note = words, words
		s.Texts = []draw.Text{{Height: 1, Value: words}}
		s.Square = &draw.CalibrationSquare{Side: 4, Size: words}
		d := parse(t, write(t, s))
		want := oneLine(words)
		if words != "" && d.Title != want || d.group(t, "mark").Groups[0].Texts[0].Value != inEnglishOrder(want) ||
			d.group(t, "square").Rects[0].Size != want {
			t.Errorf("%q came back as %q", words, d.Title)
		}
	})
}

// What cannot be drawn is an error that names it: renderers draw a path up to
// NaN without a word (magjac/d3-graphviz#91, svg/svgo#63).
func TestErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	at := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	for _, c := range []struct {
		name   string
		change func(*draw.Drawing)
		want   string
	}{
		{"path", func(s *draw.Drawing) {
			s.Paths = []draw.Path{{Points: []geometry.Point{{}, {X: 1}}}, {Role: draw.Sew, Points: []geometry.Point{{}, {X: nan}}}}
		}, "sew line 2 "},
		{"fill", func(s *draw.Drawing) {
			s.Fills = []draw.Fill{{Colour: "#ffffff", Polygons: []geometry.Polygon{{at(0, 0), at(1, 0), at(1, inf)}}}}
		}, "fill #ffffff: polygon 1 "},
		{"text", func(s *draw.Drawing) { s.Texts = []draw.Text{{At: at(nan, 0), Height: 1, Value: "A"}} }, "text 1 "},
		{"text colour", func(s *draw.Drawing) { s.Texts = []draw.Text{{Height: 1, Value: "A", Colour: `#fff" x="`}} }, "text 1: colour"},
		{"text height", func(s *draw.Drawing) { s.Texts = []draw.Text{{Height: nan, Value: "A"}} }, "text 1 "},
		{"square", func(s *draw.Drawing) { s.Square = &draw.CalibrationSquare{At: at(nan, 0), Side: 4} }, "calibration square"},
		{"square side", func(s *draw.Drawing) { s.Square = &draw.CalibrationSquare{Side: nan} }, "calibration square"},
		{"square of nothing", func(s *draw.Drawing) { s.Square = &draw.CalibrationSquare{} }, "calibration square"},
		{"page", func(s *draw.Drawing) { s.Page.Max.X = inf }, "page"},
		{"empty page", func(s *draw.Drawing) { s.Page = geometry.EmptyRect() }, "page"},
		{"line", func(s *draw.Drawing) { s.Line = nan }, "line width"},
		{"scale", func(s *draw.Drawing) { s.Scale = 0 }, "scale"},
		{"one corner", func(s *draw.Drawing) { s.Paths = []draw.Path{{Closed: true, Points: []geometry.Point{{}}}} }, "cut line 1 has fewer"},
		{"flat", func(s *draw.Drawing) {
			s.Paths = []draw.Path{{Closed: true, Points: []geometry.Point{{}, {X: 1}, {X: 2}}}}
		}, "cut line 1 is closed"},
		{"colour", func(s *draw.Drawing) { s.Fills = []draw.Fill{{Colour: `#fff" onload="x`}} }, "fill 1: colour"},
		{"colour by name", func(s *draw.Drawing) { s.Fills = []draw.Fill{{Colour: "#gggggg"}} }, "fill 1: colour"},
	} {
		s := page(10, 10)
		c.change(s)
		err := Write(io.Discard, s)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q in it", c.name, err, c.want)
		}
	}
}

type fullAfter int

var errFull = errors.New("disk full")

func (f *fullAfter) Write(p []byte) (int, error) {
	if *f -= fullAfter(len(p)); *f < 0 {
		return 0, errFull
	}
	return len(p), nil
}

// The library drops write errors; wherever the disk fills up, we say so.
func TestWriteErrors(t *testing.T) {
	s := page(10, 10)
	for i := range 5000 {
		s.Paths = append(s.Paths, draw.Path{Points: []geometry.Point{{X: float64(i)}, {X: 1, Y: math.Pi}}})
	}
	size := len(write(t, s))
	for at := 0; at < size; at += 1000 {
		f := fullAfter(at)
		if err := Write(&f, s); !errors.Is(err, errFull) {
			t.Fatalf("full after %d bytes: %v", at, err)
		}
	}
}

// The package of the same name one folder up compiles as well, and rounds
// coordinates to whole numbers.
func TestImportsFloat(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), e.Name(), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, imp := range f.Imports {
			found = found || imp.Path.Value == `"github.com/ajstarks/svgo/float"`
			if imp.Path.Value == `"github.com/ajstarks/svgo"` {
				t.Errorf("%s imports the package with whole numbers", e.Name())
			}
		}
	}
	if !found {
		t.Error("nothing imports svgo/float")
	}
}
