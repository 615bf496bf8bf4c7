// SPDX-License-Identifier: Apache-2.0

package fabric_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
)

// TestTwoTimesEighteenTwelveTwelve: taking the longest first would need three
// strips of 42 where two are filled exactly.
func TestTwoTimesEighteenTwelveTwelve(t *testing.T) {
	needs := []fabric.Need{{2.5, 18, 2}, {2.5, 12, 4}}
	got, err := fabric.Strips(needs, yardage(42))
	if err != nil || got.Strips != 2 {
		t.Errorf("%+v, %v, want 2 strips", got, err)
	}
}

// TestCutUpStrips: pieces that whole strips were cut into, all used up, go
// into that many strips again, or, where the search has to give up, into no
// more than 11/9 of them + 6/9 (Dósa, The tight bound of first fit decreasing
// bin-packing algorithm, 2007).
func TestCutUpStrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const strip = 42 * sixteenths
		n := rapid.IntRange(1, 60).Draw(t, "strips")
		var needs []fabric.Need
		for range n {
			for left := strip; left > 0; {
				p := min(left, rapid.IntRange(2*sixteenths, 30*sixteenths).Draw(t, "piece"))
				left -= p
				needs = append(needs, fabric.Need{Width: 2.5, Length: length(p, geometry.Inch), Number: 1})
			}
		}
		got, err := fabric.Strips(needs, yardage(42))
		if err != nil || got.Strips < n || float64(got.Strips) > 11./9*float64(n)+6./9 {
			t.Fatalf("%d strips cut up: %+v, %v", n, got, err)
		}
	})
}

// TestNearlyAlike: widths that differ by rounding are one width, and lengths
// that are too long by rounding still fit.
func TestNearlyAlike(t *testing.T) {
	tenth := 0.1
	third := tenth + 0.2 // a little more than 0.3
	if third == 0.3 {
		t.Fatal("no difference to test with")
	}
	needs := []fabric.Need{{0.3, 21, 1}, {third, 42 * (1 + 1e-16), 1}, {third, 21 + 1e-12, 1}}
	got, err := fabric.Strips(needs, yardage(42))
	if err != nil || got.Strips != 2 || got.Length != 2*third {
		t.Errorf("%+v, %v, want two strips of one width", got, err)
	}
	// Three strips of 2 in 6, whatever 0.1 adds up to.
	for n := 1; n <= 400; n++ {
		b := fabric.Bolt{Strip: float64(n) * 0.1, Unit: geometry.Centimetre}
		got, err := fabric.Strips([]fabric.Need{{0.1, 0.1, 3 * n}}, b)
		if err != nil || got.Strips != 3 || got.Buy != 0.1 {
			t.Errorf("%d of 0.1 from %v: %+v, %v", 3*n, b.Strip, got, err)
		}
		tenths := float64(n) * 0.1
		b.Strip = 42 * tenths
		got, err = fabric.Strips([]fabric.Need{{1, 18 * tenths, 2}, {1, 12 * tenths, 4}}, b)
		if err != nil || got.Strips != 2 {
			t.Errorf("18 + 12 + 12 of 42, times %v: %+v, %v", tenths, got, err)
		}
	}
}

func TestNothingNeeded(t *testing.T) {
	for _, c := range []struct {
		bolt fabric.Bolt
		unit string
	}{{yardage(42), "yd"}, {fabric.Bolt{Strip: 110, Unit: geometry.Centimetre}, "m"}, {fatQuarter(21), "fat quarters"}, {precut(40), "strips"}} {
		for _, needs := range [][]fabric.Need{nil, {{2.5, 10, 0}}} {
			if got, err := fabric.Strips(needs, c.bolt); err != nil || got != (fabric.Purchase{Unit: c.unit}) {
				t.Errorf("%v: %+v, %v", c.bolt, got, err)
			}
		}
	}
	if got, err := fabric.Borders(fabric.Size{Width: 40, Height: 50}, 0.25, nil); err != nil || len(got) != 0 {
		t.Errorf("no borders: %+v, %v", got, err)
	}
}

