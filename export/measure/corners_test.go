// SPDX-License-Identifier: Apache-2.0

package measure_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/measure"
	"lozenge/export/trace"
	"lozenge/geometry"
)

// arced is an outline with a circular arc of a height over its longest side, or
// all, as many short lines.
func arced(g geometry.Polygon, height float64, all bool, n int) geometry.Polygon {
	var out geometry.Polygon
	long := 0
	for i, s := range g.Sides() {
		if s.B.Sub(s.A).Len() > g.Sides()[long].B.Sub(g.Sides()[long].A).Len() {
			long = i
		}
	}
	for i, a := range g {
		b := g[(i+1)%len(g)]
		out = append(out, a)
		if i != long && !all || height == 0 {
			continue
		}
		// The circle through a, b and the point at that height over their
		// middle: half the chord squared is h (2r - h).
		d := b.Sub(a)
		half := d.Len() / 2
		r := (half*half + height*height) / (2 * height)
		along, up := d.Mul(1/d.Len()), geometry.Point{X: d.Y, Y: -d.X}.Mul(1/d.Len())
		for k := 1; k < n; k++ {
			x := half * (2*float64(k)/float64(n) - 1)
			y := math.Sqrt(r*r-x*x) - (r - height)
			out = append(out, a.Add(along.Mul(x+half)).Add(up.Mul(y)))
		}
	}
	return out
}

// A square or a piece with a side that bends by more than the tolerance is not
// true, and how far it bends is said: by the formula of the circle's segment.
func TestBentSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.OneOf(rapid.Float64Range(0.0165, 0.3), rapid.Float64Range(0, 0.0152)).Draw(t, "height")
		all := rapid.Bool().Draw(t, "all")
		n := 2 * rapid.IntRange(5, 60).Draw(t, "n")
		turn := trace.Rotate(geometry.Angle(rapid.Float64Range(0, 360).Draw(t, "turn")))
		bends := func(r *measure.Report, what string) {
			t.Helper()
			said := strings.Contains(strings.Join(r.Reasons, "\n"), what)
			if bent := height > measure.Tolerance(4); bent != said || bent == (r.Verdict == measure.True) {
				t.Fatalf("%s, %v high: %v %q", what, height, r.Verdict, r.Reasons)
			}
		}
		d := drawing()
		d.Pages[0].Paths[0].Points = arced(box(1, 1, 4, 4), height, all, n)
		r := through(d, turn).Judge(measure.Options{})
		bends(r, "its sides are not straight")
		if r.Square == nil || math.Abs(r.Square.Bent-height) > 0.0006 || math.Abs(r.Square.Width-4) > 1e-9 {
			t.Fatalf("bent by %v, %+v", height, r.Square)
		}
		p := plan(t, nil)
		d, _ = pieces(p)
		i := slices.IndexFunc(d.Pages[0].Paths, func(p measure.Path) bool { return p.Role == measure.Cut })
		d.Pages[0].Paths[i].Points = arced(d.Pages[0].Paths[i].Points, height, false, n)
		bends(through(d, turn).Judge(measure.Options{}), "not straight")
		r = through(d, turn).Judge(measure.Options{Plan: p})
		bends(r, "not straight")
		if r.Pieces[0].Name == "" || math.Abs(r.Pieces[0].Bent-height) > 0.0006 {
			t.Fatalf("bent by %v, %+v", height, r.Pieces[0])
		}
	})
}
