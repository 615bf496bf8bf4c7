// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// lines makes a file of code and value, "0 SECTION" and so on.
func lines(tags ...string) string {
	var b strings.Builder
	for _, t := range tags {
		code, value, _ := strings.Cut(t, " ")
		fmt.Fprintf(&b, "%s\n%s\n", code, value)
	}
	return b.String()
}

// entitiesOnly wraps tags in a file with only an ENTITIES section.
func entitiesOnly(tags ...string) string {
	all := append([]string{"0 SECTION", "2 ENTITIES"}, tags...)
	return lines(append(all, "0 ENDSEC", "0 EOF")...)
}

func headerOnly(tags ...string) string {
	all := append([]string{"0 SECTION", "2 HEADER"}, tags...)
	return lines(append(all, "0 ENDSEC", "0 EOF")...)
}

func TestReadEntities(t *testing.T) {
	triangle := []string{"0 LWPOLYLINE", "8 CUT", "90 3", "70 1", "10 0", "20 0", "10 4", "20 0", "10 0", "20 3"}
	points := []geometry.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 3}}
	with := func(change ...string) []string {
		out := append([]string(nil), triangle...)
		for i := 0; i < len(change); i += 2 {
			for j := range out {
				if out[j] == change[i] {
					out[j] = change[i+1]
				}
			}
		}
		return out
	}
	for _, c := range []struct {
		name string
		tags []string
		want []Entity
	}{
		{"closed", triangle, []Entity{{Line: 6, Layer: "CUT", Points: points, Closed: true}}},
		{"other flags too", with("70 1", "70 129"), []Entity{{Line: 6, Layer: "CUT", Points: points, Closed: true}}},
		{"open", with("70 1", "70 128"), []Entity{{Line: 6, Layer: "CUT", Points: points}}},
		{"no layer", with("8 CUT", "1000 CUT"), []Entity{{Line: 6, Layer: "0", Points: points, Closed: true}}},
		{"no count", with("90 3", "43 0"), []Entity{{Line: 6, Layer: "CUT", Points: points, Closed: true}}},
		{"padded", with("0 LWPOLYLINE", "0  LWPOLYLINE ", "70 1", "70      1", "10 4", "10   4.0E0"), []Entity{{Line: 6, Layer: "CUT", Points: points, Closed: true}}},
		{"other programs' data", []string{"0 LINE", "102 {X", "8 WRONG", "10 9", "102 }", "8 CUT", "10 1", "20 2", "11 3", "21 4"},
			[]Entity{{Kind: Line, Line: 6, Layer: "CUT", Points: []geometry.Point{{X: 1, Y: 2}, {X: 3, Y: 4}}}}},
		{"line", []string{"0 LINE", "8 SEW", "10 1", "20 2", "30 0", "11 3", "21 4", "31 0"},
			[]Entity{{Kind: Line, Line: 6, Layer: "SEW", Points: []geometry.Point{{X: 1, Y: 2}, {X: 3, Y: 4}}}}},
		{"text", []string{"0 TEXT", "8 MARK", "10 1", "20 2", "40 0.25", "50 60", "1 2\xbd in"},
			[]Entity{{Kind: Text, Line: 6, Layer: "MARK", Points: []geometry.Point{{X: 1, Y: 2}}, Height: 0.25, Turn: 60, Value: "2½ in"}}},
	} {
		text := entitiesOnly(c.tags...)
		for _, variant := range []string{text, "\xef\xbb\xbf" + text, strings.ReplaceAll(text, "\n", "\r\n"), "999\nmade by hand\n" + text, strings.TrimSuffix(text, "\n")} {
			f, err := Read(strings.NewReader(variant))
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
				continue
			}
			if strings.HasPrefix(variant, "999") {
				f.Entities[0].Line -= 2
			}
			if diff := cmp.Diff(c.want, f.Entities); diff != "" {
				t.Errorf("%s: %s", c.name, diff)
			}
		}
	}
	f, err := Read(strings.NewReader(entitiesOnly("0 HATCH", "10 0", "20 0", "40 1", "0 MTEXT", "0 HATCH")))
	if err != nil || len(f.Entities) != 0 || f.Skipped["HATCH"] != 2 || f.Skipped["MTEXT"] != 1 {
		t.Errorf("other kinds: %v, %v", f, err)
	}
}

