// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/geometry"
)

func TestParseForm(t *testing.T) {
	for _, f := range Forms {
		for _, s := range []string{f.String(), strings.ToUpper(f.String())} {
			if got, err := ParseForm(s); got != f || err != nil {
				t.Errorf("%s: %v, %v", s, got, err)
			}
		}
	}
	for _, s := range []string{"", "ac1018", "r12 ", "dxf"} {
		if _, err := ParseForm(s); err == nil || !strings.Contains(err.Error(), "ac1015, r12, d6673") {
			t.Errorf("%q: %v", s, err)
		}
	}
}

// tags reads a whole file's group codes.
func tags(t failer, file []byte) []tag {
	t.Helper()
	scan, err := newScanner(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	var out []tag
	for {
		tg, err := scan.next()
		if err != nil {
			t.Fatal(err)
		}
		if out = append(out, tg); tg.is(0, "EOF") {
			return out
		}
	}
}

func read(t failer, file []byte) *File {
	t.Helper()
	f, err := Read(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The oldest form is R12 from end to end: the version comes first, no
// LWPOLYLINE, no mark of a subclass, no handle and no owner, and nothing but
// the entities and the sections that its readers know (tarikjabiri/js-dxf#3,
// KOYU-Tech/DXF-Creator-for-PHP#4, mozman/ezdxf#114, ixmilia/dxf-rs#85).
func TestR12(t *testing.T) {
	for _, s := range pieceSheets(t) {
		for _, form := range []Form{R12, SewnProducts} {
			file := formed(t, s, form)
			if want := "0\r\nSECTION\r\n2\r\nHEADER\r\n9\r\n$ACADVER\r\n1\r\nAC1009\r\n"; !strings.HasPrefix(string(file), want) {
				t.Errorf("%v: the file begins %.80q", form, file)
			}
			if !bytes.HasSuffix(file, []byte("\r\n0\r\nEOF\r\n")) || bytes.Count(file, []byte("\n")) != bytes.Count(file, []byte("\r\n")) {
				t.Errorf("%v: a line ends otherwise than in CR LF, or EOF lacks", form)
			}
			known := map[string]bool{}
			for _, k := range strings.Fields("SECTION ENDSEC TABLE ENDTAB LTYPE LAYER STYLE BLOCK ENDBLK INSERT POLYLINE VERTEX SEQEND LINE POINT TEXT EOF") {
				known[k] = true
			}
			var sections []string
			opened := map[string]int{}
			for i, tg := range tags(t, file) {
				switch {
				case tg.code == 0 && !known[tg.value]:
					t.Errorf("%v: line %d: %s is unknown to R12", form, tg.line, tg.value)
				case tg.code == 0:
					opened[tg.value]++
				case tg.code == 2 && i > 0 && opened["SECTION"] > len(sections):
					sections = append(sections, tg.value)
				case tg.code == 5, tg.code == 100, tg.code == 102, tg.code >= 330, tg.code == 90, tg.code == 370:
					t.Errorf("%v: line %d: group %d is unknown to R12", form, tg.line, tg.code)
				}
			}
			if diff := cmp.Diff([]string{"HEADER", "TABLES", "BLOCKS", "ENTITIES"}, sections); diff != "" {
				t.Errorf("%v: %s", form, diff)
			}
			for _, pair := range [][2]string{{"SECTION", "ENDSEC"}, {"TABLE", "ENDTAB"}, {"BLOCK", "ENDBLK"}, {"POLYLINE", "SEQEND"}} {
				if opened[pair[0]] != opened[pair[1]] || pair[0] != "BLOCK" && opened[pair[0]] == 0 {
					t.Errorf("%v: %d %s, %d %s", form, opened[pair[0]], pair[0], opened[pair[1]], pair[1])
				}
			}
			if blocks := opened["BLOCK"]; blocks != opened["INSERT"] || (blocks > 0) != (form == SewnProducts) {
				t.Errorf("%v: %d blocks, %d inserts", form, blocks, opened["INSERT"])
			}
		}
	}
}

// Every form states its unit twice, and both agree with the coordinates.
// Without $INSUNITS readers take metres.
func TestUnitsOfForms(t *testing.T) {
	for _, c := range []struct {
		unit           geometry.Unit
		form           Form
		units, metric  int
		version, words string
	}{
		{geometry.Inch, AC1015, 1, 0, "AC1015", ""},
		{geometry.Inch, R12, 1, 0, "AC1009", ""},
		{geometry.Inch, SewnProducts, 1, 0, "AC1009", "UNITS: ENGLISH"},
		{geometry.Centimetre, AC1015, 5, 1, "AC1015", ""},
		{geometry.Centimetre, R12, 5, 1, "AC1009", ""},
		{geometry.Centimetre, SewnProducts, 4, 1, "AC1009", "UNITS: METRIC"},
	} {
		// The same square of 100 mm, in either unit: a header that is
		// changed without the coordinates is what goes wrong elsewhere
		// (haplokuon/netDxf#166, ixmilia/dxf#68).
		side := c.unit.Of(10/2.54, 10)
		outline := square(1, 2, side)
		s := page(c.unit, draw.Path{Points: outline, Closed: true})
		s.Parts = []draw.Part{{Name: "A", Number: 1, Outline: outline}}
		f := read(t, formed(t, s, c.form))
		units, _ := f.Int("$INSUNITS")
		metric, _ := f.Int("$MEASUREMENT")
		if units != c.units || metric != c.metric || f.Header["$ACADVER"][0].Text != c.version ||
			f.Header["$DWGCODEPAGE"][0].Text != "ANSI_1252" {
			t.Errorf("%v %v: units %d, measurement %d, %v", c.unit, c.form, units, metric, f.Header["$ACADVER"])
		}
		mm, ok := f.Millimetres()
		ring := rings(f, 0)[0]
		if got := math.Sqrt(ring.Area()) * mm; !ok || math.Abs(got-100) > 1e-6 {
			t.Errorf("%v %v: 100 mm come out as %v", c.unit, c.form, got)
		}
		// Whoever takes metric to mean millimetres reads the same size in
		// the form for industrial cutters.
		if c.form == SewnProducts && mm != []float64{25.4, 1}[metric] {
			t.Errorf("%v: one unit is %v mm", c.unit, mm)
		}
		words := ""
		for _, e := range f.Entities {
			if strings.HasPrefix(e.Value, "UNITS") {
				words = e.Value
			}
		}
		if words != c.words {
			t.Errorf("%v %v: text says %q", c.unit, c.form, words)
		}
		lo, _ := f.Point("$LIMMIN")
		if k := c.unit.Of(25.4, 10) / mm; lo != (geometry.Point{X: -k, Y: -k}) {
			t.Errorf("%v %v: $LIMMIN is %v", c.unit, c.form, lo)
		}
	}
}

// rings returns the closed outlines of a file, in millimetres of its unit
// when mm is not 0.
func rings(f *File, mm float64) []geometry.Polygon {
	if mm == 0 {
		mm = 1
	}
	var out []geometry.Polygon
	for i := range f.Entities {
		if r, ok := f.Entities[i].ring(0); ok {
			r = slices.Clone(r)
			for j := range r {
				r[j] = r[j].Mul(mm)
			}
			out = append(out, r)
		}
	}
	return out
}

// onLayer keeps what a cutter would cut.
func onLayer(f *File, names ...string) *File {
	g := *f
	g.Entities = nil
	for _, e := range f.Entities {
		if slices.Contains(names, e.Layer) {
			g.Entities = append(g.Entities, e)
		}
	}
	return &g
}

// Three forms of one sheet read as the same outlines to 1e-6 in, in the same
// order: none lost, none twice (rtitmuss/torn#7), closed shapes closed, each
// the right way round (fontforge/fontforge#3140).
func TestFormsAgree(t *testing.T) {
	for _, s := range pieceSheets(t) {
		mm := s.Unit.Of(25.4, 10)
		var want []geometry.Polygon
		for _, p := range s.Parts {
			var in []geometry.Point
			for _, q := range p.Outline {
				in = append(in, q.Mul(mm))
			}
			want = append(want, in)
		}
		q := s.Square
		var in []geometry.Point
		for _, p := range square(q.At.X, q.At.Y, q.Side) {
			in = append(in, p.Mul(mm))
		}
		want = append(want, in)
		for _, form := range Forms {
			f := read(t, formed(t, s, form))
			k, _ := f.Millimetres()
			got := rings(onLayer(f, "CUT", "SQUARE", "1"), k)
			if len(got) != len(want) {
				t.Fatalf("%s %v: %d outlines, want %d", s.Title, form, len(got), len(want))
			}
			for i := range want {
				if d := apart(got[i], want[i]); d > 1e-6 {
					t.Errorf("%s %v: outline %d is %v mm off", s.Title, form, i, d)
				}
				if got[i].Area() <= 0 {
					t.Errorf("%s %v: outline %d runs clockwise", s.Title, form, i)
				}
			}
			lo, _ := f.Point("$EXTMIN")
			hi, _ := f.Point("$EXTMAX")
			if b := f.Bounds(); b.Min.X < lo.X || b.Min.Y < lo.Y || b.Max.X > hi.X || b.Max.Y > hi.Y {
				t.Errorf("%s %v: extents %v %v, bounds %v", s.Title, form, lo, hi, b)
			}
		}
		// R12 and AC1015 hold the same lines and the same text throughout.
		a, b := read(t, formed(t, s, AC1015)), read(t, formed(t, s, R12))
		for _, f := range []*File{a, b} {
			for i := range f.Entities {
				e := &f.Entities[i]
				e.Line = 0
				if len(e.Points) == 2 {
					e.Kind = Line // an open line of two points, which R12 has as LINE
				}
			}
		}
		if diff := cmp.Diff(a.Entities, b.Entities); diff != "" {
			t.Errorf("%s: %s", s.Title, diff)
		}
		if diff := cmp.Diff(a.Layers, b.Layers); diff != "" {
			t.Error(diff)
		}
	}
}

// apart is how far two outlines are from each other, corner by corner.
func apart(a, b geometry.Polygon) float64 {
	if len(a) != len(b) {
		return math.Inf(1)
	}
	d := 0.0
	for i := range a {
		d = max(d, a[i].Sub(b[i]).Len())
	}
	return d
}

// Whatever is drawn comes back from every form the same.
func TestFormsAgreeOnAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// In steps that neither unit takes for one point.
		steps := rapid.IntRange(-300_000_000, 300_000_000)
		coord := func(name string) float64 { return float64(steps.Draw(t, name)) / 1e6 }
		s := page(geometry.Unit(rapid.IntRange(0, 1).Draw(t, "unit")))
		for range rapid.IntRange(1, 4).Draw(t, "pieces") {
			var ring []geometry.Point
			for range rapid.IntRange(3, 8).Draw(t, "corners") {
				ring = append(ring, geometry.Point{X: coord("x"), Y: coord("y")})
			}
			s.Paths = append(s.Paths, draw.Path{Points: ring, Closed: true})
			s.Parts = append(s.Parts, draw.Part{Name: rapid.String().Draw(t, "name"), Number: 1, Outline: ring})
		}
		var first []geometry.Polygon
		for _, form := range Forms {
			out, err := assemble(s, form)
			if err != nil {
				if form == AC1015 {
					return // not fit for any
				}
				// Ten times as large, a piece is at most ten times as fit.
				t.Fatalf("%v: %v", form, err)
			}
			f := read(t, out)
			mm, _ := f.Millimetres()
			got := rings(onLayer(f, "CUT", "1"), mm)
			if form == AC1015 {
				first = got
				continue
			}
			if len(got) != len(first) {
				t.Fatalf("%v: %d outlines, AC1015 has %d", form, len(got), len(first))
			}
			for i := range got {
				if d := apart(got[i], first[i]); d > 1e-6 {
					t.Fatalf("%v: outline %d is %v mm off", form, i, d)
				}
			}
		}
	})
}

