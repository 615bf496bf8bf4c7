// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

type failer interface {
	Helper()
	Fatal(...any)
}

func write(t failer, s *draw.Drawing) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, s); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func writeRead(t failer, s *draw.Drawing) *File {
	t.Helper()
	f, err := Read(bytes.NewReader(write(t, s)))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func page(unit geometry.Unit, paths ...draw.Path) *draw.Drawing {
	return &draw.Drawing{
		Unit:  unit,
		Page:  geometry.Rect{Min: geometry.Point{X: -1, Y: -1}, Max: geometry.Point{X: 11, Y: 9}},
		Line:  0.02,
		Scale: 1,
		Paths: paths,
	}
}

func square(x, y, side float64) []geometry.Point {
	return []geometry.Point{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
}

// Unit, code page, extents and limits are true: extents that always hold the
// origin, a unit that is missing or that does not go with the coordinates is
// what goes wrong elsewhere (haplokuon/netDxf#166, ixmilia/dxf#68).
func TestHeader(t *testing.T) {
	for _, c := range []struct {
		unit          geometry.Unit
		units, metric int
		mm            float64
	}{{geometry.Inch, 1, 0, 25.4}, {geometry.Centimetre, 5, 1, 10}} {
		f := writeRead(t, page(c.unit, draw.Path{Points: square(2, 3, 4), Closed: true}))
		if got, ok := f.Int("$INSUNITS"); !ok || got != c.units {
			t.Errorf("%v: $INSUNITS is %d", c.unit, got)
		}
		if got, ok := f.Int("$MEASUREMENT"); !ok || got != c.metric {
			t.Errorf("%v: $MEASUREMENT is %d", c.unit, got)
		}
		if mm, ok := f.Millimetres(); !ok || mm != c.mm {
			t.Errorf("%v: one unit is %v mm", c.unit, mm)
		}
		for name, want := range map[string]geometry.Point{
			"$EXTMIN": {X: 2, Y: 3}, "$EXTMAX": {X: 6, Y: 7}, "$LIMMIN": {X: -1, Y: -1}, "$LIMMAX": {X: 11, Y: 9},
		} {
			if got, ok := f.Point(name); !ok || got != want {
				t.Errorf("%v: %s is %v, want %v", c.unit, name, got, want)
			}
		}
		for name, want := range map[string]string{"$ACADVER": "AC1015", "$DWGCODEPAGE": "ANSI_1252"} {
			if v := f.Header[name]; len(v) != 1 || v[0].Text != want {
				t.Errorf("%s is %v", name, v)
			}
		}
		if diff := cmp.Diff([]string{"0", "CUT", "SEW", "MARK", "SQUARE"}, f.Layers); diff != "" {
			t.Error(diff)
		}
	}
	// Without anything drawn the extents are the page's, not 1e16.
	f := writeRead(t, page(geometry.Inch))
	if got, _ := f.Point("$EXTMIN"); got != (geometry.Point{X: -1, Y: -1}) {
		t.Errorf("an empty sheet: $EXTMIN is %v", got)
	}
}

// $ACADVER comes first, before anything that an R12 reader would choke on
// (tarikjabiri/js-dxf#3, mozman/ezdxf#114), and every line ends in CR LF.
func TestLines(t *testing.T) {
	text := string(write(t, page(geometry.Inch, draw.Path{Points: square(0, 0, 1), Closed: true})))
	if want := "0\r\nSECTION\r\n2\r\nHEADER\r\n9\r\n$ACADVER\r\n1\r\nAC1015\r\n"; !strings.HasPrefix(text, want) {
		t.Errorf("the file begins %.80q", text)
	}
	if !strings.HasSuffix(text, "\r\n0\r\nEOF\r\n") {
		t.Error("the file has no EOF")
	}
	if strings.Count(text, "\n") != strings.Count(text, "\r\n") || strings.Count(text, "\r") != strings.Count(text, "\r\n") {
		t.Error("a line ends otherwise than in CR LF")
	}
}

// Outlines are closed by their flag, with no corner twice
// (OSGeo/gdal#10153, ixmilia/dxf-rs#45, haplokuon/netDxf#168).
func TestLinesAndLayers(t *testing.T) {
	four := square(0, 0, 2)
	five := append(square(4, 0, 2), geometry.Point{X: 4, Y: 0})
	nearly := append(square(4, 4, 2), geometry.Point{X: 4 + 1e-9, Y: 4})
	s := page(geometry.Inch,
		draw.Path{Role: draw.Cut, Points: four, Closed: true},
		draw.Path{Role: draw.Cut, Points: five, Closed: true},
		draw.Path{Role: draw.Cut, Points: nearly, Closed: true},
		draw.Path{Role: draw.Cut, Points: four[:2], Thin: true},
		draw.Path{Role: draw.Sew, Points: four[1:3]},
		draw.Path{Role: draw.Mark, Points: four[:3]},
	)
	s.Square = &draw.CalibrationSquare{At: geometry.Point{X: 6, Y: 1}, Side: 4, Size: "4in"}
	want := []Entity{
		{Layer: "CUT", Points: four, Closed: true},
		{Layer: "CUT", Points: five[:4], Closed: true},
		{Layer: "CUT", Points: nearly[:4], Closed: true},
		{Layer: "CUT", Points: four[:2]},
		{Layer: "SEW", Points: four[1:3]},
		{Layer: "MARK", Points: four[:3]},
		{Layer: "SQUARE", Points: square(6, 1, 4), Closed: true},
		{Layer: "MARK", Kind: Text, Value: "4in", Height: 0.4},
	}
	check := func(s *draw.Drawing, want []Entity) {
		t.Helper()
		got := writeRead(t, s).Entities
		for i := range got {
			got[i].Line = 0
			if got[i].Kind == Text {
				got[i].Points = nil
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	}
	check(s, want)
	// The size is not said twice.
	s.Texts = []draw.Text{{Height: 0.25, Value: "measure me: 4in"}}
	want[7] = Entity{Layer: "MARK", Kind: Text, Value: "measure me: 4in", Height: 0.25}
	check(s, want)
	if len(s.Texts) != 1 {
		t.Error("the sheet was changed")
	}
	// Fills are not written.
	s.Fills = []draw.Fill{{Colour: "#000000", Polygons: []geometry.Polygon{four}}}
	check(s, want)
}

// Coordinates come back within half a unit of the eighth decimal, y up.
func TestCoordinates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-300, 300)
		p := draw.Path{Closed: rapid.Bool().Draw(t, "closed")}
		for range rapid.IntRange(3, 9).Draw(t, "corners") {
			p.Points = append(p.Points, geometry.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")})
		}
		want, err := export.Distinct(p.Points, p.Closed, export.DXFDecimals)
		if errors.Is(err, export.ErrNoOutline) || errors.Is(err, export.ErrNoLine) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		f := writeRead(t, page(geometry.Inch, p))
		e := f.Entities[0]
		if len(f.Entities) != 1 || e.Closed != p.Closed || len(e.Points) != len(want) {
			t.Fatalf("%v came back as %v", p, f.Entities)
		}
		for i, q := range want {
			if d := q.Sub(e.Points[i]); math.Abs(d.X) > 0.51e-8 || math.Abs(d.Y) > 0.51e-8 {
				t.Fatalf("corner %d: %v, want %v", i, e.Points[i], q)
			}
		}
		lo, _ := f.Point("$EXTMIN")
		hi, _ := f.Point("$EXTMAX")
		if b := f.Bounds(); b.Min != lo || b.Max != hi {
			t.Fatalf("extents %v %v, bounds %v", lo, hi, b)
		}
	})
}

// Handles are unique, above 0 and below the seed, and whatever is pointed to
// is there (ixmilia/dxf-rs#85, DomCR/ACadSharp#956).
func TestHandles(t *testing.T) {
	s := page(geometry.Inch,
		draw.Path{Points: square(0, 0, 1), Closed: true}, draw.Path{Role: draw.Sew, Points: square(0, 0, 1)})
	s.Texts = []draw.Text{{Height: 1, Value: "A"}}
	scan, err := newScanner(bytes.NewReader(write(t, s)))
	if err != nil {
		t.Fatal(err)
	}
	seen, pointers := map[int64]bool{}, map[int64]bool{}
	var seed int64
	variable, owned, drawn := "", false, 0
	for {
		tg, err := scan.next()
		if err != nil {
			t.Fatal(err)
		}
		if tg.is(0, "EOF") {
			break
		}
		hex := func() int64 {
			h, err := strconv.ParseInt(tg.value, 16, 64)
			if err != nil {
				t.Fatal(err)
			}
			return h
		}
		switch tg.code {
		case 0:
			variable = ""
			if tg.value == "LWPOLYLINE" || tg.value == "TEXT" {
				drawn++
				owned = true
			}
		case 9:
			variable = tg.value
		case 5, 105:
			h := hex()
			if variable == "$HANDSEED" {
				seed = h
				continue
			}
			if h <= 0 || seen[h] || h >= seed {
				t.Errorf("handle %X at line %d, seed %X", h, tg.line, seed)
			}
			seen[h] = true
		case 330, 340, 350, 360, 390:
			if h := hex(); h != 0 { // the root dictionary's owner is 0
				pointers[h] = true
			}
			owned = false
		case 8:
			if owned {
				t.Errorf("an entity without owner before line %d", tg.line)
			}
		}
	}
	for h := range pointers {
		if !seen[h] {
			t.Errorf("nothing has the handle %X", h)
		}
	}
	if drawn != 3 || len(pointers) == 0 {
		t.Errorf("%d entities, %d pointers", drawn, len(pointers))
	}
}

// Text is in the code page, without live escapes, and cannot become anything
// else than text (DomCR/ACadSharp#1092, mozman/ezdxf#366). Letters that the code
// page lacks are escapes in AC1015; older machines know none.
func TestEncode(t *testing.T) {
	for _, c := range []struct{ in, old, want string }{
		{"Tide blues", "Tide blues", "Tide blues"},
		{"Büro 2 ½″ “A” 😀", "B\xfcro 2 \xbd\" \x93A\x94", "B\xfcro 2 \xbd\\U+2033 \x93A\x94"},
		{"2⅜ in", "2 3/8 in", `2\U+215C in`},
		{"60° – 3 × 4", "60\xb0 \x96 3 \xd7 4", "60\xb0 \x96 3 \xd7 4"},
		{"Łódź Ğ", "L\xf3dz G", "\\U+0141\xf3d\\U+017A \\U+011E"},
		{"Œuvre €", "\x8cuvre \x80", "\x8cuvre \x80"},
		{"e\u0301", "\xe9", "\xe9"},
		{"漢字", "U+6F22U+5B57", `\U+6F22\U+5B57`},
		{"x\n0\nLINE", "x 0 LINE", "x 0 LINE"},
		{"a\r\nb\x00c\x7f", "a  bc", "a  bc"},
		{"100%%d %%%", "100% %d % % %", "100% %d % % %"},
		{`\U+00E9 \P`, "/U+00E9 /P", `\U+005CU+00E9 \U+005CP`},
		{"^J ^", "^ J ^ ", "^ J ^ "},
		{" \t\n ", "", ""},
	} {
		if got := SewnProducts.encode(c.in); got != c.old || got != R12.encode(c.in) {
			t.Errorf("encode(%q) = %q, want %q", c.in, got, c.old)
		}
		if got := AC1015.encode(c.in); got != c.want {
			t.Errorf("AC1015.encode(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func FuzzEncode(f *testing.F) {
	f.Add("Büro 2 ½″ “A” 😀")
	f.Add("x\n0\nLINE %%d \\U+0041 ^J")
	f.Add(strings.Repeat("^", 400))
	f.Add(strings.Repeat("漢", 400))
	f.Fuzz(checkEncoded)
}

// Of any text each form holds what it has letters for, and no live escape.
func TestEncodeRandom(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) { checkEncoded(t, rapid.String().Draw(rt, "text")) })
}

func checkEncoded(t *testing.T, s string) {
	for _, form := range Forms {
		got := form.encode(s)
		bare := got
		if form == AC1015 {
			bare = escapes.ReplaceAllString(got, "x")
		}
		for i := 0; i < len(bare); i++ {
			next := byte(' ')
			if i+1 < len(bare) {
				next = bare[i+1]
			}
			if bare[i] < ' ' || bare[i] == 0x7f || bare[i] == '\\' || bare[i] == '%' && next == '%' || bare[i] == '^' && next != ' ' {
				t.Fatalf("%v: encode(%q) = %q", form, s, got)
			}
		}
		back := unescape(fromCodePage(got))
		if n := utf8.RuneCountInString(back); n > maxText || form != AC1015 && len(got) > maxText || len(got) > 2049 {
			t.Fatalf("%v: encode(%q) has %d letters", form, s, n)
		}
		want, _ := draw.Spell(s, form.Has)
		want = strings.TrimSpace(want)
		if !strings.ContainsAny(want, "%^") && utf8.RuneCountInString(want) <= maxText && back != want {
			t.Fatalf("%v: encode(%q) comes back as %q, want %q", form, s, back, want)
		}
	}
}

func TestTextCannotInject(t *testing.T) {
	s := page(geometry.Inch)
	s.Texts = []draw.Text{{Height: 1, Value: "x\n0\nLINE\n8\nCUT"}, {Height: 1, Value: "\n"}}
	f := writeRead(t, s)
	if len(f.Entities) != 1 || f.Entities[0].Value != "x 0 LINE 8 CUT" {
		t.Errorf("read back as %v", f.Entities)
	}
}

// Centred text is written as text at the left end of its baseline: without a
// second point it would jump to the origin (ixmilia/dxf#181, OSGeo/gdal#1779).
func TestCentredText(t *testing.T) {
	s := page(geometry.Inch)
	s.Texts = []draw.Text{
		{At: geometry.Point{X: 50, Y: 50}, Height: draw.GoCap, Value: "MM", Centred: true},
		{At: geometry.Point{X: 50, Y: 50}, Height: draw.GoCap, Value: "MM", Centred: true, Turn: 90},
	}
	raw := string(write(t, s))
	if strings.Contains(raw, "\r\n72\r\n1\r\n") {
		t.Error("text is centred by a flag")
	}
	f := writeRead(t, s)
	// An M of Helvetica is 833/1000 of the font size wide; that of the Go font is as
	// wide, rounded to its units of 1/2048.
	for i, want := range []geometry.Point{{X: 50 - 0.833, Y: 50}, {X: 50, Y: 50 - 0.833}} {
		if d := f.Entities[i].Points[0].Sub(want); d.Len() > 3e-4 {
			t.Errorf("text %d stands at %v, want %v", i, f.Entities[i].Points[0], want)
		}
	}
	if lo, _ := f.Point("$EXTMIN"); math.Abs(lo.X-(50-0.833)) > 3e-4 || math.Abs(lo.Y-(50-0.833)) > 3e-4 {
		t.Errorf("$EXTMIN is %v", lo)
	}
}

// What must not be in a file is an error that names it, and nothing is
// written (skymakerolof/dxf#20, magjac/d3-graphviz#91).
func TestErrors(t *testing.T) {
	nan := math.NaN()
	at := geometry.Point{X: 1, Y: 1}
	for _, c := range []struct {
		name string
		path draw.Path
		want string
	}{
		{"one corner", draw.Path{Closed: true, Points: []geometry.Point{at}}, "cut line 2 has fewer"},
		{"three equal", draw.Path{Closed: true, Points: []geometry.Point{at, at, at}}, "cut line 2 has fewer"},
		{"empty", draw.Path{Closed: true}, "cut line 2 has fewer"},
		{"flat", draw.Path{Closed: true, Points: []geometry.Point{at, {X: 2, Y: 2}, {X: 3, Y: 3}}}, "cut line 2 is closed"},
		{"not a number", draw.Path{Role: draw.Sew, Points: []geometry.Point{at, {X: nan}}}, "sew line 2 "},
		{"infinite", draw.Path{Closed: true, Points: []geometry.Point{at, {X: math.Inf(-1)}, {Y: 3}}}, "cut line 2 "},
	} {
		var buf bytes.Buffer
		err := Write(&buf, page(geometry.Inch, draw.Path{Points: square(0, 0, 1)}, c.path))
		if err == nil || !strings.Contains(err.Error(), c.want) || buf.Len() > 0 {
			t.Errorf("%s: error %v after %d bytes, want %q in it", c.name, err, buf.Len(), c.want)
		}
	}
	for name, change := range map[string]func(*draw.Drawing){
		"text 1":                  func(s *draw.Drawing) { s.Texts = []draw.Text{{At: geometry.Point{X: nan}, Height: 1, Value: "A"}} },
		`text 1 ("A") has height`: func(s *draw.Drawing) { s.Texts = []draw.Text{{Value: "A"}} },
		"the calibration square":  func(s *draw.Drawing) { s.Square = &draw.CalibrationSquare{Size: "4in"} },
		"the page":                func(s *draw.Drawing) { s.Page.Max.X = nan },
	} {
		s := page(geometry.Inch)
		change(s)
		if err := Write(io.Discard, s); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("error %v, want %q in it", err, name)
		}
	}
	full := errors.New("disk full")
	if err := Write(failing{full}, page(geometry.Inch)); !errors.Is(err, full) {
		t.Errorf("error %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
