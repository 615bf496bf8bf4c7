// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// A lesson on quilt sizes gives mattresses with a drop of 12 in on both sides and
// at the foot: twin 63 by 87, full 78 by 87, queen 84 by 92, king 100 by 92
// (https://fr.slideserve.com/megan/can-you-f-igure-the-amount-of-yardage-to-buy-powerpoint-ppt-presentation).
// A crib quilt has no drop: 36 by 52 to 45 by 60 is usual (common practice, no
// source); a throw of 54 by 72 is that of
// http://www.thequiltermag.com/quiltingbasics/index.shtml.
func TestNamedSizes(t *testing.T) {
	for name, want := range map[string]quilt.Size{
		"twin": {63, 87}, "full": {78, 87}, "queen": {84, 92}, "king": {100, 92},
		"baby": {30, 40}, "crib": {36, 52}, "lap": {54, 72}, "throw": {54, 72},
	} {
		got, ok := quilt.NamedSize(name, quilt.DropInches, geometry.Inch)
		if !ok || got.Cover != want || got.Name != name || (got.Mattress == nil) != (want.Width < 60) {
			t.Errorf("%s: %+v, want %v", name, got, want)
		}
		// 1 in is 2.54 cm.
		cm, _ := quilt.NamedSize(name, quilt.DropInches*2.54, geometry.Centimetre)
		if math.Abs(cm.Cover.Width-want.Width*2.54) > 1e-9 || math.Abs(cm.Cover.Height-want.Height*2.54) > 1e-9 {
			t.Errorf("%s in cm: %+v", name, cm.Cover)
		}
	}
	if len(quilt.SizeNames()) != 8 {
		t.Error(quilt.SizeNames())
	}
	if _, ok := quilt.NamedSize("emperor", 12, geometry.Inch); ok {
		t.Error("a size that is not known")
	}
}

// Published sizes of quilts (width by height, inches), each within the range of its
// name:
//   - "Common Quilt and Batting Sizes", http://www.honeybegood.com/blogs/resources/12653533-common-quilt-and-batting-sizes
//   - The Quilter, http://www.thequiltermag.com/quiltingbasics/index.shtml
//   - a lesson (slideserve, above), and http://ciaspalette.com/categories/mattresses.html (lap about 50 by 65)
//   - a book quoted in http://quiltsandtreasures.com/quilting_information.htm
//   - crib 36 by 52 to 45 by 60: common practice, no source
func TestPublishedSizes(t *testing.T) {
	for name, all := range map[string][]quilt.Size{
		"baby":  {{36, 54}, {30, 40}},
		"crib":  {{39, 54}, {36, 54}, {36, 52}, {45, 60}},
		"lap":   {{54, 72}, {50, 65}},
		"throw": {{54, 72}, {50, 65}},
		"twin":  {{65, 88}, {68, 86}, {63, 87}, {64, 81}, {75, 93}},
		"full":  {{80, 88}, {86, 86}, {78, 87}, {81, 81}, {90, 90}},
		"queen": {{86, 93}, {96, 98}, {84, 92}, {81, 81}, {90, 90}},
		"king":  {{104, 93}, {95, 105}, {100, 92}},
	} {
		w, ok := quilt.NamedSize(name, quilt.DropInches, geometry.Inch)
		if !ok {
			t.Fatal(name)
		}
		least, most := quilt.Size{Width: math.Inf(1), Height: math.Inf(1)}, quilt.Size{}
		for _, s := range append(all, w.Cover) {
			least.Width, least.Height = min(least.Width, s.Width), min(least.Height, s.Height)
			most.Width, most.Height = max(most.Width, s.Width), max(most.Height, s.Height)
		}
		if w.Least != least || w.Most != most {
			t.Errorf("%s: %v to %v, published %v to %v", name, w.Least, w.Most, least, most)
		}
	}
}