// Counts that lie, files that were cut short and what is no DXF at all are
// errors with a line number, in memory that goes with the file's size
// (LibreCAD/LibreCAD#1473, LibreCAD/libdxfrw#7, OSGeo/gdal#3936).
func TestReadHostile(t *testing.T) {
	whole := entitiesOnly("0 LWPOLYLINE", "90 1", "10 1", "20 2")
	for _, c := range []struct {
		name, in, want string
		line           int
	}{
		{"empty", "", "cut short", 1},
		{"no DXF", "hello\nworld\n", "group code", 1},
		{"not a word", "\x00\xff\x00", "group code", 1},
		{"EOF only", lines("0 EOF"), "no SECTION", 0},
		{"ENDSEC first", lines("0 ENDSEC"), "should begin", 2},
		{"no name", lines("0 SECTION", "0 ENDSEC"), "no name", 4},
		{"no ENDSEC", lines("0 SECTION", "2 HEADER", "0 EOF"), "no ENDSEC", 6},
		{"no EOF", lines("0 SECTION", "2 ENTITIES", "0 ENDSEC"), "cut short", 7},
		{"cut in ENTITIES", whole[:len(whole)-20], "cut short", 11},
		{"count below 0", entitiesOnly("0 LWPOLYLINE", "90 -1", "10 1", "20 2"), "says it has -1", 8},
		{"count far too high", entitiesOnly("0 LWPOLYLINE", "90 5000000"), "says it has 5000000", 8},
		{"count beyond int", entitiesOnly("0 LWPOLYLINE", "90 99999999999999999999"), "whole number", 8},
		{"no y", entitiesOnly("0 LWPOLYLINE", "10 1", "10 2", "20 3"), "no y", 8},
		{"no last y", entitiesOnly("0 LWPOLYLINE", "10 1", "20 2", "10 3"), "no y", 12},
		{"no x", entitiesOnly("0 LWPOLYLINE", "20 1"), "no x", 8},
		{"NaN", entitiesOnly("0 LWPOLYLINE", "10 NaN", "20 1"), "not a number", 8},
		{"Inf", entitiesOnly("0 LINE", "10 Inf"), "not a number", 8},
		{"beyond float64", entitiesOnly("0 LINE", "10 1e999"), "not a number", 8},
		{"hexadecimal", entitiesOnly("0 LINE", "10 0x1p4"), "not a number", 8},
		{"underscore", entitiesOnly("0 LINE", "10 1_000"), "not a number", 8},
		{"decimal comma", entitiesOnly("0 LINE", "10 1,5"), "not a number", 8},
		{"half a line", entitiesOnly("0 LINE", "10 1", "20 1", "11 2"), "lacks", 6},
		{"half a text", entitiesOnly("0 TEXT", "10 1"), "lacks", 6},
		{"long line", "0\n" + strings.Repeat("x", 70000), "longer", 2},
		{"binary", "AutoCAD Binary DXF\r\n\x1a\x00", "binary", 1},
		{"UTF-16", "\xff\xfe0\x00\n\x00", "UTF-16", 1},
		{"value before a variable", headerOnly("70 1"), "before the first", 6},
	} {
		f, err := Read(strings.NewReader(c.in))
		var syntax *SyntaxError
		if f != nil || err == nil || !strings.Contains(err.Error(), c.want) ||
			c.line > 0 && (!errors.As(err, &syntax) || syntax.Line != c.line) {
			t.Errorf("%s: %v, want line %d and %q", c.name, err, c.line, c.want)
		}
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for range 10 {
		Read(strings.NewReader(entitiesOnly("0 LWPOLYLINE", "90 5000000")))
	}
	runtime.ReadMemStats(&after)
	if used := (after.TotalAlloc - before.TotalAlloc) / 10; used > 100_000 {
		t.Errorf("a lying count takes %d bytes", used)
	}
	trouble := errors.New("the disk is gone")
	if _, err := Read(broken{trouble}); !errors.Is(err, trouble) {
		t.Errorf("a read error: %v", err)
	}
}

// Wherever a file is cut short, it is noticed.
func TestReadCutShort(t *testing.T) {
	s := page(geometry.Inch, draw.Path{Points: square(0, 0, 1), Closed: true})
	whole := write(t, s)
	end := bytes.LastIndex(whole, []byte("EOF")) + len("EOF")
	for n := range end {
		if _, err := Read(bytes.NewReader(whole[:n])); err == nil {
			t.Fatalf("%d bytes of %d are taken for a file", n, len(whole))
		}
	}
	if _, err := Read(bytes.NewReader(whole[:end])); err != nil {
		t.Error(err)
	}
}

type broken struct{ err error }

func (b broken) Read([]byte) (int, error) { return 0, b.err }

// The same square of 2 in, four ways (FreeCAD/FreeCAD#6461, #10253): what
// $INSUNITS says counts, once.
func TestMillimetres(t *testing.T) {
	for _, c := range []struct {
		tags       []string
		side, want float64
		ok         bool
	}{
		{[]string{"9 $INSUNITS", "70 1", "9 $MEASUREMENT", "70 0"}, 2, 50.8, true},
		{[]string{"9 $INSUNITS", "70 4", "9 $MEASUREMENT", "70 1"}, 50.8, 50.8, true},
		{[]string{"9 $INSUNITS", "70 1", "9 $MEASUREMENT", "70 1"}, 2, 50.8, true},
		{[]string{"9 $INSUNITS", "70      5"}, 5.08, 50.8, true},
		{[]string{"9 $INSUNITS", "70 0", "9 $MEASUREMENT", "70 0"}, 2, 0, false},
		{[]string{"9 $MEASUREMENT", "70 1"}, 50.8, 0, false},
		{[]string{"9 $INSUNITS", "70 0"}, 2, 0, false},
		{nil, 2, 0, false},
		{[]string{"9 $INSUNITS", "70 260"}, 2, 0, false}, // not 260 mod 256
		{[]string{"9 $INSUNITS", "70 one"}, 2, 0, false},
	} {
		f, err := Read(strings.NewReader(headerOnly(c.tags...)))
		if err != nil {
			t.Fatal(err)
		}
		mm, ok := f.Millimetres()
		if math.Abs(mm*c.side-c.want) > 1e-12 || ok != c.ok {
			t.Errorf("%v: %v mm, %v", c.tags, mm*c.side, ok)
		}
	}
}

// ring returns the outline of a polyline that is closed by its flag or by
// ending where it began, within tolerance; the first vertex is not repeated.
func (e *Entity) ring(tolerance float64) (geometry.Polygon, bool) {
	if e.Kind != Polyline {
		return nil, false
	}
	points := e.Points
	meets := len(points) > 1 && points[0].Sub(points[len(points)-1]).Len() <= tolerance
	if meets {
		points = points[:len(points)-1]
	}
	if !(e.Closed || meets) || len(points) < 3 {
		return nil, false
	}
	return geometry.Polygon(points), true
}

// An outline is closed by its flag or by its ends (LibreCAD/LibreCAD#103).
func TestRing(t *testing.T) {
	three := []geometry.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 3}}
	four := append(three[:3:3], geometry.Point{X: 1e-10})
	for _, c := range []struct {
		e  Entity
		ok bool
	}{
		{Entity{Points: three, Closed: true}, true},
		{Entity{Points: four}, true},
		{Entity{Points: four, Closed: true}, true},
		{Entity{Points: three}, false},
		{Entity{Points: three[:2], Closed: true}, false},
		{Entity{Closed: true}, false},
		{Entity{Kind: Line, Points: three, Closed: true}, false},
	} {
		ring, ok := c.e.ring(1e-9)
		if ok != c.ok || ok && cmp.Diff(geometry.Polygon(three), ring) != "" {
			t.Errorf("%+v: %v, %v", c.e, ring, ok)
		}
	}
}

