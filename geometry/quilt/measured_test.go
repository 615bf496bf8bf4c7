// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// shown is what shows on a ruler, in inches.
const shown = 1.0/32 + 1e-9

// wide is a strip set that is as wide everywhere.
func wide(stripSet int, w float64) quilt.Reading {
	return quilt.Reading{StripSet: stripSet, Left: w, Middle: w, Right: w}
}

func ways(m *quilt.Measured) string {
	s := ""
	for i, w := range m.Ways {
		mark := ""
		if i == m.Chosen {
			mark = " chosen"
		}
		s += fmt.Sprintf("again %v, %v from %d, height %v%s\n", w.SewAgain, w.Width, w.Governs, w.Finished.Height, mark)
	}
	return s
}

// Two 3 in strips make 5 1/2 in; one-way rows are W - 1/2 apart, so that five of
// them are 6(W - 1/2) high: 30 in as planned. Each side loses half of what is
// too wide; 1/32 in too wide is left, 1/32 in too narrow is as good as planned.
func TestMeasured(t *testing.T) {
	p, err := quilt.New(spec([]float64{3, 3}, 0.25, 60, 40, quilt.OneWay, 4, 5))
	if err != nil || len(p.Fewest.Layouts) != 5 {
		t.Fatalf("%v, %d strip sets", err, len(p.Fewest.Layouts))
	}
	readings := []quilt.Reading{
		wide(5, 5.46875),
		wide(1, 5.5),
		wide(2, 5.4375),
		{StripSet: 3, Left: 5.5, Middle: 5.625, Right: 5.5},
		wide(4, 5.25),
	}
	m, err := p.Measure(readings)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff("again [], 5.25 from 4, height 28.5\n"+
		"again [4], 5.4375 from 2, height 29.625 chosen\n"+
		"again [2 4], 5.5 from 0, height 30\n", ways(m)); d != "" {
		t.Error(d)
	}
	got := ""
	for _, a := range m.Advice {
		got += fmt.Sprintf("%d again=%v near=%v far=%v uneven=%v bowed=%v\n", a.StripSet, a.SewAgain, a.Near, a.Far, a.Unevenly, a.Bowed)
	}
	want := `1 again=false near={0.03125 0.03125} far={0.03125 0.03125} uneven=false bowed=false
2 again=false near={0 0} far={0 0} uneven=false bowed=false
3 again=false near={0.03125 0.09375} far={0.03125 0.09375} uneven=true bowed=false
4 again=true near={0 0} far={0 0} uneven=false bowed=false
5 again=false near={0 0} far={0 0} uneven=false bowed=false
`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if m.Plan.Finished.Height != 29.625 || len(m.Plan.Cloth) != 0 || len(m.Plan.Cutting) != 0 || m.Plan.Backing.Height >= p.Backing.Height {
		t.Errorf("%v, backing %v of %v, cloth %v", m.Plan.Finished, m.Plan.Backing, p.Backing, m.Plan.Cloth)
	}
	// Six inches less two seams taken: (5.5 + 5.4375 + 5.541666 + 5.25 + 5.46875)/5 = 5.439583.
	if math.Abs(m.SeamTaken-(6-5.4395833)/2) > 1e-6 || !m.SeamOff {
		t.Errorf("seam taken %v", m.SeamTaken)
	}

	for name, c := range map[string]struct {
		readings []quilt.Reading
		want     string
	}{
		"the first two": {readings[1:3], "again [], 5.4375 from 2, height 29.625 chosen\nagain [2], 5.5 from 0, height 30\n"},
		"as planned":    {[]quilt.Reading{wide(1, 5.5), wide(2, 5.46875), wide(3, 5.53125)}, "again [], 5.5 from 0, height 30 chosen\n"},
		"all narrow":    {[]quilt.Reading{wide(1, 5.375), wide(2, 5.375)}, "again [], 5.375 from 1, height 29.25 chosen\nagain [1 2], 5.5 from 0, height 30\n"},
		// Six diamonds of 5 9/16 in would be 41.77 in long, and five still fit in 40 in.
		"all wide": {[]quilt.Reading{wide(1, 5.5625), wide(2, 5.5625)}, "again [], 5.5625 from 1, height 30.375 chosen\nagain [], 5.5 from 0, height 30\n"},
	} {
		m, err := p.Measure(c.readings)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(c.want, ways(m)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	if m, _ := p.Measure(readings[1:3]); !slices.Equal(m.Missing, []int{3, 4, 5}) {
		t.Errorf("missing %v", m.Missing)
	}
}

// The seam of two 3 in strips belongs to the middle of what is left after
// trimming, to 1/32 in. 27/32 in past the 2 in mark it lies 3/32 in off, so that
// 1/16 in more comes off one side than would off both: 5 3/8 in are left, the
// seam 2 27/32 - 1/8 = 2 23/32 in from one edge and 2 21/32 in from the other.
func TestMeasuredSeam(t *testing.T) {
	for _, c := range []struct {
		cuts      []float64
		seam      float64
		width     float64
		near, far quilt.Trim
	}{
		{[]float64{3, 3}, 2.84375, 5.375, quilt.Trim{Least: 0.125, Most: 0.125}, quilt.Trim{}},
		{[]float64{3, 3}, 2.65625, 5.375, quilt.Trim{}, quilt.Trim{Least: 0.125, Most: 0.125}},
		{[]float64{3, 3}, 2.75, 5.5, quilt.Trim{}, quilt.Trim{}},
		{[]float64{3.5, 2.5}, 3.25, 5.5, quilt.Trim{}, quilt.Trim{}},
		{[]float64{3.5, 2.5}, 3.34375, 5.375, quilt.Trim{Least: 0.125, Most: 0.125}, quilt.Trim{}},
	} {
		p, err := quilt.New(spec(c.cuts, 0.25, 60, 40, quilt.OneWay, 4, 5))
		if err != nil {
			t.Fatal(err)
		}
		r := wide(1, 5.5)
		r.Seam = c.seam
		m, err := p.Measure([]quilt.Reading{r, wide(2, 5.5)})
		if err != nil {
			t.Fatal(err)
		}
		if a := m.Advice[0]; math.Abs(m.Ways[0].Width-c.width) > 1e-12 || a.Near != c.near || a.Far != c.far {
			t.Errorf("%v, seam %v: %v, near %v, far %v", c.cuts, c.seam, m.Ways[0].Width, a.Near, a.Far)
		}
	}
}

// An arc whose middle lies b beside its chord L turns by 4 atan(2b/L) in all
// (plane geometry), by half of it from its middle to an end: 1/8 in over five
// diamonds of 5 1/2 in, 37.5 in with their points, by 0.0133, which 5 1/2 in away is 0.073 in;
// 1/16 in by half as much. 1/16 in shows on a ruler.
func TestBowed(t *testing.T) {
	p, err := quilt.New(spec([]float64{3, 3}, 0.25, 60, 40, quilt.OneWay, 4, 5))
	if err != nil {
		t.Fatal(err)
	}
	for bow, want := range map[float64]bool{0: false, 1.0 / 16: false, 1.0 / 8: true, 1: true} {
		r := wide(1, 5.5)
		r.Bow = bow
		m, err := p.Measure([]quilt.Reading{r})
		if err != nil {
			t.Fatal(err)
		}
		turn := 2 * math.Atan(2*bow/p.Set.Uses(p.Fewest.Layouts[0]))
		if a := m.Advice[0]; a.Bowed != want || want != (turn*5.5 > 1.0/16) || a.Unevenly || m.Plan.Set.Width != 5.5 {
			t.Errorf("bow %v: %+v, the ends turn by %v", bow, a, turn)
		}
	}
}

func TestReadingsThatCantBe(t *testing.T) {
	two, err := quilt.New(spec([]float64{3, 3}, 0.25, 60, 40, quilt.OneWay, 4, 5))
	if err != nil {
		t.Fatal(err)
	}
	three, err := quilt.New(spec([]float64{2, 3, 2}, 0.25, 60, 40, quilt.OneWay, 4, 5))
	if err != nil {
		t.Fatal(err)
	}
	one, err := quilt.New(spec([]float64{3}, 0.25, 60, 40, quilt.OneWay, 4, 5))
	if err != nil {
		t.Fatal(err)
	}
	seam := func(r quilt.Reading, seam float64) quilt.Reading { r.Seam = seam; return r }
	bow := func(r quilt.Reading, bow float64) quilt.Reading { r.Bow = bow; return r }
	for _, c := range []struct {
		plan     *quilt.Plan
		readings []quilt.Reading
		field    string
	}{
		{two, nil, "strip_set"},
		{one, []quilt.Reading{wide(1, 3)}, "strip_set"},
		{two, []quilt.Reading{{StripSet: 1, Left: 5.76, Middle: 5.5, Right: 5.5}}, "strip_set 1"},
		{two, []quilt.Reading{wide(1, 5.5), wide(2, 5.5), wide(2, 5.5)}, "strip_set 2"},
		{two, []quilt.Reading{wide(6, 5.5)}, "strip_set 6"},
		{two, []quilt.Reading{{StripSet: 3, Left: 5.5, Middle: 0.5, Right: 5.5}}, "strip_set 3"},
		{two, []quilt.Reading{wide(1, math.NaN())}, "strip_set 1"},
		{two, []quilt.Reading{seam(wide(1, 5.5), 0.25)}, "strip_set 1"},
		{two, []quilt.Reading{seam(wide(1, 5.5), 5.25)}, "strip_set 1"},
		{two, []quilt.Reading{seam(wide(1, 5.5), math.NaN())}, "strip_set 1"},
		{two, []quilt.Reading{seam(quilt.Reading{StripSet: 1, Left: 1, Middle: 5.5, Right: 5.5}, 1)}, "strip_set 1"}, // nothing is left
		{three, []quilt.Reading{seam(wide(1, 6), 1.75)}, "strip_set 1"},
		{two, []quilt.Reading{bow(wide(1, 5.5), 5.5)}, "strip_set 1"},
		{two, []quilt.Reading{bow(wide(1, 5.5), -0.125)}, "strip_set 1"},
		{two, []quilt.Reading{bow(wide(1, 5.5), math.NaN())}, "strip_set 1"},
	} {
		m, err := c.plan.Measure(c.readings)
		var wrong *geometry.Error
		if !errors.As(err, &wrong) || wrong.Field != c.field || m != nil {
			t.Errorf("%v: %v, want %s", c.readings, err, c.field)
		}
	}
}

// Properties of any plan and any readings near what it says: what is sewn keeps
// its cuts, colours and pieces, and its length suffices; trimmed strip sets are
// as wide as the way says, their seams where they belong, both to 1/32 in; more
// sewn again never makes the quilt smaller; the last way keeps its size.
func TestMeasuredLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		p := mustPlan(t, s)
		n := len(p.Fewest.Layouts)
		if len(s.Strips) < 2 || n == 0 {
			return
		}
		readings := drawReadings(t, p)
		m, err := p.Measure(readings)
		if err != nil {
			var wrong *geometry.Error
			if !errors.As(err, &wrong) {
				t.Fatal(err)
			}
			return
		}
		q, way := m.Plan, m.Ways[m.Chosen]
		if q.Set.Width != way.Width || q.Finished != way.Finished || len(q.Cloth) > 0 {
			t.Fatalf("%v, %v, not %+v", q.Set.Width, q.Finished, way)
		}
		if d := cmp.Diff(p.Pieces, q.Pieces) + cmp.Diff(p.Fewest, q.Fewest); d != "" {
			t.Fatal(d)
		}
		for k, l := range q.Fewest.Layouts {
			if !slices.Equal(p.Colours(k), q.Colours(k)) || !geometry.Fits(q.Set.Uses(l), p.Yield.Length) {
				t.Fatalf("strip set %d: uses %v of %v", k+1, q.Set.Uses(l), p.Yield.Length)
			}
		}
		if last := m.Ways[len(m.Ways)-1]; last.Finished != p.Finished || m.Planned != p.Finished {
			t.Fatalf("%+v", last)
		}
		for i, w := range m.Ways[1:] {
			if before := m.Ways[i]; len(w.SewAgain) < len(before.SewAgain) || len(w.SewAgain) > len(before.SewAgain) && w.Width < before.Width-shown {
				t.Fatalf("%+v after %+v", w, before)
			}
		}
		if len(m.Advice) != len(readings) || len(m.Missing) != n-len(readings) {
			t.Fatalf("%d, %d missing of %d", len(m.Advice), len(m.Missing), n)
		}
		for _, a := range m.Advice {
			if !a.SewAgain {
				checkTrims(t, a, q.Set)
			}
		}
	})
}