// TestWidthsShareFatQuarters: 10 and 8 fill one; 7, 6 and 5 another.
func TestWidthsShareFatQuarters(t *testing.T) {
	needs := []fabric.Need{{5, 21, 1}, {6, 21, 1}, {7, 21, 1}, {8, 21, 1}, {10, 21, 1}}
	got, err := fabric.Strips(needs, fatQuarter(21))
	if err != nil || got != (fabric.Purchase{Strips: 5, Length: 36, Buy: 2, Unit: "fat quarters"}) {
		t.Errorf("%+v, %v", got, err)
	}
	metric := fabric.Bolt{Source: fabric.FatQuarter, Strip: 55, Unit: geometry.Centimetre}
	got, err = fabric.Strips([]fabric.Need{{23, 55, 4}}, metric)
	if err != nil || got != (fabric.Purchase{Strips: 4, Length: 92, Buy: 2, Unit: "fat quarters"}) {
		t.Errorf("%+v, %v", got, err)
	}
}

// TestSameEitherWay: where both ways take as much, the one with fewer joins
// is taken, and up and down when those are equal too.
func TestSameEitherWay(t *testing.T) {
	for _, c := range []struct {
		w, h   float64
		panels int
		up     bool
	}{
		{30, 30, 1, true}, {60, 60, 2, true},
		{40, 80, 1, true},  // 80 in either way: 1 of 80, or 2 of 40
		{80, 40, 1, false}, // the same, turned
	} {
		b, err := fabric.Back(fabric.Size{Width: c.w, Height: c.h}, 42, 0, 0.25, geometry.Inch)
		if err != nil || b.Panels != c.panels || b.Lengthwise != c.up {
			t.Errorf("%v x %v: %+v, %v", c.w, c.h, b, err)
		}
	}
}

