// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"lozenge/geometry"
)

// withBlocks makes a file of a BLOCKS and an ENTITIES section.
func withBlocks(blocks, entities []string) string {
	all := append([]string{"0 SECTION", "2 BLOCKS"}, blocks...)
	all = append(all, "0 ENDSEC", "0 SECTION", "2 ENTITIES")
	return lines(append(append(all, entities...), "0 ENDSEC", "0 EOF")...)
}

// ell is a block with an L of lines, which has no mirror symmetry: from (3,0)
// to (0,0) to (0,5), drawn on layer 0, and a text and a point.
var ell = []string{
	"0 BLOCK", "8 0", "2 ELL", "70 0", "10 0", "20 0", "30 0", "3 ELL",
	"0 POLYLINE", "8 0", "66 1", "70 0",
	"0 VERTEX", "8 0", "10 3", "20 0", "0 VERTEX", "8 0", "10 0", "20 0", "0 VERTEX", "8 0", "10 0", "20 5",
	"0 SEQEND", "8 0",
	"0 TEXT", "8 MARK", "10 1", "20 1", "40 2", "50 30", "1 L",
	"0 POINT", "8 4", "10 3", "20 0",
	"0 ENDBLK", "8 0",
}

func replaced(tags []string, pairs ...string) []string {
	out := append([]string(nil), tags...)
	for i := range out {
		for j := 0; j < len(pairs); j += 2 {
			if out[i] == pairs[j] {
				out[i] = pairs[j+1]
				break
			}
		}
	}
	return out
}

func TestReadPolylines(t *testing.T) {
	triangle := []string{"0 POLYLINE", "8 CUT", "66 1", "10 9", "20 9", "70 1",
		"0 VERTEX", "8 CUT", "10 0", "20 0", "0 VERTEX", "8 CUT", "20 0", "10 4", "30 7", "0 VERTEX", "10 0", "20 3", "70 0", "0 SEQEND", "8 CUT"}
	points := []geometry.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 3}}
	mirrored := []geometry.Point{{X: 0, Y: 0}, {X: -4, Y: 0}, {X: 0, Y: 3}}
	closed := []Entity{{Line: 6, Layer: "CUT", Points: points, Closed: true}}
	for _, c := range []struct {
		name string
		tags []string
		want []Entity
		skip map[string]int
	}{
		{"closed", triangle, closed, nil},
		{"without 66", replaced(triangle, "66 1", "62 1"), closed, nil},
		{"other flags too", replaced(triangle, "70 1", "70 129"), closed, nil},
		{"in space", replaced(triangle, "70 1", "70 9"), closed, nil},
		{"open", replaced(triangle, "70 1", "70 128"), []Entity{{Line: 6, Layer: "CUT", Points: points}}, nil},
		{"a vertex of the frame", replaced(triangle, "70 0", "70 16"), []Entity{{Line: 6, Layer: "CUT", Points: points[:2], Closed: true}}, nil},
		{"seen from below", replaced(triangle, "66 1", "230 -1.0"), []Entity{{Line: 6, Layer: "CUT", Points: mirrored, Closed: true}}, nil},
		{"in space, whatever its plane", replaced(triangle, "66 1", "210 1", "70 1", "70 9"), closed, nil},
		{"a mesh", replaced(triangle, "70 1", "70 17"), nil, map[string]int{"POLYLINE": 1}},
		{"faces", replaced(triangle, "70 1", "70 64"), nil, map[string]int{"POLYLINE": 1}},
		{"on the paper", replaced(triangle, "66 1", "67 1"), nil, map[string]int{"POLYLINE": 1}},
		{"no vertex", []string{"0 POLYLINE", "70 1", "0 SEQEND"}, []Entity{{Line: 6, Layer: "0", Closed: true}}, nil},
		{"a point", []string{"0 POINT", "8 4", "10 1", "20 2", "30 3", "210 1"}, []Entity{{Kind: Point, Line: 6, Layer: "4", Points: []geometry.Point{{X: 1, Y: 2}}}}, nil},
		{"text seen from below", []string{"0 TEXT", "10 1", "20 2", "40 1", "50 30", "1 A", "210 0", "220 0", "230 -1"},
			[]Entity{{Kind: Text, Line: 6, Layer: "0", Points: []geometry.Point{{X: -1, Y: 2}}, Value: "A", Height: 1, Turn: 150}}, nil},
		{"a line on the paper", []string{"0 LINE", "67 1", "10 1"}, nil, map[string]int{"LINE": 1}},
	} {
		f, err := Read(strings.NewReader(entitiesOnly(c.tags...)))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if diff := cmp.Diff(c.want, f.Entities, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
		if diff := cmp.Diff(c.skip, f.Skipped, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s: skipped %s", c.name, diff)
		}
	}
}