// The kinds of fault below would show in any form.
func TestFaultsInAnyForm(t *testing.T) {
	for _, form := range Forms {
		three := 3.0
		third, other := 1/three, 1-2/three // not the same float64
		s := page(geometry.Inch,
			// Ends on its first point; nearly (OSGeo/gdal#10153, LibreCAD/LibreCAD#103).
			draw.Path{Points: append(square(0, 0, 2), geometry.Point{}), Closed: true},
			draw.Path{Points: append(square(2, 0, 2), geometry.Point{X: 2, Y: 1e-9}), Closed: true},
			// One corner computed two ways (LibrePCB/LibrePCB#960).
			draw.Path{Points: []geometry.Point{{X: 3, Y: 3}, {X: third, Y: 1}}},
			draw.Path{Points: []geometry.Point{{X: other, Y: 1}, {X: 3, Y: 0}}},
		)
		s.Texts = []draw.Text{
			{Height: 0.2, Value: "Büro 2 ½″ “A” 😀"}, // DomCR/ACadSharp#1092
			{At: geometry.Point{X: 50, Y: 50}, Height: draw.GoCap, Value: "MM", Centred: true},
			{Height: 0.2, Value: "x\n0\nLINE\n8\nCUT"},
		}
		s.Parts = []draw.Part{
			{Name: "Büro 2 ½″ “A” 😀", Number: 1, Outline: s.Paths[0].Points},
			{Name: "x\n0\nLINE\n8\nCUT", Number: 2, Outline: s.Paths[1].Points},
		}
		raw := formed(t, s, form)
		f := read(t, raw)
		got := rings(onLayer(f, "CUT", "1"), 0)
		if len(got) != 2 || len(got[0]) != 4 || len(got[1]) != 4 {
			t.Fatalf("%v: outlines %v", form, got)
		}
		// A side that two squares share stays in both, once each.
		if got[0].Area() != 4 || got[1].Area() != 4 {
			t.Errorf("%v: areas %v and %v", form, got[0].Area(), got[1].Area())
		}
		var lines []Entity
		texts := map[string]geometry.Point{}
		for _, e := range f.Entities {
			switch {
			case e.Kind == Text:
				texts[e.Value] = e.Points[0]
			case !e.Closed:
				lines = append(lines, e)
			}
		}
		prefix := ""
		if form == SewnProducts {
			prefix = "PIECE NAME: "
		} else {
			if len(lines) != 2 || lines[0].Points[1] != lines[1].Points[0] {
				t.Errorf("%v: lines %v", form, lines)
			}
			// ixmilia/dxf#181, OSGeo/gdal#1779: an M of Helvetica, and of
			// the Go font but for rounding, is 833/1000 of the font size wide.
			if at := texts["MM"]; at.Sub(geometry.Point{X: 50 - 0.833, Y: 50}).Len() > 3e-4 {
				t.Errorf("%v: centred text stands at %v", form, at)
			}
		}
		inches := `"`
		if form == AC1015 {
			inches = "″"
		}
		for _, want := range []string{"Büro 2 ½" + inches + " “A”", "x 0 LINE 8 CUT"} {
			if _, ok := texts[prefix+want]; !ok {
				t.Errorf("%v: no text %q in %v", form, want, texts)
			}
		}
		if bytes.Contains(raw, []byte("\xc3\xbc")) || !bytes.Contains(raw, []byte("B\xfcro")) {
			t.Errorf("%v: text is not in the code page", form)
		}
		for _, tg := range tags(t, raw) {
			if tg.code == 72 && tg.value == "1" {
				t.Errorf("%v: line %d: text is centred by a flag", form, tg.line)
			}
		}
	}
}