// TestErrors: each value that can't be, with what it is measured against.
func TestErrors(t *testing.T) {
	quilt := fabric.Size{Width: 40, Height: 50}
	nan, inf := math.NaN(), math.Inf(1)
	strips := func(n fabric.Need, b fabric.Bolt) error {
		_, err := fabric.Strips([]fabric.Need{{2.5, 10, 1}, n}, b)
		return err
	}
	border := func(cut float64, b fabric.Bolt) error {
		_, err := fabric.Borders(quilt, 0.25, []fabric.BorderSpec{{Cut: 1, Bolt: yardage(42)}, {Cut: cut, Bolt: b}})
		return err
	}
	borders := func(q fabric.Size, seam float64) error {
		_, err := fabric.Borders(q, seam, []fabric.BorderSpec{{Cut: 3, Bolt: yardage(42)}})
		return err
	}
	back := func(q fabric.Size, usable, extra, seam float64) error {
		_, err := fabric.Back(q, usable, extra, seam, geometry.Inch)
		return err
	}
	bind := func(q fabric.Size, cut, extra, usable, seam float64) error {
		_, err := fabric.Bind(q, cut, extra, usable, seam, geometry.Inch)
		return err
	}
	for _, c := range []struct {
		name  string
		err   error
		rule  fabric.Rule
		index int
		limit float64
	}{
		{"longer than the strip", strips(fabric.Need{2.5, 42.01, 1}, yardage(42)), fabric.TooLong, 1, 42},
		{"longer than a precut strip", strips(fabric.Need{2.5, 41, 1}, precut(40)), fabric.TooLong, 1, 40},
		{"wider than a fat quarter", strips(fabric.Need{18.1, 10, 1}, fatQuarter(21)), fabric.TooWide, 1, 18},
		{"wider than 46 cm", strips(fabric.Need{46.1, 10, 1}, fabric.Bolt{Source: fabric.FatQuarter, Strip: 55, Unit: geometry.Centimetre}), fabric.TooWide, 1, 46},
		{"no width", strips(fabric.Need{0, 10, 1}, yardage(42)), fabric.NotPositive, 1, 0},
		{"no length", strips(fabric.Need{2.5, -1, 1}, yardage(42)), fabric.NotPositive, 1, 0},
		{"width not a number", strips(fabric.Need{nan, 10, 1}, yardage(42)), fabric.NotALength, 1, fabric.MaxLength},
		{"endless", strips(fabric.Need{2.5, inf, 1}, yardage(42)), fabric.NotALength, 1, fabric.MaxLength},
		{"endless the other way", strips(fabric.Need{2.5, -inf, 1}, yardage(42)), fabric.NotPositive, 1, 0},
		{"fewer than none", strips(fabric.Need{2.5, 10, -1}, yardage(42)), fabric.Negative, 1, 0},
		{"more than any quilt", strips(fabric.Need{2.5, 10, math.MaxInt}, yardage(42)), fabric.TooMany, 1, fabric.MaxStrips},
		{"a bolt of nothing", strips(fabric.Need{2.5, 10, 1}, yardage(0)), fabric.NotPositive, -1, 0},
		{"no such source", strips(fabric.Need{2.5, 10, 1}, fabric.Bolt{Source: 7, Strip: 42}), fabric.NotASource, -1, 0},

		{"border of seam allowances", border(0.5, yardage(42)), fabric.TooNarrow, 1, 0.5},
		{"border wider than the quilt", border(41.6, yardage(42)), fabric.TooWide, 1, 41},
		{"border wider than the quilt is high", borders(fabric.Size{Width: 50, Height: 2}, 0.25), fabric.TooWide, 0, 2},
		{"border wider than a fat quarter", border(18.5, fatQuarter(21)), fabric.TooWide, 1, 18},
		{"border not a number", border(nan, yardage(42)), fabric.NotALength, 1, fabric.MaxLength},
		{"negative border", border(-3, yardage(42)), fabric.NotPositive, 1, 0},
		{"strips that joins use up", border(3, yardage(0.5)), fabric.TooNarrow, 1, 0.5},
		{"strips without end", border(3, yardage(0.5+1e-6)), fabric.TooMany, 1, fabric.MaxStrips},
		{"border of no source", border(3, fabric.Bolt{Source: -1, Strip: 42}), fabric.NotASource, 1, 0},
		{"border of no quilt", borders(fabric.Size{Width: 0, Height: 50}, 0.25), fabric.NotPositive, -1, 0},
		{"border of an endless quilt", borders(fabric.Size{Width: 40, Height: inf}, 0.25), fabric.NotALength, -1, fabric.MaxLength},
		{"negative seam", borders(quilt, -0.25), fabric.Negative, -1, 0},
		{"seam not a number", borders(quilt, nan), fabric.NotALength, -1, fabric.MaxLength},

		{"backing: negative extra", back(quilt, 42, -4, 0.25), fabric.Negative, -1, 0},
		{"backing: extra not a number", back(quilt, 42, nan, 0.25), fabric.NotALength, -1, fabric.MaxLength},
		{"backing: no fabric", back(quilt, 0, 4, 0.25), fabric.NotPositive, -1, 0},
		{"backing: fabric that seams use up", back(quilt, 0.5, 4, 0.25), fabric.TooNarrow, -1, 0.5},
		{"backing: negative seam", back(quilt, 42, 4, -1), fabric.Negative, -1, 0},
		{"backing: no quilt", back(fabric.Size{}, 42, 4, 0.25), fabric.NotPositive, -1, 0},

		{"binding: negative extra", bind(quilt, 2.5, -10, 42, 0.25), fabric.Negative, -1, 0},
		{"binding: no width", bind(quilt, 0, 10, 42, 0.25), fabric.NotPositive, -1, 0},
		{"binding: endless width", bind(quilt, inf, 10, 42, 0.25), fabric.NotALength, -1, fabric.MaxLength},
		{"binding: strips that joins use up", bind(quilt, 2.5, 10, 2, 1), fabric.TooNarrow, -1, 2},
		{"binding: no quilt", bind(fabric.Size{Width: 40}, 2.5, 10, 42, 0.25), fabric.NotPositive, -1, 0},
		{"binding: negative seam", bind(quilt, 2.5, 10, 42, -0.25), fabric.Negative, -1, 0},

		{"batting: negative extra", fabric.CheckExtra("batting: extra", -1), fabric.Negative, -1, 0},
		{"shrinkage: all of it", fabric.CheckPercent("shrinkage", 100), fabric.NotAPercent, -1, 100},
		{"shrinkage: negative", fabric.CheckPercent("shrinkage", -0.1), fabric.NotAPercent, -1, 100},
		{"shrinkage: not a number", fabric.CheckPercent("shrinkage", nan), fabric.NotAPercent, -1, 100},
	} {
		var e *fabric.Error
		switch {
		case !errors.As(c.err, &e):
			t.Errorf("%s: %v", c.name, c.err)
		case e.Rule != c.rule || e.Index != c.index || math.Abs(e.Limit-c.limit) > 1e-9:
			t.Errorf("%s: %#v, want rule %v, index %d, limit %v", c.name, e, c.rule, c.index, c.limit)
		case e.Error() == "" || e.What == "":
			t.Errorf("%s says nothing", c.name)
		}
	}
	for _, err := range []error{
		border(41.5, yardage(42)), // exactly as wide as the quilt
		borders(quilt, 0),
		back(quilt, 42, 0, 0),
		bind(quilt, 2.5, 0, 42, 0),
		fabric.CheckExtra("batting: extra", 0),
		fabric.CheckPercent("shrinkage", 0),
	} {
		if err != nil {
			t.Error(err)
		}
	}
}