// A polyline that is closed and has no area is read as one that has no ring,
// without a panic (skymakerolof/dxf#20).
func TestDegeneratePolylines(t *testing.T) {
	vertex := []string{"0 VERTEX", "10 1", "20 1"}
	old := func(n int) (out []string) {
		out = []string{"0 POLYLINE", "70 1"}
		for range n {
			out = append(out, vertex...)
		}
		return append(out, "0 SEQEND")
	}
	for name, tags := range map[string][]string{
		"one vertex":      {"0 LWPOLYLINE", "90 1", "70 1", "10 1", "20 1"},
		"three equal":     {"0 LWPOLYLINE", "90 3", "70 1", "10 1", "20 1", "10 1", "20 1", "10 1", "20 1"},
		"none":            {"0 LWPOLYLINE", "90 0", "70 1"},
		"one VERTEX":      old(1),
		"no VERTEX":       old(0),
		"three of VERTEX": old(3),
	} {
		f, err := Read(strings.NewReader(entitiesOnly(tags...)))
		if err != nil || len(f.Entities) != 1 {
			t.Errorf("%s: %v, %v", name, f, err)
			continue
		}
		if ring, ok := f.Entities[0].ring(1e-9); ok {
			t.Errorf("%s: the ring %v", name, ring)
		}
	}
}

