// SPDX-License-Identifier: Apache-2.0

package measure_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

// Squares side by side, each side a line of its own that two of them share, with
// lines that end at nothing: each is found, and what a program rounds to three
// decimals still meets.
func TestLooseLinesBecomeOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(1, 5).Draw(t, "columns"), rapid.IntRange(1, 5).Draw(t, "rows")
		m := trace.Rotate(geometry.Angle(rapid.Float64Range(0, 360).Draw(t, "turn")))
		rounded := func(p geometry.Point) geometry.Point {
			p = m.Apply(p)
			return geometry.Point{X: math.Round(p.X*1000) / 1000, Y: math.Round(p.Y*1000) / 1000}
		}
		var paths []measure.Path
		line := func(x1, y1, x2, y2 float64) {
			g := []geometry.Point{rounded(geometry.Point{X: x1, Y: y1}), rounded(geometry.Point{X: x2, Y: y2})}
			if rapid.Bool().Draw(t, "turned") {
				g[0], g[1] = g[1], g[0]
			}
			paths = append(paths, measure.Path{Points: g})
		}
		for i := range columns + 1 {
			for j := range rows + 1 {
				x, y := 2*float64(i), 2*float64(j)
				if i < columns {
					line(x, y, x+2, y)
				}
				if j < rows {
					line(x, y, x, y+2)
				}
			}
		}
		n := rapid.IntRange(0, 3).Draw(t, "loose ends")
		for i := range n {
			line(0, 0, -1-float64(i), -2)
		}
		paths = rapid.Permutation(paths).Draw(t, "order")
		paths = append(paths, measure.Path{Points: box(20, 20, 4, 4), Closed: true})
		d := &measure.Drawing{Format: measure.DXF, Unit: measure.Inch, Pages: []measure.Page{{Paths: paths}}}
		r := d.Judge(measure.Options{})
		if r.Closed != columns*rows || r.Open != n || r.Verdict != measure.True {
			t.Fatalf("%d of %d closed, %d of %d open, %v %q", r.Closed, columns*rows, r.Open, n, r.Verdict, r.Reasons)
		}
	})
}

// A hundred thousand lines that meet in one place take no longer than others.
func TestManyLinesMeet(t *testing.T) {
	var paths []measure.Path
	const n = 33_000
	at := func(i int) geometry.Point {
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / n)
		return geometry.Point{X: 1000 * c, Y: 1000 * s}
	}
	for i := range n {
		paths = append(paths, measure.Path{Points: []geometry.Point{{}, at(i)}}, measure.Path{Points: []geometry.Point{at(i), at(i + 1)}})
	}
	d := &measure.Drawing{Format: measure.DXF, Unit: measure.Inch, Pages: []measure.Page{{Paths: paths}}}
	if r := d.Judge(measure.Options{}); r.Closed != n {
		t.Errorf("%d closed", r.Closed)
	}
}
