// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"math"
	"strings"
	"testing"

	"lozenge/export/frames"
	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// Strips are cut off the squared end in the order of the strip set, each line
// its width from the one before, through all slides; as many as the plan says
// to cut.
func TestStripsAreAsWideAsTheyAreCut(t *testing.T) {
	p := planOf(t, func(s *quilt.Spec) {
		s.Columns, s.Rows = 12, 16
		s.Strips = []quilt.Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 1.75, Fabric: "sand"}, {Cut: 3.25, Fabric: "tide"}}
	})
	m, _ := home.calibrate(t)
	all, err := frames.Strips(p, m, 0)
	if err != nil {
		t.Fatal(err)
	}
	sets := len(p.Fewest.Layouts)
	want := map[string][]float64{}
	for range sets {
		want["sand"] = append(want["sand"], 1.75)
	}
	for _, w := range []float64{2.5, 3.25} {
		for range sets {
			want["tide"] = append(want["tide"], w)
		}
	}
	for _, c := range p.Cloth {
		if c.Strips != len(want[c.Key]) {
			t.Errorf("the plan has %d strips of %s, not %d", c.Strips, c.Key, len(want[c.Key]))
		}
	}
	x := map[string]map[int]float64{"tide": {}, "sand": {}} // of each cut, along the cloth
	slid := 0.0
	for i := range all {
		f := &all[i]
		if f.Slide == 0 {
			slid = 0
		}
		slid += f.Slide
		name := strings.Fields(strings.TrimPrefix(f.Covers, "Frame "))[0]
		name = strings.Trim(name, ",")
		fold := math.Inf(1)
		for _, path := range read(t, f, m).group(t, "cut").Paths {
			pts := points(t, path.D)
			var land []geometry.Point
			for _, px := range []geometry.Point{pts[0], pts[len(pts)-1]} {
				lx, ly := home.land(px.X, px.Y)
				land = append(land, geometry.Point{X: lx, Y: ly})
			}
			if math.Abs(land[0].X-land[1].X) > exact {
				t.Errorf("%s: cut %d is not square to the fold", f.Name, path.Number)
			}
			// 40 in of fabric folded twice, and past the selvages.
			if h := land[1].Y - land[0].Y; math.Abs(h-11) > exact {
				t.Errorf("%s: cut %d is %v long", f.Name, path.Number, h)
			}
			if _, again := x[name][path.Number]; again {
				t.Errorf("%s: cut %d a second time", f.Name, path.Number)
			}
			x[name][path.Number] = land[0].X + slid
			fold = min(fold, land[0].Y)
		}
		rims := 0
		for _, l := range f.Lines {
			if l.Role == frames.Mark && math.Abs(l.A.Y-fold) <= exact && l.A.Y == l.B.Y {
				rims++
			}
		}
		if rims != 1 {
			t.Errorf("%s: %d lines where the fold lies", f.Name, rims)
		}
	}
	for name, widths := range want {
		if len(x[name]) != len(widths)+1 {
			t.Errorf("%s: %d cuts for %d strips", name, len(x[name]), len(widths))
		}
		for i, w := range widths {
			if got := x[name][i+2] - x[name][i+1]; math.Abs(got-w) > exact {
				t.Errorf("%s: strip %d is %v wide, not %v", name, i+1, got, w)
			}
		}
	}
}

// A fat quarter gives strips over 18 in: 7 of 2 1/2 in. What is left over
// comes from the last one.
func TestStripsFromFatQuarters(t *testing.T) {
	p := planOf(t, func(s *quilt.Spec) {
		s.Columns, s.Rows = 12, 16
		s.Strips[0].Cut, s.Strips[1].Cut = 2.5, 2.5
		s.Fabrics[0].From, s.Fabrics[0].StripLength = quilt.FatQuarters, 21
		s.Fabrics[1].From = quilt.Precut
	})
	m, _ := home.calibrate(t)
	all, err := frames.Strips(p, m, 0)
	if err != nil {
		t.Fatal(err)
	}
	n := p.Cloth[0].Strips
	if n%7 == 0 || n < 15 {
		t.Fatalf("%d strips do not show what is looked for", n)
	}
	if len(all) != 2 || len(all[0].ToCut) != 8 || len(all[1].ToCut) != n%7+1 {
		t.Errorf("%d frames: %v", len(all), all)
	}
	if fabric.FatQuarterWidth(geometry.Inch) != 18 || !strings.Contains(all[0].Covers, "7 strips cut 2 1/2 in wide from each of") {
		t.Errorf("%s", all[0].Covers)
	}
	for i := range all {
		if strings.Contains(all[i].Covers, "sand") {
			t.Errorf("%s is for strips that are bought", all[i].Covers)
		}
	}
}
