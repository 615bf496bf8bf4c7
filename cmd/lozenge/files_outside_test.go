// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// The DXF that make writes for each example, read by ezdxf: no audit error,
// every outline closed and of the exact area and size, units and extents true,
// the calibration square exact.
func TestDXFOfTheExamplesAsEzdxfReadsIt(t *testing.T) {
	t.Parallel()
	python := outside.Python(t, "ezdxf")
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range files {
		dir := t.TempDir()
		var out, talk bytes.Buffer
		if s := run([]string{"make", file, "--out", dir}, nil, &out, &talk); s != statusDone {
			t.Fatalf("status %d: %s", s, talk.String())
		}
		var got struct {
			Errors, Fixes int
			Units         int
			Min, Max      [2]float64
			Cut, Square   []struct {
				Closed bool
				Points [][2]float64
			}
			All [2][2]float64
		}
		data := outside.Run(t, python, "-c", `
import sys, json, ezdxf
from ezdxf import bbox
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
msp = doc.modelspace()
def read(layer):
    return [{"closed": bool(e.closed), "points": [p[:2] for p in e.get_points()]} for e in msp.query('LWPOLYLINE[layer=="%s"]' % layer)]
lines = bbox.extents(e for e in msp if e.dxftype() == "LWPOLYLINE")
print(json.dumps({"errors": len(audit.errors), "fixes": len(audit.fixes), "units": doc.header["$INSUNITS"],
  "min": doc.header["$EXTMIN"][:2], "max": doc.header["$EXTMAX"][:2], "cut": read("CUT"), "square": read("SQUARE"),
  "all": [list(lines.extmin)[:2], list(lines.extmax)[:2]]}))
`, filepath.Join(dir, "pieces.dxf"))
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatalf("%v: %s", err, data)
		}
		p, err := pattern.Read(file, nil)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := quilt.New(p.Spec)
		if err != nil {
			t.Fatal(err)
		}
		if got.Errors+got.Fixes != 0 {
			t.Errorf("%s: %d audit errors, %d fixes", file, got.Errors, got.Fixes)
		}
		// $INSUNITS: 1 inches, 5 centimetres.
		if want := int(p.Spec.Unit.Of(1, 5)); got.Units != want {
			t.Errorf("%s: $INSUNITS %d, want %d", file, got.Units, want)
		}
		for i := range 2 {
			// Lettering may reach beyond the lines, by no more than a label.
			if got.Min[i] > got.All[0][i]+1e-6 || got.Max[i] < got.All[1][i]-1e-6 || got.Max[i]-got.All[1][i] > 10 || got.All[0][i]-got.Min[i] > 10 {
				t.Errorf("%s: extents %v %v, lines %v", file, got.Min, got.Max, got.All)
			}
		}
		var want []geometry.Piece
		for _, lean := range geometry.Leans {
			for _, shape := range geometry.Shapes {
				if plan.Need[lean][shape] > 0 {
					seen := lean
					if p.Spec.Face == geometry.FaceDown {
						seen = lean.Other()
					}
					want = append(want, plan.Set.Piece(shape, seen))
				}
			}
		}
		if len(got.Cut) != len(want) || len(got.Square) != 1 {
			t.Fatalf("%s: %d outlines, %d squares, want %d and 1", file, len(got.Cut), len(got.Square), len(want))
		}
		polygon := func(points [][2]float64) geometry.Polygon {
			var g geometry.Polygon
			for _, v := range points {
				g = append(g, geometry.Point{X: v[0], Y: v[1]})
			}
			return g
		}
		for i, piece := range want {
			g := polygon(got.Cut[i].Points)
			if !got.Cut[i].Closed || len(g) != len(piece.Outline) {
				t.Errorf("%s: outline %d: closed %v, %d vertices", file, i, got.Cut[i].Closed, len(g))
				continue
			}
			// Moved to the same corner they are the same, to 1e-7.
			a, b := g.Bounds().Min, piece.Outline.Bounds().Min
			for j := range g {
				if d := g[j].Sub(a).Sub(piece.Outline[j].Sub(b)).Len(); d > 1e-7 {
					t.Errorf("%s: outline %d, vertex %d is off by %g", file, i, j, d)
				}
			}
		}
		side := p.Spec.Unit.Of(4, 10)
		if q := polygon(got.Square[0].Points); math.Abs(math.Abs(q.Area())-side*side) > 1e-6 || math.Abs(q.Bounds().Width()-side) > 1e-7 {
			t.Errorf("%s: calibration square %v", file, got.Square[0].Points)
		}
	}
}