// Law: with its borders on the quilt covers the size; one column or one row
// less does not, as far as the plan itself can tell.
func TestCoveringIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		for range rapid.IntRange(0, 2).Draw(t, "borders") {
			s.Borders = append(s.Borders, quilt.Border{Cut: 2*s.Seam + rapid.Float64Range(0.1, 2).Draw(t, "finished"), Fabric: s.Strips[0].Fabric})
		}
		own, err := quilt.New(s)
		outside.Refused(t, err, "borders") // wider than the quilt
		want := quilt.Size{
			Width:  own.Outer.Width * rapid.Float64Range(1, 3).Draw(t, "wider"),
			Height: own.Outer.Height * rapid.Float64Range(1, 3).Draw(t, "higher"),
		}
		if rapid.Bool().Draw(t, "exactly") {
			want = own.Outer // exactly enough is enough
		}
		covering, err := s.Covering(want)
		if err != nil {
			t.Fatal(err)
		}
		p := mustPlan(t, covering)
		if !geometry.Fits(want.Width, p.Outer.Width) || !geometry.Fits(want.Height, p.Outer.Height) {
			t.Fatalf("%v does not cover %v", p.Outer, want)
		}
		if want == own.Outer && (p.Columns > own.Columns || p.Rows > own.Rows) {
			t.Fatalf("%d by %d for a size that %d by %d cover", p.Columns, p.Rows, own.Columns, own.Rows)
		}
		less := covering
		less.Finish = nil
		if less.Columns, less.Rows = p.Columns-1, p.Rows; less.Columns > 0 {
			if q, err := quilt.New(less); err == nil && geometry.Fits(want.Width, q.Outer.Width) {
				t.Fatalf("a column less, %v, also covers %v", q.Outer, want)
			}
		}
		if less.Columns, less.Rows = p.Columns, p.Rows-1; less.Rows > 0 {
			if q, err := quilt.New(less); err == nil && geometry.Fits(want.Height, q.Outer.Height) {
				t.Fatalf("a row less, %v, also covers %v", q.Outer, want)
			}
		}
	})
}

// Law: scaled strips are cut in whole steps, never narrower than 1 in or
// 2.5 cm; the quilt covers; and it has about as many diamonds: the same
// number but for the rounding of the widths and of the last column and row.
func TestScaledStrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
		step := unit.Of(0.25, 0.5)
		cut := unit.Of(1, 2.5) + step*float64(rapid.IntRange(4, 12).Draw(t, "steps"))
		s := spec([]float64{cut, cut}, unit.Of(0.25, 0.75), 60, unit.Of(42, 107), quilt.Zigzag, rapid.IntRange(6, 14).Draw(t, "columns"), rapid.IntRange(6, 14).Draw(t, "rows"))
		s.Unit = unit
		s.Fabrics[0].From, s.Fabrics[0].StripLength = quilt.Precut, unit.Of(40, 100)
		own := mustPlan(t, s)
		k := rapid.Float64Range(0.7, 1.6).Draw(t, "scale")
		want := quilt.Size{Width: own.Outer.Width * k, Height: own.Outer.Height * k}
		scaled, err := s.Scaled(want)
		if err != nil {
			t.Fatal(err)
		}
		p := mustPlan(t, scaled)
		if !geometry.Fits(want.Width, p.Outer.Width) || !geometry.Fits(want.Height, p.Outer.Height) {
			t.Fatalf("%v does not cover %v", p.Outer, want)
		}
		for i, st := range scaled.Strips {
			if n := st.Cut / step; math.Abs(n-math.Round(n)) > 1e-9 || st.Cut < unit.Of(1, 2.5)-1e-9 {
				t.Fatalf("strip cut %v", st.Cut)
			}
			// By hand: the finished width times the ratio of the sides.
			exact := (cut-2*s.Seam)*k + 2*s.Seam
			if math.Abs(st.Cut-exact) > step/2+1e-9 && st.Cut > unit.Of(1, 2.5)+1e-9 {
				t.Fatalf("strip %d is cut %v, not near %v", i, st.Cut, exact)
			}
		}
		if f := scaled.Fabrics[0]; (scaled.Strips[0].Cut == cut) != (f.From == quilt.Precut) {
			t.Fatalf("cut %v, was %v, from %v", scaled.Strips[0].Cut, cut, f.From)
		}
		finished := scaled.Strips[0].Cut - 2*s.Seam
		ratio := (cut - 2*s.Seam) * k / finished // of columns, for the rounding
		if got, exact := float64(p.Columns), (float64(own.Columns)-0.5)*ratio+0.5; got < exact-1e-9 || got > exact+1 {
			t.Fatalf("%v columns, want %v to %v", got, exact, exact+1)
		}
		if s.Strips[0].Cut != cut || s.Fabrics[0].From != quilt.Precut {
			t.Fatal("the pattern itself was changed")
		}
	})
}