// Scale, turn, base point, rows and columns, nesting and mirroring, by hand:
// each point of the block is first taken from the base, then scaled, then
// turned, then moved.
func TestInserts(t *testing.T) {
	at := func(xy ...float64) (out []geometry.Point) {
		for i := 0; i < len(xy); i += 2 {
			out = append(out, geometry.Point{X: xy[i], Y: xy[i+1]})
		}
		return out
	}
	insert := func(more ...string) []string {
		return append([]string{"0 INSERT", "8 CUT", "2 ELL", "10 100", "20 200"}, more...)
	}
	outer := func(more ...string) []string {
		out := append([]string(nil), ell...)
		out = append(out, "0 BLOCK", "2 OUT", "10 0", "20 0", "0 INSERT", "8 0", "2 ell", "10 1", "20 2")
		return append(append(out, more...), "0 ENDBLK")
	}
	based := append([]string(nil), ell...)
	based[4], based[5] = "10 3", "20 1" // of the block, not of its vertices
	for _, c := range []struct {
		name     string
		blocks   []string
		entities []string
		want     [][]geometry.Point // of polylines
		text     Entity             // the first
	}{
		{"as it is", ell, insert(), [][]geometry.Point{at(103, 200, 100, 200, 100, 205)},
			Entity{Points: at(101, 201), Height: 2, Turn: 30}},
		{"with a base", based, insert(), [][]geometry.Point{at(100, 199, 97, 199, 97, 204)}, Entity{}},
		{"turned", ell, insert("50 90"), [][]geometry.Point{at(100, 203, 100, 200, 95, 200)},
			Entity{Points: at(99, 201), Height: 2, Turn: 120}},
		{"turned far", ell, insert("50 -990"), [][]geometry.Point{at(100, 203, 100, 200, 95, 200)},
			Entity{Points: at(99, 201), Height: 2, Turn: 120}},
		{"scaled", ell, insert("41 2", "42 2", "43 9"), [][]geometry.Point{at(106, 200, 100, 200, 100, 210)},
			Entity{Points: at(102, 202), Height: 4, Turn: 30}},
		{"scaled, then turned", ell, insert("41 2", "42 3", "50 90"), [][]geometry.Point{at(100, 206, 100, 200, 85, 200)}, Entity{}},
		{"mirrored by scale", ell, insert("41 -1"), [][]geometry.Point{at(97, 200, 100, 200, 100, 205)},
			Entity{Points: at(99, 201), Height: 2, Turn: 150}},
		{"mirrored by its plane", ell, insert("230 -1"), [][]geometry.Point{at(-103, 200, -100, 200, -100, 205)},
			Entity{Points: at(-101, 201), Height: 2, Turn: 150}},
		{"rows and columns", ell, insert("70 2", "71 2", "44 10", "45 20"),
			[][]geometry.Point{
				at(103, 200, 100, 200, 100, 205), at(113, 200, 110, 200, 110, 205),
				at(103, 220, 100, 220, 100, 225), at(113, 220, 110, 220, 110, 225),
			}, Entity{}},
		{"rows and columns, turned and scaled", ell, insert("70 2", "44 10", "50 90", "41 2", "42 2"),
			[][]geometry.Point{at(100, 206, 100, 200, 90, 200), at(100, 216, 100, 210, 90, 210)}, Entity{}},
		{"0 rows is 1", ell, insert("70 0", "71 0"), [][]geometry.Point{at(103, 200, 100, 200, 100, 205)}, Entity{}},
		{"within another", outer("41 2", "42 2"), []string{"0 INSERT", "8 CUT", "2 OUT", "10 10", "20 0", "50 90"},
			// (3,0) becomes (7,2) becomes (-2,7) + (10,0).
			[][]geometry.Point{at(8, 7, 8, 1, -2, 1)}, Entity{Points: at(6, 3), Height: 4, Turn: 120}},
	} {
		f, err := Read(strings.NewReader(withBlocks(c.blocks, c.entities)))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var got [][]geometry.Point
		var text *Entity
		for i, e := range f.Entities {
			switch e.Kind {
			case Polyline:
				got = append(got, e.Points)
				if e.Layer != "CUT" {
					t.Errorf("%s: layer 0 of the block is %s", c.name, e.Layer)
				}
			case Text:
				if text == nil {
					text = &f.Entities[i]
				}
				if e.Layer != "MARK" {
					t.Errorf("%s: layer MARK of the block is %s", c.name, e.Layer)
				}
			}
			if e.Block == "" || e.Block == "ell" {
				t.Errorf("%s: it came in by %q", c.name, e.Block)
			}
		}
		if diff := cmp.Diff(c.want, got, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
		if c.text.Points != nil {
			if apart(text.Points, c.text.Points) > 1e-12 || math.Abs(text.Height-c.text.Height) > 1e-12 ||
				math.Abs(float64(text.Turn-c.text.Turn)) > 1e-10 {
				t.Errorf("%s: text %+v, want %+v", c.name, text, c.text)
			}
		}
	}
	// Attributes of an insert are no part of the drawing, and end in SEQEND.
	f, err := Read(strings.NewReader(withBlocks(ell, append(insert("66 1"),
		"0 ATTRIB", "8 0", "10 1", "20 1", "1 x", "0 SEQEND", "8 0", "0 POINT", "10 7", "20 8"))))
	if err != nil || len(f.Entities) != 4 || f.Skipped["ATTRIB"] != 1 || f.Entities[3].Block != "" {
		t.Errorf("attributes: %+v, %v", f, err)
	}
	// A block that nothing inserts is not in the drawing.
	if f, err = Read(strings.NewReader(withBlocks(ell, nil))); err != nil || len(f.Entities) != 0 {
		t.Errorf("not inserted: %+v, %v", f, err)
	}
}

// Faults in blocks and polylines are errors with the line, as are files that
// unfold to far more than they are (LibreCAD/LibreCAD#1473,
// LibreCAD/libdxfrw#7, OSGeo/gdal#3936).
func TestReadHostileBlocks(t *testing.T) {
	bare := []string{"0 BLOCK", "2 A", "0 ENDBLK"}
	insert := []string{"0 INSERT", "2 A", "10 0", "20 0"}
	self := []string{"0 BLOCK", "2 A", "0 INSERT", "2 A", "10 0", "20 0", "0 ENDBLK"}
	var tower, fork []string // of blocks, each with one or with ten of the one before
	tower = append(tower, "0 BLOCK", "2 B0", "0 POINT", "10 0", "20 0", "0 ENDBLK")
	fork = append(fork, "0 BLOCK", "2 B0", "0 ENDBLK")
	for i := range 17 {
		one := []string{"0 INSERT", fmt.Sprintf("2 B%d", i), "10 0", "20 0"}
		head := []string{"0 BLOCK", fmt.Sprintf("2 B%d", i+1)}
		tower = append(append(append(tower, head...), one...), "0 ENDBLK")
		if i < 12 {
			fork = append(fork, head...)
			for range 10 {
				fork = append(fork, one...)
			}
			fork = append(fork, "0 ENDBLK")
		}
	}
	for _, c := range []struct {
		name, in, want string
		line           int
	}{
		{"no such block", withBlocks(nil, insert), `no block "A"`, 12},
		{"nameless", withBlocks(bare, []string{"0 INSERT", "10 0", "20 0"}), "names no block", 18},
		{"nowhere", withBlocks(bare, []string{"0 INSERT", "2 A", "10 0"}), "insert lacks", 18},
		{"scale 0", withBlocks(bare, append(insert[:4:4], "41 0")), "scale of 0", 18},
		{"minus one column", withBlocks(bare, append(insert[:4:4], "70 -1")), "-1 times", 26},
		{"twice", withBlocks(append(bare[:3:3], "0 BLOCK", "2 a", "0 ENDBLK"), nil), "twice", 14},
		{"no ENDBLK", withBlocks(bare[:2], nil), "no ENDBLK", 6},
		{"no ENDBLK before", withBlocks(append(bare[:2:2], bare...), nil), "line 6 has no ENDBLK", 10},
		{"only ENDBLK", withBlocks(bare[2:], nil), "outside a block", 6},
		{"a line outside", withBlocks([]string{"0 LINE"}, nil), "outside a block", 6},
		{"bad base", withBlocks([]string{"0 BLOCK", "2 A", "10 x", "0 ENDBLK"}, nil), "not a number", 10},
		{"bad within", withBlocks([]string{"0 BLOCK", "2 A", "0 LINE", "0 ENDBLK"}, nil), "line lacks", 10},
		{"no SEQEND within", withBlocks([]string{"0 BLOCK", "2 A", "0 POLYLINE", "0 ENDBLK"}, nil), "no SEQEND", 10},
		{"holds itself", withBlocks(self, insert), "hold itself", 10},
		{"too deep", withBlocks(tower, []string{"0 INSERT", "2 B16", "10 0", "20 0"}), "16 deep", 22},
		{"unfolds", withBlocks(fork, []string{"0 INSERT", "2 B12", "10 0", "20 0"}), "a file of this size", 1050},
		{"rows of nothing", withBlocks(bare, append(insert[:4:4], "70 2147483647", "71 2147483647")), "a file of this size", 18},
		{"moved to infinity", withBlocks([]string{"0 BLOCK", "2 A", "0 POINT", "10 1e300", "20 0", "0 ENDBLK"}, append(insert[:4:4], "41 1e300")), "beyond all numbers", 24},
		{"larger than infinity", withBlocks([]string{"0 BLOCK", "2 A", "0 TEXT", "40 1e300", "10 0", "20 0", "0 ENDBLK"}, append(insert[:4:4], "42 1e300")), "all numbers", 26},
		{"no SEQEND", entitiesOnly("0 POLYLINE", "0 VERTEX", "10 0", "20 0"), "no SEQEND", 6},
		{"a line before SEQEND", entitiesOnly("0 POLYLINE", "0 LINE"), "line 6 has no SEQEND", 8},
		{"VERTEX alone", entitiesOnly("0 VERTEX", "10 0", "20 0"), "outside a polyline", 6},
		{"half a VERTEX", entitiesOnly("0 POLYLINE", "0 VERTEX", "10 0", "0 SEQEND"), "vertex lacks", 8},
		{"half a point", entitiesOnly("0 POINT", "20 1"), "point lacks", 6},
		{"tilted", entitiesOnly("0 LWPOLYLINE", "90 1", "10 1", "20 1", "210 1", "220 0", "230 0"), "tilted", 6},
		{"tilted text", entitiesOnly("0 TEXT", "10 1", "20 1", "220 0.1", "230 0.9"), "tilted", 6},
		{"flags", entitiesOnly("0 POLYLINE", "70 x"), "whole number", 8},
		{"angle", entitiesOnly("0 TEXT", "50 NaN"), "not a number", 8},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		f, err := Read(strings.NewReader(c.in))
		runtime.ReadMemStats(&after)
		var syntax *SyntaxError
		if f != nil || err == nil || !strings.Contains(err.Error(), c.want) ||
			!errors.As(err, &syntax) || syntax.Line != c.line {
			t.Errorf("%s: %v, want line %d and %q", c.name, err, c.line, c.want)
		}
		if used := after.TotalAlloc - before.TotalAlloc; used > 100<<20 {
			t.Errorf("%s: %d bytes", c.name, used)
		}
	}
	// Sixteen within each other are read.
	f, err := Read(strings.NewReader(withBlocks(tower, []string{"0 INSERT", "2 B15", "10 0", "20 0"})))
	if err != nil || len(f.Entities) != 1 || f.Entities[0].Block != "B15" {
		t.Errorf("16 deep: %+v, %v", f, err)
	}
	// Many inserts of one small block are nothing strange.
	var many []string
	for range 1000 {
		many = append(many, "0 INSERT", "2 ELL", "10 0", "20 0", "70 20")
	}
	if f, err = Read(strings.NewReader(withBlocks(ell, many))); err != nil || len(f.Entities) != 60_000 {
		t.Errorf("20 000 pieces: %v", err)
	}
}

// A turn by any angle keeps lengths.
func TestInsertTurns(t *testing.T) {
	for turn := -720.0; turn <= 720; turn += 17.3 {
		f, err := Read(strings.NewReader(withBlocks(ell, []string{"0 INSERT", "2 ELL", "10 7", "20 -3", fmt.Sprintf("50 %v", turn)})))
		if err != nil {
			t.Fatal(err)
		}
		p := f.Entities[0].Points
		d, e := p[0].Sub(p[1]), p[2].Sub(p[1])
		sin, cos := math.Sincos(turn * math.Pi / 180)
		if d.Sub(geometry.Point{X: 3 * cos, Y: 3 * sin}).Len() > 1e-12 || math.Abs(d.Cross(e)-15) > 1e-11 {
			t.Errorf("turned by %v: %v", turn, p)
		}
	}
}