func TestReadModernText(t *testing.T) {
	f, err := Read(strings.NewReader(lines("0 SECTION", "2 HEADER", "9 $ACADVER", "1 AC1032", "0 ENDSEC") +
		entitiesOnly("0 TEXT", "10 0", "20 0", "1 2½ in")))
	if err != nil || f.Entities[0].Value != "2½ in" {
		t.Errorf("%v, %v", f, err)
	}
}

// Whatever comes in: no panic, a result or an error of ours but not both, no
// coordinate that is no number, as many points as each kind has, and no more
// of all than the file's size allows.
func FuzzRead(f *testing.F) {
	s := page(geometry.Inch, draw.Path{Points: square(0, 0, 1), Closed: true})
	s.Texts = []draw.Text{{Height: 1, Value: "2½"}}
	f.Add(write(f, s))
	f.Add([]byte(entitiesOnly("0 LWPOLYLINE", "90 -1", "10 1", "20 2")))
	f.Add([]byte(entitiesOnly("0 LINE", "102 {X", "102 }", "10 1", "20 2", "11 0x1p4", "21 NaN")))
	f.Add([]byte(headerOnly("9 $INSUNITS", "70 260")))
	s.Parts = []draw.Part{{Name: "A", Number: 1, Outline: square(0, 0, 4)}}
	f.Add(formed(f, s, R12))
	f.Add(formed(f, s, SewnProducts))
	f.Add([]byte(withBlocks(ell, []string{"0 INSERT", "2 ELL", "10 7", "20 -3", "50 30", "41 2", "42 -1", "70 3", "71 2", "45 9"})))
	f.Add([]byte(withBlocks([]string{"0 BLOCK", "2 A", "0 INSERT", "2 A", "10 0", "20 0", "0 ENDBLK"}, []string{"0 INSERT", "2 A", "10 0", "20 0"})))
	f.Add([]byte(entitiesOnly("0 POLYLINE", "70 17", "230 -1", "0 VERTEX", "70 16", "10 0", "20 0", "0 SEQEND", "0 POINT", "10 1", "20 1")))
	f.Add([]byte("hello\nworld"))
	// Units that contradict each other or are missing (FreeCAD/FreeCAD#6461,
	// ixmilia/dxf#68), outlines that end where they begin and have no flag
	// (LibreCAD/LibreCAD#103, OSGeo/gdal#10153), outlines of no size
	// (skymakerolof/dxf#20), files without a version (tarikjabiri/js-dxf#3),
	// counts that lie and files cut short (LibreCAD/LibreCAD#1473,
	// LibreCAD/libdxfrw#7, OSGeo/gdal#3936), text in no code page
	// (DomCR/ACadSharp#1092), layers that differ by case (KLayout/klayout#320).
	square := []string{"0 LWPOLYLINE", "8 CUT", "90 4", "70 1", "10 0", "20 0", "10 2", "20 0", "10 2", "20 2", "10 0", "20 2"}
	again := append(append([]string{}, square...), "10 0", "20 0")
	again[2], again[3] = "90 5", "70 0"
	for _, units := range [][]string{{"9 $INSUNITS", "70 1", "9 $MEASUREMENT", "70 0"}, {"9 $INSUNITS", "70 4", "9 $MEASUREMENT", "70 1"}, {"9 $INSUNITS", "70 0"}} {
		f.Add([]byte(strings.TrimSuffix(headerOnly(units...), lines("0 EOF")) + entitiesOnly(square...)))
	}
	for _, tags := range [][]string{square, again, square[:10], {"0 LWPOLYLINE", "90 0", "70 1"}, {"0 LWPOLYLINE", "90 1", "70 1", "10 1", "20 1"},
		{"0 LWPOLYLINE", "90 5000000"}, {"0 LWPOLYLINE", "90 -2137649907"}, {"0 TEXT", "8 cut", "10 1", "20 1", "1 B\u00fcro 2 \xbd \\U+2033"},
		append(append([]string{}, square...), "0 LINE", "8 cut", "10 0", "20 0", "11 0.333333", "21 0.333333")} {
		f.Add([]byte(entitiesOnly(tags...)))
		f.Add([]byte("\xef\xbb\xbf" + strings.ReplaceAll(entitiesOnly(tags...), "\n", "\r\n")))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(bytes.NewReader(data))
		// Line ends and a mark in front change nothing, unless the file has
		// line ends of its own kind.
		if text := string(data); !bytes.ContainsAny(data, "\r\x00") && bytes.IndexByte(data, 0xef) < 0 && !strings.HasPrefix(text, "AutoCAD") {
			other, err2 := Read(strings.NewReader("\xef\xbb\xbf" + strings.ReplaceAll(text, "\n", "\r\n")))
			if (err == nil) != (err2 == nil) {
				t.Fatalf("%v, and with other line ends %v", err, err2)
			}
			if err == nil {
				if diff := cmp.Diff(file.Entities, other.Entities); diff != "" {
					t.Fatalf("with other line ends: %s", diff)
				}
			}
		}
		var syntax *SyntaxError
		if (file == nil) != (err != nil) || err != nil && !errors.As(err, &syntax) && !errors.Is(err, errNoSection) {
			t.Fatalf("%v, %v", file, err)
		}
		if err != nil {
			return
		}
		total := 0
		for _, e := range file.Entities {
			if 4*len(e.Points) > len(data) {
				t.Fatalf("%d points from %d bytes", len(e.Points), len(data))
			}
			if total += 1 + len(e.Points); e.Block == "" {
				total -= 1 + len(e.Points)
			}
			if n := len(e.Points); e.Kind == Line && n != 2 || (e.Kind == Text || e.Kind == Point) && n != 1 {
				t.Fatalf("a %v of %d points", e.Kind, n)
			}
			for _, p := range e.Points {
				if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
					t.Fatalf("point %v", p)
				}
			}
			e.ring(1e-9)
		}
		if total > maxPlaced+len(data)/8 {
			t.Fatalf("%d things inserted by %d bytes", total, len(data))
		}
		file.Bounds()
		file.Millimetres()
		file.Point("$EXTMIN")
	})
}
