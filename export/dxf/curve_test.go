// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
)

// Curves of every kind, seen from above and from below, inserted turned and
// stretched, are as long as ezdxf finds them, and lie in the same box.
func TestCurvesAsEzdxf(t *testing.T) {
	python := outside.Python(t, "ezdxf")
	curves := map[string][]string{
		"bulges":        {"0 LWPOLYLINE", "100 AcDbEntity", "8 CUT", "100 AcDbPolyline", "90 4", "70 1", "10 0", "20 0", "42 0.1", "10 4", "20 0", "42 -0.5", "10 4", "20 4", "10 0", "20 4", "42 2"},
		"open bulges":   {"0 LWPOLYLINE", "100 AcDbEntity", "8 CUT", "100 AcDbPolyline", "90 3", "70 0", "10 0", "20 0", "42 1", "10 4", "20 0", "10 4", "20 4", "42 0.5"},
		"old bulges":    {"0 POLYLINE", "100 AcDbEntity", "8 CUT", "100 AcDb2dPolyline", "66 1", "10 0", "20 0", "30 0", "70 1", "0 VERTEX", "100 AcDbEntity", "8 CUT", "100 AcDbVertex", "100 AcDb2dVertex", "10 0", "20 0", "30 0", "0 VERTEX", "100 AcDbEntity", "8 CUT", "100 AcDbVertex", "100 AcDb2dVertex", "10 4", "20 0", "30 0", "42 0.3", "0 VERTEX", "100 AcDbEntity", "8 CUT", "100 AcDbVertex", "100 AcDb2dVertex", "10 4", "20 4", "30 0", "0 SEQEND"},
		"arc":           {"0 ARC", "100 AcDbEntity", "8 CUT", "100 AcDbCircle", "10 1", "20 2", "30 0", "40 3", "100 AcDbArc", "50 300", "51 20"},
		"circle":        {"0 CIRCLE", "100 AcDbEntity", "8 CUT", "100 AcDbCircle", "10 1", "20 2", "30 0", "40 3"},
		"ellipse":       {"0 ELLIPSE", "100 AcDbEntity", "8 CUT", "100 AcDbEllipse", "10 1", "20 2", "30 0", "11 3", "21 1", "31 0", "40 0.5", "41 1.0", "42 4.0"},
		"whole ellipse": {"0 ELLIPSE", "100 AcDbEntity", "8 CUT", "100 AcDbEllipse", "10 1", "20 2", "30 0", "11 3", "21 1", "31 0", "40 0.5", "41 0", "42 6.283185307179586"},
		"spline":        {"0 SPLINE", "100 AcDbEntity", "8 CUT", "100 AcDbSpline", "70 8", "71 3", "72 9", "73 5", "74 0", "40 0", "40 0", "40 0", "40 0", "40 1", "40 2", "40 2", "40 2", "40 2", "10 0", "20 0", "30 0", "10 1", "20 2", "30 0", "10 3", "20 2", "30 0", "10 4", "20 0", "30 0", "10 6", "20 1", "30 0"},
		"with weights":  {"0 SPLINE", "100 AcDbEntity", "8 CUT", "100 AcDbSpline", "70 12", "71 2", "72 6", "73 3", "74 0", "40 0", "40 0", "40 0", "40 1", "40 1", "40 1", "41 1", "41 0.5", "41 1", "10 0", "20 0", "30 0", "10 1", "20 2", "30 0", "10 3", "20 0", "30 0"},
	}
	below := []string{"210 0", "220 0", "230 -1"}
	dir := t.TempDir()
	var names, files []string
	var sources []string
	add := func(name, source string) {
		file := filepath.Join(dir, fmt.Sprintf("%d.dxf", len(files)))
		if err := os.WriteFile(file, []byte(source), 0o666); err != nil {
			t.Fatal(err)
		}
		names, files, sources = append(names, name), append(files, file), append(sources, source)
	}
	body := func(block, entities []string) string {
		all := []string{"0 SECTION", "2 HEADER", "9 $ACADVER", "1 AC1015", "0 ENDSEC"}
		if block != nil {
			all = append(all, "0 SECTION", "2 BLOCKS", "0 BLOCK", "8 0", "2 A", "70 0", "10 0", "20 0", "30 0", "3 A")
			all = append(append(all, block...), "0 ENDBLK", "8 0", "0 ENDSEC")
		}
		return lines(append(append(append(all, "0 SECTION", "2 ENTITIES"), entities...), "0 ENDSEC", "0 EOF")...)
	}
	for name, tags := range curves {
		add(name, body(nil, tags))
		if !strings.Contains(name, "old") { // the plane of an old polyline stands in its head
			add(name+" from below", body(nil, append(tags[:len(tags):len(tags)], below...)))
		}
		add(name+" inserted", body(tags, []string{"0 INSERT", "100 AcDbEntity", "8 0", "100 AcDbBlockReference", "2 A", "10 1", "20 2", "30 0", "41 -2", "42 2", "50 30"}))
	}
	var theirs [][]struct {
		Length float64
		Box    [4]float64
	}
	if err := json.Unmarshal(outside.Run(t, python, append([]string{filepath.Join("testdata", "flatten_ezdxf.py")}, files...)...), &theirs); err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		f, err := Read(strings.NewReader(sources[i]))
		if err != nil || len(f.Entities) != 1 || len(theirs[i]) != 1 {
			t.Errorf("%s: %v, %+v, %+v", name, err, f, theirs[i])
			continue
		}
		e, length := f.Entities[0], 0.0
		points := e.Points
		if e.Closed {
			points = append(points[:len(points):len(points)], points[0])
		}
		for k := 1; k < len(points); k++ {
			length += points[k].Sub(points[k-1]).Len()
		}
		box := geometry.Polygon(points).Bounds()
		off := math.Abs(length/theirs[i][0].Length - 1)
		for k, v := range [4]float64{box.Min.X, box.Min.Y, box.Max.X, box.Max.Y} {
			off = max(off, math.Abs(v-theirs[i][0].Box[k]))
		}
		if !(off < 0.002) {
			t.Errorf("%s: %v long in %v, ezdxf %+v", name, length, box, theirs[i][0])
		}
	}
}

