// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"lozenge/export/outside"
)

// The sheets of each example, read by ezdxf and judged by shapely: outlines
// whole, none on another, all inside the margin; in line mode no two cut lines
// within 1e-4 of each other and together as long as the union of the outlines;
// every diamond leans as its label says.
func TestCutterSheetsAsShapelySeesThem(t *testing.T) {
	t.Parallel()
	python := outside.Python(t, "ezdxf, shapely")
	script := filepath.Join(t.TempDir(), "judge.py")
	if err := os.WriteFile(script, []byte(judgeSheets), 0o666); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	turned, root := false, t.TempDir()
	args := []string{script}
	// Strip sets 23 in long, all alike, of which two lengths lie across a sheet.
	across := filepath.Join(root, "across.yaml")
	pattern := "unit: in\nstrips: [{cut: 2 1/4, fabric: moss}, {cut: 2 1/4, fabric: butter}]\nusable_width: 23\ncolumns: 7\nrows: 9\n"
	if err := os.WriteFile(across, []byte(pattern), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, file := range append(outside.Of(files[1:2], files), across) {
		for i, more := range [][]string{
			{"--from", "strip-sets"},
			{"--from", "strip-sets", "--sheet", "12x24in", "--sheet", "24x24in"},
			{"--from", "pieces", "--gap", "0", "--sheet", "12x24in", "--sheet", "24x24in"},
			{"--from", "strip-sets", "--sheet", "13x25in", "--margin", "0", "--dxf", "r12"},
			{"--from", "strip-sets", "--sheet", "11x22in"},
			{"--die", "3"},
		} {
			dir := filepath.Join(root, fmt.Sprintf("%s-%d", filepath.Base(file), i))
			args = append(args, dir)
			for sub, more := range map[string][]string{"whole": more, "lines": append(more[:len(more):len(more)], "--lines")} {
				var out, talk bytes.Buffer
				if s := run(append([]string{"cutter", file, "--out", filepath.Join(dir, sub)}, more...), nil, &out, &talk); s != statusDone {
					t.Fatalf("%s %v: status %d: %s", file, more, s, talk.String())
				}
				turned = turned || bytes.Contains(out.Bytes(), []byte("across the sheet")) || bytes.Contains(out.Bytes(), []byte("slanted"))
			}
		}
	}
	var sheets []struct {
		Name                string
		Errors, Fixes, Open int
		Overlap, Outside    float64
		Lines, Union, Twice float64
		Diamonds, WrongLean int
		Outlines, Squares   int
	}
	data := outside.Run(t, python, args...)
	if err := json.Unmarshal(data, &sheets); err != nil {
		t.Fatalf("%v: %s", err, data)
	}
	if len(sheets) < len(args)-1 {
		t.Fatalf("%d sheets of %d runs", len(sheets), len(args)-1)
	}
	for _, s := range sheets {
		switch {
		case s.Errors+s.Fixes > 0:
			t.Errorf("%s: %d audit errors, %d fixes", s.Name, s.Errors, s.Fixes)
		case s.Outlines == 0 || s.Open > 0:
			t.Errorf("%s: %d outlines, %d open", s.Name, s.Outlines, s.Open)
		case s.Overlap > 1e-6 || s.Outside > 1e-6:
			t.Errorf("%s: pieces share %v, %v off the sheet", s.Name, s.Overlap, s.Outside)
		case math.Abs(s.Lines-s.Union) > 1e-4 || s.Twice > 1e-2:
			t.Errorf("%s: %v of lines, union %v, %v cut twice", s.Name, s.Lines, s.Union, s.Twice)
		case s.WrongLean > 0:
			t.Errorf("%s: %d of %d diamonds lean the wrong way", s.Name, s.WrongLean, s.Diamonds)
		case s.Squares > 1:
			t.Errorf("%s: %d calibration squares", s.Name, s.Squares)
		}
	}
	if !turned {
		t.Error("no sheet was turned; the check lost its point")
	}
}

// judgeSheets prints what it finds. Pieces must lie on the sheet, whose rim is
// the only outline on MARK.
const judgeSheets = `
import sys, json, glob, os, math
import ezdxf
from shapely import affinity
from shapely.geometry import Polygon, LineString, Point, box
from shapely.ops import unary_union

def union_length(edges):
    """The length of all edges together. shapely takes lines for the same that
    run through the same vertices; so every edge gets those that lie on it."""
    known = []
    def vertex(p):
        for q in known:
            if math.dist(p, q) < 1e-6:
                return q
        known.append(p)
        return p
    edges = [(vertex(a), vertex(b)) for a, b in edges]
    parts = []
    for a, b in edges:
        line = LineString([a, b])
        on = sorted((q for q in known if line.distance(Point(q)) < 1e-6), key=lambda q: math.dist(a, q))
        parts += [LineString(s) for s in zip(on, on[1:])]
    return unary_union(parts).length

def points(e):
    if e.dxftype() == "LWPOLYLINE":
        return [p[:2] for p in e.get_points()], bool(e.closed)
    if e.dxftype() == "POLYLINE":
        return [(v.dxf.location.x, v.dxf.location.y) for v in e.vertices], bool(e.is_closed)
    if e.dxftype() == "LINE":
        return [(e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)], False
    return [], False

out = []
for path in sorted(sum((glob.glob(d + "/whole/*.dxf") for d in sys.argv[1:]), [])):
    name = path
    if os.path.basename(path).startswith("square"):
        continue
    doc, other = ezdxf.readfile(path), ezdxf.readfile(path.replace("/whole/", "/lines/"))
    audits = [doc.audit(), other.audit()]
    got = {"name": name, "errors": sum(len(a.errors) for a in audits), "fixes": sum(len(a.fixes) for a in audits)}
    face_down = any("wrong side up" in t.dxf.text for t in doc.modelspace().query("TEXT"))
    cut = [points(e) for e in doc.modelspace() if e.dxf.layer == "CUT"]
    got["open"] = sum(1 for _, closed in cut if not closed)
    pieces = [Polygon(p) for p, _ in cut]
    got["outlines"] = len(pieces)
    got["overlap"] = 0.0
    for i, p in enumerate(pieces):
        for q in pieces[:i]:
            got["overlap"] = max(got["overlap"], p.intersection(q).area)
    rims = [points(e)[0] for e in doc.modelspace() if e.dxf.layer == "MARK" and points(e)[1]]
    got["outside"] = max([p.difference(Polygon(rims[0])).area for p in pieces]) if rims else 0.0
    got["squares"] = sum(1 for e in doc.modelspace() if e.dxf.layer == "SQUARE")

    got["union"] = union_length([(p[i], p[(i + 1) % len(p)]) for p, _ in cut for i in range(len(p))])
    drawn = [LineString(points(e)[0]) for e in other.modelspace() if e.dxf.layer == "CUT"]
    got["lines"] = sum(l.length for l in drawn)
    got["twice"] = 0.0
    for i, l in enumerate(drawn):
        near = l.buffer(1e-4, cap_style=2)
        for m in drawn[:i]:
            got["twice"] = max(got["twice"], near.intersection(m).length)

    got["diamonds"] = got["wrongLean"] = 0
    for t in doc.modelspace().query("TEXT"):
        if "leaning diamond" not in t.dxf.text or t.dxf.text.startswith("die"):
            continue
        at = Point(t.dxf.insert.x, t.dxf.insert.y)
        for p in pieces:
            if p.contains(at):
                turn = t.dxf.get("rotation", 0)
                flat = affinity.rotate(p, -turn, origin=(0, 0))
                x0, y0, x1, y1 = flat.bounds
                mid = (y0 + y1) / 2
                upper, lower = flat.intersection(box(x0, mid, x1, y1)), flat.intersection(box(x0, y0, x1, mid))
                right = upper.centroid.x > lower.centroid.x
                got["diamonds"] += 1
                if right != (t.dxf.text.startswith("right") != face_down):
                    got["wrongLean"] += 1
                break
    out.append(got)
print(json.dumps(out))
`