// The sheets and dies of a cutter in every form of DXF, as ezdxf reads them,
// blocks put where they belong: every cut line and the calibration square lie
// where the geometry has them, to 0.0005 in.
func TestDXFOfSheetsAsEzdxfReadsIt(t *testing.T) {
	t.Parallel()
	python := outside.Python(t, "ezdxf")
	type written struct {
		file  string
		sheet *draw.Drawing
	}
	for _, example := range outside.Of([]string{"ember-throw"}, []string{"tide-lap", "meadow-cot", "ember-throw"}) {
		var all []written
		args := []string{filepath.Join("..", "..", "export", "dxf", "testdata", "read_ezdxf.py")}
		example := "../../testdata/" + example + ".yaml"
		c := &chromium{t, nil, planOf(t, example)}
		for _, f := range cutterRuns(c.plan.Spec.Unit) {
			for _, form := range dxf.Forms {
				for _, f.lines = range []bool{false, true} {
					if f.form = form.String(); f.lines && form == dxf.SewnProducts {
						continue // it keeps pieces whole
					}
					f.out.dir = filepath.Join(t.TempDir(), "out")
					mustRun(t, f.args(example)...)
					files, _ := filepath.Glob(filepath.Join(f.out.dir, "*.dxf"))
					sheets := c.laid(f)
					if len(files) != len(sheets) {
						t.Fatalf("%+v: %d files, %d sheets", f, len(files), len(sheets))
					}
					for i, file := range files {
						all, args = append(all, written{file, sheets[i]}), append(args, file)
					}
				}
			}
		}
		var got []struct {
			Errors   []string
			Units    int
			Entities []struct {
				Layer  string
				Points [][2]float64
			}
		}
		if err := json.Unmarshal(outside.Run(t, python, args...), &got); err != nil || len(got) != len(all) {
			t.Fatal(len(got), err)
		}
		lines := 0
		for i, g := range got {
			w := all[i]
			inches, ok := map[int]float64{1: 1, 4: 1 / 25.4, 5: 1 / 2.54}[g.Units]
			if len(g.Errors) > 0 || !ok {
				t.Errorf("%s: unit %d, %q", w.file, g.Units, g.Errors)
			}
			want := slices.Clone(w.sheet.Paths)
			if q := w.sheet.Square; q != nil {
				at := func(x, y float64) geometry.Point { return q.At.Add(geometry.Point{X: x, Y: y}) }
				want = append(want, draw.Path{Role: draw.Square, Points: []geometry.Point{at(0, 0), at(q.Side, 0), at(q.Side, q.Side), at(0, q.Side)}})
			}
			for _, p := range want {
				if p.Role != draw.Cut && p.Role != draw.Square {
					continue
				}
				lines++
				best := math.Inf(1)
				for _, e := range g.Entities {
					if len(e.Points) != len(p.Points) {
						continue
					}
					worst := 0.0
					for j, v := range e.Points {
						u := c.plan.Spec.Unit
						worst = max(worst, math.Hypot(float64(v[0]*inches)-u.Inches(p.Points[j].X), float64(v[1]*inches)-u.Inches(p.Points[j].Y)))
					}
					best = min(best, worst)
				}
				if !(best <= exact) {
					t.Errorf("%s: a %v line of %d vertices is off by %v in", w.file, p.Role, len(p.Points), best)
				}
			}
		}
		if lines < 100 {
			t.Errorf("%s: only %d lines were compared", example, lines)
		}
	}
}