// drawReadings draws readings of some or all of the plan's strip sets.
func drawReadings(t *rapid.T, p *quilt.Plan) (readings []quilt.Reading) {
	s := p.Spec
	for k := range rapid.IntRange(1, len(p.Fewest.Layouts)).Draw(t, "measured") {
		sixteenths := rapid.Float64Range(-4, 2)
		width := func(name string) float64 {
			return max(p.Set.Width+min(sixteenths.Draw(t, name)/16, s.Seam), 2.1*s.Seam)
		}
		r := quilt.Reading{StripSet: k + 1, Left: width("left"), Middle: width("middle"), Right: width("right")}
		if len(s.Strips) == 2 && rapid.Bool().Draw(t, "seam") {
			r.Seam = (s.Strips[0].Cut-s.Strips[1].Cut+r.Middle)/2 + sixteenths.Draw(t, "off")/32
		}
		readings = append(readings, r)
	}
	return readings
}

// checkTrims trims a strip set as it is told and looks at what is left.
func checkTrims(t *rapid.T, a quilt.Advice, set strip.Set) {
	least, most := min(a.Left, a.Middle, a.Right), max(a.Left, a.Middle, a.Right)
	if left := least - a.Near.Least - a.Far.Least; math.Abs(left-set.Width) > shown || a.Near.Least < 0 || a.Far.Least < 0 {
		t.Fatalf("%+v leaves %v of %v", a, left, set.Width)
	}
	if left := most - a.Near.Most - a.Far.Most; math.Abs(left-set.Width) > shown {
		t.Fatalf("%+v leaves %v of %v", a, left, set.Width)
	}
	if a.Seam == 0 {
		return
	}
	// It lies as far off at the narrowest place as where it was measured; what
	// is left may be 1/32 in too narrow, and the seam as much off.
	seam := a.Seam - (a.Middle-least)/2 - a.Near.Least
	if off := seam - set.Seams[0]; math.Abs(off) > 2*shown {
		t.Fatalf("%+v: its seam comes to lie %v off", a, off)
	}
}