// A quilt 3 % larger takes the same strips, and by how much the strip set that
// was sewn came out narrow plays no part: measured by it the quilt would be 10 %
// larger, from strips of (2 1/2 - 1/2) 1.1 + 1/2 = 2.7, which is 2 3/4 in.
func TestScaledFromStripsAsCut(t *testing.T) {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.Zigzag, 8, 8)
	own, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	s.SewnWidth = 4.25
	scaled, err := s.Scaled(quilt.Size{Width: 1.03 * own.Outer.Width, Height: 1.03 * own.Outer.Height})
	if err != nil || scaled.Strips[0].Cut != 2.5 || scaled.SewnWidth != 0 {
		t.Errorf("%+v, %v", scaled.Strips, err)
	}
}

// What can't be made smaller says why.
func TestSizesThatCannotBe(t *testing.T) {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.Zigzag, 4, 4)
	s.Borders = []quilt.Border{{Cut: 5.5, Fabric: s.Strips[0].Fabric}, {Cut: 5.5, Fabric: s.Strips[0].Fabric}}
	for size, field := range map[quilt.Size]string{{20, 30}: "borders", {30, 19}: "borders"} {
		for _, f := range []func(quilt.Size) (quilt.Spec, error){s.Covering, s.Scaled} {
			_, err := f(size)
			var wrong *geometry.Error
			if !errors.As(err, &wrong) || wrong.Field != field {
				t.Errorf("%v: %v", size, err)
			}
		}
	}
	s.Borders[1].Cut = 0.5
	_, err := s.Covering(quilt.Size{Width: 50, Height: 50})
	var wrong *geometry.Error
	if !errors.As(err, &wrong) || wrong.Field != "borders[1].cut" {
		t.Error(err)
	}
}

// A quilt from fat quarters has the same pieces; its strips are 21 in long.
func TestFromFatQuarters(t *testing.T) {
	s := spec([]float64{2.5, 2.5}, 0.25, 60, 40, quilt.Zigzag, 6, 8)
	fq, ok := s.FromFatQuarters()
	if !ok {
		t.Fatal("yardage can be bought by the fat quarter")
	}
	p, err := quilt.New(fq)
	if err != nil {
		t.Fatal(err)
	}
	if own, _ := quilt.New(s); p.Need != own.Need || p.Finished != own.Finished {
		t.Errorf("%v of %v, want %v of %v", p.Need, p.Finished, own.Need, own.Finished)
	}
	for _, c := range p.Cloth {
		if c.Unit != "fat quarters" || p.CommonLength > 21 {
			t.Errorf("%v of strips %v long", c.Purchase, p.CommonLength)
		}
		// Seven strips of 2 1/2 in lie side by side in 18 in.
		if want := math.Ceil(float64(c.Strips) / 7); c.Buy != want {
			t.Errorf("%v fat quarters for %d strips, want %v", c.Buy, c.Strips, want)
		}
	}
	for i := range fq.Fabrics {
		fq.Fabrics[i].From = quilt.Precut
	}
	if _, ok := fq.FromFatQuarters(); ok {
		t.Error("there is no yardage to replace")
	}
	s.Strips[1].Cut = 18.5
	if _, ok := s.FromFatQuarters(); ok {
		t.Error("a strip of 18 1/2 in out of a fat quarter")
	}
}