// A curve that can't be followed is counted with what is not read; one that
// comes to more than a file can mean is refused.
func TestOddCurves(t *testing.T) {
	for _, tags := range [][]string{
		{"0 SPLINE", "71 3", "11 0", "21 0", "11 1", "21 1"},
		{"0 SPLINE", "71 1", "40 0", "40 1", "10 0", "20 0", "10 1", "20 1"},
		{"0 SPLINE", "71 1", "40 0", "40 0", "40 1", "40 -1", "10 0", "20 0", "10 1", "20 1"},
	} {
		if f, err := Read(strings.NewReader(entitiesOnly(tags...))); err != nil || f.Skipped["SPLINE"] != 1 {
			t.Errorf("%q: %v, %v", tags, f, err)
		}
	}
	var many []string
	for range 10_000 {
		many = append(many, "0 CIRCLE", "10 0", "20 0", "40 1")
	}
	for _, c := range []struct {
		tags []string
		want string
	}{
		{many, "two million points"},
		{[]string{"0 CIRCLE", "10 1e308", "20 1e308", "40 1.7e308"}, "beyond all numbers"},
		{[]string{"0 CIRCLE", "10 1", "40 1"}, "lacks a coordinate"},
		{[]string{"0 ARC", "10 1", "20 1", "40 1", "210 1", "230 0"}, "tilted"},
		{[]string{"0 SPLINE", "71 1", "40 0", "40 0", "40 1", "40 1", "10 0", "10 1", "20 1"}, "has no y"},
	} {
		if _, err := Read(strings.NewReader(entitiesOnly(c.tags...))); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.60q: %v, want %s", c.tags, err, c.want)
		}
	}
}