func ExampleError() {
	_, err := fabric.Strips([]fabric.Need{{Width: 3, Length: 42.5, Number: 4}}, fabric.Bolt{Strip: 42})
	fmt.Println(err)
	_, err = fabric.Borders(fabric.Size{Width: 10, Height: 12}, 0.25, []fabric.BorderSpec{{Cut: 11, Bolt: fabric.Bolt{Strip: 42}}})
	fmt.Println(err)
	var e *fabric.Error
	if errors.As(err, &e) {
		fmt.Println(e.In(geometry.Inch))
	}
	// Output:
	// strip length 42.5 is longer than the 42 that one strip gives: cut shorter strip sets, or buy wider fabric
	// border 1: finished width 10.5 is wider than 10: that is the smaller side of the quilt it goes round; cut it narrower
	// border 1: finished width 10 1/2 in is wider than 10 in: that is the smaller side of the quilt it goes round; cut it narrower
}

// FuzzStrips: whatever is asked for, the answer is an error of this package
// or a purchase of at least the cloth that the strips are made of.
func FuzzStrips(f *testing.F) {
	f.Add(2.5, 38.0, 10, 2.5, 12.0, 1, 40.0, 0, 0)
	f.Add(3.0, 21.0, 42, 2.5, 7.0, 9, 21.0, 1, 0)
	f.Add(6.5, 50.0, 5, 6.5, 25.0, 3, 110.0, 0, 1)
	f.Add(2.5, 14.0, 3, 2.5, 42.0, 1, 42.0, 2, 0)
	f.Add(1e-9, 1e-9, 1000000, 1e6, 1e6, 1000000, 1e6, 1, 1)
	f.Fuzz(func(t *testing.T, w1, l1 float64, n1 int, w2, l2 float64, n2 int, strip float64, source, unit int) {
		b := fabric.Bolt{Source: fabric.Source(source), Strip: strip, Unit: geometry.Unit(unit & 1)}
		got, err := fabric.Strips([]fabric.Need{{w1, l1, n1}, {w2, l2, n2}}, b)
		if err != nil {
			var e *fabric.Error
			if !errors.As(err, &e) || got != (fabric.Purchase{}) || e.Error() == "" {
				t.Fatalf("%v with %+v", err, got)
			}
			return
		}
		area := w1*l1*float64(n1) + w2*l2*float64(n2)
		slack := 1e-9*(1+area) + 1e-8*float64(got.Strips)*(w1+w2+strip)
		if got.Length*strip < area-slack {
			t.Fatalf("%+v has less cloth than the strips, %v", got, area)
		}
		if got.Strips < 0 || got.Strips > n1+n2 || got.Buy < 0 || math.IsInf(got.Buy, 0) || math.IsNaN(got.Buy) {
			t.Fatalf("%+v", got)
		}
		if got.Strips > 0 && got.Buy <= 0 {
			t.Fatalf("%+v buys nothing", got)
		}
	})
}

var sink fabric.Purchase

// BenchmarkStrips: a quilt's strips of three lengths, and the worst the
// search meets: many lengths that don't add up.
func BenchmarkStrips(b *testing.B) {
	quilt := []fabric.Need{{3, 38.5, 22}, {3, 27.25, 1}, {3, 12, 1}}
	for _, n := range []int{10, 100, 1000} {
		many := make([]fabric.Need, n)
		for i := range many {
			many[i] = fabric.Need{Width: 2.5, Length: 5 + 30*math.Mod(float64(i)*math.Phi, 1), Number: 3}
		}
		b.Run(fmt.Sprintf("lengths=%d", n), func(b *testing.B) {
			for b.Loop() {
				sink, _ = fabric.Strips(many, yardage(42))
			}
		})
	}
	for _, bolt := range []fabric.Bolt{yardage(42), fatQuarter(42), precut(42)} {
		b.Run("quilt/"+bolt.Source.String(), func(b *testing.B) {
			for b.Loop() {
				sink, _ = fabric.Strips(quilt, bolt)
			}
		})
	}
}
