// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lozenge/export/outside"
	"lozenge/geometry"
)

// BenchmarkOffsetAgainstGEOS makes the cut outlines of 2,000 pieces, no two of one
// size, from their finished outlines, and has GEOS do it: to move an outline
// out by the seam allowance with mitred corners, and to cut off what lies
// outside the strip set. GEOS is called through shapely, and what Python takes
// for that is taken off. Every outline is the same, to 1e-9 in. Besides, ours
// tells of each edge what it is and how it lies to the grain.
func BenchmarkOffsetAgainstGEOS(b *testing.B) {
	python := outside.Python(b, "shapely")
	rnd := rand.New(rand.NewPCG(60, 4))
	type piece struct {
		cutting geometry.Cutting
		shape   geometry.Shape
	}
	type outline struct {
		Points    [][2]float64
		By, Width float64
	}
	pieces := make([]piece, 2000)
	var given []outline
	for i := range pieces {
		p := piece{geometry.Cutting{
			Width: 1.5 + 6*rnd.Float64(),
			Seam:  0.125 + 0.25*rnd.Float64(),
			Angle: geometry.Angle(20 + 69*rnd.Float64()),
			Tips:  geometry.Sharp,
		}, geometry.Shapes[i%len(geometry.Shapes)]}
		pieces[i] = p
		o := outline{By: p.cutting.Seam, Width: p.cutting.Width}
		for _, v := range p.cutting.Piece(p.shape, geometry.Right).Finished {
			o.Points = append(o.Points, [2]float64{v.X, v.Y})
		}
		given = append(given, o)
	}
	data, err := json.Marshal(given)
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "outlines.json")
	if err := os.WriteFile(file, data, 0o644); err != nil {
		b.Fatal(err)
	}
	ours := make([]geometry.Piece, len(pieces))
	var said struct {
		Seconds  float64
		Outlines [][][2]float64
	}
	var race outside.Race
	for b.Loop() {
		our := outside.Timed(20, func() {
			for i, p := range pieces {
				ours[i] = p.cutting.Piece(p.shape, geometry.Right)
			}
		})
		said.Outlines = nil
		if err := json.Unmarshal(outside.Run(b, python, filepath.Join("testdata", "compare_geos.py"), "offset", file), &said); err != nil {
			b.Fatal(err)
		}
		race.Round(our, time.Duration(said.Seconds*float64(time.Second)))
	}
	race.Report(b)
	// GEOS may leave points on an edge that it cut along.
	worst := 0.0
	for i, p := range ours {
		var theirs geometry.Polygon
		for _, w := range said.Outlines[i] {
			theirs = append(theirs, geometry.Point{X: w[0], Y: w[1]})
		}
		for _, v := range p.Outline {
			worst = max(worst, fromOutline(theirs, v))
		}
		for _, v := range theirs {
			worst = max(worst, fromOutline(p.Outline, v))
		}
	}
	b.ReportMetric(worst*1e9, "nin-apart")
	if worst > 1e-9 {
		b.Errorf("outlines lie up to %v apart", worst)
	}
}

// fromOutline returns how far a point lies from the edges of an outline.
func fromOutline(g geometry.Polygon, at geometry.Point) float64 {
	least := math.Inf(1)
	for i, p := range g {
		d := g[(i+1)%len(g)].Sub(p)
		along := 0.0
		if l := d.Dot(d); l > 0 {
			along = min(max(at.Sub(p).Dot(d)/l, 0), 1)
		}
		least = min(least, at.Sub(p.Add(d.Mul(along))).Len())
	}
	return least
}
