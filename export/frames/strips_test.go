// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/draw"
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
		for _, p := range f.Paths {
			if a, b := p.Points[0], p.Points[1]; p.Role == draw.Mark && math.Abs(a.Y-fold) <= exact && a.Y == b.Y {
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

// covered adds up the strips that the titles of the frames tell, by fabric,
// and the whole pieces that they are cut from.
func covered(t *testing.T, all []frames.Frame) (strips, pieces map[string]int) {
	t.Helper()
	strips, pieces = map[string]int{}, map[string]int{}
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	seen := map[string]bool{}
	for _, f := range all {
		_, title, _ := strings.Cut(f.Covers, ": ")
		if title == "" || seen[f.Covers[strings.Index(f.Covers, ","):]] {
			continue
		}
		seen[f.Covers[strings.Index(f.Covers, ","):]] = true
		times := 1
		if m := regexp.MustCompile(`in each of (\d+) colours`).FindStringSubmatch(title); m != nil {
			times = number(m[1])
		} else if m := regexp.MustCompile(`in each of (.+?)( from each of|$|[:;.])`).FindStringSubmatch(title); m != nil {
			times = len(regexp.MustCompile(`, | and `).Split(m[1], -1))
		}
		if m := regexp.MustCompile(`from each of (\d+) fat quarters`).FindStringSubmatch(title); m != nil {
			times *= number(m[1])
		}
		name, _, _ := strings.Cut(f.Covers, ",")
		pieces[name] += times
		for _, m := range regexp.MustCompile(`(\d+) strips? cut`).FindAllStringSubmatch(title, -1) {
			strips[name] += times * number(m[1])
		}
	}
	return strips, pieces
}

// As many strips are cut as the plan says: in the order of bands, in which
// colours are not sewn in turn, and of two widths that share fat quarters, out
// of no more of those than are bought.
func TestStripsAreThoseOfThePlan(t *testing.T) {
	m, _ := home.calibrate(t)
	for name, change := range map[string]func(*quilt.Spec){
		"bands": func(s *quilt.Spec) {
			s.ColourOrder, s.Columns, s.Rows = quilt.Bands, 7, 10
			s.Fabrics[0].Colours = make([]quilt.Colour, 3)
		},
		"gradient": func(s *quilt.Spec) {
			s.Columns, s.Rows = 7, 10
			s.Fabrics[0].Colours, s.Fabrics[1].Colours = make([]quilt.Colour, 5), make([]quilt.Colour, 3)
		},
		"fat quarters": func(s *quilt.Spec) {
			s.Strips = []quilt.Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 6.5, Fabric: "tide"}}
			s.Fabrics[0].From, s.Fabrics[0].StripLength = quilt.FatQuarters, 21
		},
	} {
		p := planOf(t, change)
		all, err := frames.Strips(p, m, 0)
		if err != nil {
			t.Fatal(err)
		}
		strips, pieces := covered(t, all)
		for _, c := range p.Cloth {
			if strips[c.Key] != c.Strips || c.From == quilt.FatQuarters && float64(pieces[c.Key]) != c.Buy {
				t.Errorf("%s: %d strips of %s from %d pieces, the plan has %d and buys %v", name, strips[c.Key], c.Key, pieces[c.Key], c.Strips, c.Buy)
			}
		}
	}
}
