// SPDX-License-Identifier: Apache-2.0

package sewing_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// A drawn quilt is what the judge sees of a plan and its sewing.
type drawn struct {
	Angle     float64         `json:"angle"`
	Seam      float64         `json:"seam"`
	Rows      int             `json:"rows"`
	Unit      float64         `json:"unit"`
	Widths    []int           `json:"widths"` // of the strips, finished, in units
	Layout    []string        `json:"layout"` // as it was drawn, the top row first
	Frame     [2]float64      `json:"frame"`
	Need      [][3]any        `json:"need"`   // lean, shape, number
	Course    [3]int          `json:"course"` // bands, rings, islands
	Breaks    []int           `json:"breaks"`
	Kinds     []drawnKind     `json:"kinds"`
	Pieces    [][5]float64    `json:"pieces"` // kind, where its diamond's middle lies, column, row
	Order     []int           `json:"order"`  // pieces, row after row
	Seams     [][3]int        `json:"seams"`  // pieces, kind
	SeamKinds []drawnSeamKind `json:"seam_kinds"`
}

type drawnKind struct {
	Finished [][2]float64   `json:"finished"`
	Raw      [][2]float64   `json:"raw"`
	Patches  [][][2]float64 `json:"patches"`
}

type drawnSeamKind struct {
	Grain [2]float64 `json:"grain"`
	Under int        `json:"under"`
}

func corners(g geometry.Polygon) [][2]float64 {
	out := [][2]float64{}
	for _, p := range g {
		out = append(out, [2]float64{p.X, p.Y})
	}
	return out
}

// draw shows a plan to the judge.
func draw(p *quilt.Plan, rows []string, widths []int, unit float64) drawn {
	c := p.Course()
	out := drawn{Angle: float64(p.Set.Angle), Seam: p.Set.Seam, Rows: p.Rows, Unit: unit, Widths: widths, Layout: rows,
		Frame: [2]float64{p.Finished.Width, p.Finished.Height}, Course: [3]int{c.Bands, c.Rings, c.Islands}, Breaks: append([]int{}, c.Breaks...)}
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			out.Need = append(out.Need, [3]any{lean.String(), shape.String(), p.Need[lean][shape]})
		}
	}
	o := sewing.New(p)
	for _, k := range o.Kinds {
		one := drawnKind{Finished: corners(k.Finished), Raw: corners(k.Raw)}
		for _, g := range k.Patches {
			one.Patches = append(one.Patches, corners(g))
		}
		out.Kinds = append(out.Kinds, one)
	}
	for i, pc := range o.Pieces {
		at := p.Centre(pc.Placement)
		out.Pieces = append(out.Pieces, [5]float64{float64(pc.Kind), at.X, at.Y, float64(pc.Column), float64(pc.Row)})
		if r := o.Rows[pc.In]; i >= r.First && i < r.First+r.Number {
			out.Order = append(out.Order, i)
		}
	}
	for _, s := range o.Seams {
		out.Seams = append(out.Seams, [3]int{s.Pieces[0], s.Pieces[1], s.Kind})
	}
	for _, k := range o.SeamKinds {
		out.SeamKinds = append(out.SeamKinds, drawnSeamKind{[2]float64{k.Edges[0].Grain, k.Edges[1].Grain}, k.Under})
	}
	return out
}

// All laws hold over the settings, the layouts to begin with and random ones, of up to
// 40 by 40 cells: pieces tile the quilt, raw ends of edges sewn together coincide, need
// is the cells', grain and what lies underneath are those of each piece's own edges,
// each piece and each seam is sewn once, bands, rings, islands and breaks are counted right.
// Judged by GEOS (shapely), in whole numbers. LOZENGE_LAYOUTS=1000 draws as many.
func TestLayoutsAsGEOSFindsThem(t *testing.T) {
	python := outside.Python(t, "shapely")
	number, most := outside.Of(4, 200), outside.Of(12, 40)
	if n, err := strconv.Atoi(os.Getenv("LOZENGE_LAYOUTS")); err == nil {
		number, most = n, 40
	}
	r := rand.New(rand.NewPCG(22, 4))
	repeats := [][]string{{"L", "R"}, {"l", "R"}, {"R"}}
	for _, n := range quilt.NamedLayouts() {
		repeats = append(repeats, n.Of(9, 12).Rows())
	}
	named := len(repeats)
	for range number {
		repeats = append(repeats, randomRepeat(r, 1+r.IntN(most), 1+r.IntN(most)))
	}
	var in bytes.Buffer
	var names []string
	pieces := 0
	for i, rows := range repeats {
		l, err := quilt.NewLayout(rows)
		if err != nil {
			t.Fatal(err)
		}
		const unit, seam = 0.25, 0.25
		s := quilt.Spec{Angle: []geometry.Angle{60, 45, 75, 60, 30, 90}[i%6], Seam: seam, UsableWidth: 40, Layout: l, Columns: 9, Rows: 12}
		var widths []int
		for range 1 + (i+1)%4 {
			w := 2 + r.IntN(9)
			widths = append(widths, w)
			s.Strips = append(s.Strips, quilt.Strip{Cut: float64(w)*unit + 2*seam, Fabric: "a"})
		}
		if i >= named {
			s.Columns, s.Rows = 1+r.IntN(most), 1+r.IntN(most)
		}
		p := mustPlan(t, s)
		names = append(names, fmt.Sprintf("%d columns, %d rows of %s at %v degrees, strips %v", p.Columns, p.Rows, strings.Join(rows, " "), s.Angle, widths))
		pieces += len(p.Pieces)
		if err := json.NewEncoder(&in).Encode(draw(p, rows, widths, unit)); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(python, "testdata/layouts.py")
	cmd.Stdin = &in
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	said, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, stderr.String())
	}
	lines := bytes.Split(bytes.TrimSpace(said), []byte("\n"))
	if len(lines) != len(names) {
		t.Fatalf("%d answers for %d quilts", len(lines), len(names))
	}
	for i, line := range lines {
		var wrong []string
		if err := json.Unmarshal(line, &wrong); err != nil {
			t.Fatal(err)
		}
		if len(wrong) > 0 {
			t.Errorf("%s: %s", names[i], wrong)
		}
	}
	t.Logf("%d layouts, %d of them random, %d pieces", len(names), number, pieces)
}

// randomRepeat draws the rows of a repeat.
func randomRepeat(r *rand.Rand, columns, rows int) (out []string) {
	for range rows {
		line := make([]byte, columns)
		for i := range line {
			line[i] = "RLrl"[r.IntN(4)]
		}
		out = append(out, string(line))
	}
	return out
}
