// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// BenchmarkUnionAgainstGEOS takes the outlines of about 2,000 diamonds that
// share their edges on a sheet to cut lines that run nowhere twice, and has
// GEOS do it (unary_union of the outlines as lines, through shapely). Both
// leave the same length of cuts. Ours also joins what lies on one line, and
// tells which cuts free a piece; that Lines then puts the cuts in order is a
// metric of its own. Lengths are in sixteenths, and GEOS gets corners to
// 1e-9 in, for it takes what differs in the last bit for two lines.
func BenchmarkUnionAgainstGEOS(b *testing.B) {
	python := outside.Python(b, "shapely")
	set, err := strip.New([]float64{1.5}, 0.25, 60, geometry.Sharp, 0)
	if err != nil {
		b.Fatal(err)
	}
	sheets, err := Pieces(set, strip.Count{{2000, 0, 0}}, []Bed{{Width: 90, Height: 75}})
	if err != nil {
		b.Fatal(err)
	}
	s := sheets[0]
	type outline struct{ Points [][2]float64 }
	var given []outline
	var edges []edge
	for i, r := range s.Rows {
		for k := range r.Pieces {
			p := r.Piece(k)
			var o outline
			for j, e := range p.Edges {
				v := p.Outline[j]
				o.Points = append(o.Points, [2]float64{math.Round(v.X*1e9) / 1e9, math.Round(v.Y*1e9) / 1e9})
				edges = append(edges, edge{geometry.Segment{A: v, B: p.Outline[(j+1)%len(p.Outline)]}, i, e.Kind == geometry.TipTrim})
			}
			given = append(given, o)
		}
	}
	data, err := json.Marshal(given)
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "outlines.json")
	if err := os.WriteFile(file, data, 0o644); err != nil {
		b.Fatal(err)
	}
	var lines []Line
	var said struct{ Seconds, Length float64 }
	var race outside.Race
	var ordered []float64
	for b.Loop() {
		our := outside.Timed(5, func() { lines = union(edges, len(s.Rows)) })
		ordered = append(ordered, outside.Timed(1, func() { s.Lines() }).Seconds())
		if err := json.Unmarshal(outside.Run(b, python, filepath.Join("..", "testdata", "compare_geos.py"), "union", file), &said); err != nil {
			b.Fatal(err)
		}
		race.Round(our, time.Duration(said.Seconds*float64(time.Second)))
	}
	race.Report(b)
	length := 0.0
	for _, l := range lines {
		length += l.B.Sub(l.A).Len()
	}
	b.ReportMetric(float64(len(given)), "pieces")
	b.ReportMetric(float64(len(lines)), "lines")
	b.ReportMetric(outside.Median(ordered).Seconds()*1e3, "ms-with-order")
	if math.Abs(length-said.Length) > 1e-6 {
		b.Errorf("%v in of cuts, GEOS has %v", length, said.Length)
	}
}