// What must not be in a file is an error in every form, and nothing is
// written (skymakerolof/dxf#20).
func TestErrorsOfForms(t *testing.T) {
	at := geometry.Point{X: 1, Y: 1}
	for _, form := range Forms {
		for name, ring := range map[string]geometry.Polygon{
			"one corner":   {at},
			"three equal":  {at, at, at},
			"none":         nil,
			"flat":         {at, {X: 2, Y: 2}, {X: 3, Y: 3}},
			"not a number": {at, {X: math.NaN()}, {Y: 4}},
			"infinite":     {at, {X: math.Inf(1)}, {Y: 4}},
		} {
			s := page(geometry.Centimetre, draw.Path{Points: ring, Closed: true})
			s.Parts = []draw.Part{{Name: "A", Number: 1, Outline: ring}}
			var buf bytes.Buffer
			if err := WriteForm(&buf, s, form); err == nil || buf.Len() > 0 {
				t.Errorf("%v: %s: error %v after %d bytes", form, name, err, buf.Len())
			}
		}
		s := page(geometry.Inch)
		s.Page.Max.X = math.Inf(1)
		if err := WriteForm(io.Discard, s, form); err == nil || !strings.Contains(err.Error(), "the page") {
			t.Errorf("%v: %v", form, err)
		}
	}
}

// The same sheet gives the same bytes.
func TestSameBytesOfForms(t *testing.T) {
	a, b := pieceSheets(t), pieceSheets(t)
	for i := range a {
		for _, form := range Forms {
			if !bytes.Equal(formed(t, a[i], form), formed(t, b[i], form)) {
				t.Errorf("%s %v: the bytes differ", a[i].Title, form)
			}
		}
	}
}
