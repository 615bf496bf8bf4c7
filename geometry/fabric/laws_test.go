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

// TestLargestFirstIsNotEnough: taking the widest first would need three fat
// quarters of 18 in where two are filled exactly.
func TestLargestFirstIsNotEnough(t *testing.T) {
	got, err := fabric.Strips([]fabric.Need{{8, 2}, {5, 4}}, 21, fatQuarter(21))
	if err != nil || got.Buy != 2 || got.Least != 2 || len(got.Wholes) != 1 || got.Wholes[0].Times != 2 {
		t.Errorf("%+v, %v, want 2 fat quarters cut alike", got, err)
	}
}

// TestFewestFatQuarters: all of them full or nearly so (worked out from what
// fills 18 in exactly: 4 + 4 + 5 + 5; 3 1/2 + 3 1/2 + 5 1/2 + 5 1/2;
// 3 1/2 + 3 1/2 + 5 1/4 + 5 1/4 leaves 1/2).
func TestFewestFatQuarters(t *testing.T) {
	for _, c := range []struct {
		a, b    float64
		n, want int
	}{{4, 5, 48, 24}, {3.5, 5.5, 80, 40}, {3.5, 5.5, 110, 55}, {3.5, 5.25, 80, 40}} {
		got, err := fabric.Strips([]fabric.Need{{c.a, c.n}, {c.b, c.n}}, 21, fatQuarter(21))
		if err != nil || got.Buy != float64(c.want) || got.Least != c.want {
			t.Errorf("%d each of %v and %v: %v fat quarters, at least %d; want %d; %v", c.n, c.a, c.b, got.Buy, got.Least, c.want, err)
		}
	}
}

// TestCutUpFatQuarters: strips that whole fat quarters were cut into, all used
// up, go into that many again, or, where the search has to give up, into one
// more.
func TestCutUpFatQuarters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const wide = 18 * sixteenths
		n := rapid.IntRange(1, 30).Draw(t, "fat quarters")
		step := rapid.SampledFrom([]int{1, 4, 8, 16}).Draw(t, "step")
		var needs []fabric.Need
		for range n {
			for left := wide / step; left > 0; {
				p := min(left, rapid.IntRange(24/step, 12*sixteenths/step).Draw(t, "strip"))
				left -= p
				needs = append(needs, fabric.Need{Width: length(p*step, geometry.Inch), Number: 1})
			}
		}
		got, err := fabric.Strips(needs, 21, fatQuarter(21))
		if err != nil || got.Buy < float64(n) || got.Buy > float64(n+1+n/5) || got.Least > n {
			t.Fatalf("%d cut up: %+v, %v", n, got, err)
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
	got, err := fabric.Strips([]fabric.Need{{0.3, 2}, {third, 2}}, 21+1e-12, yardage(42))
	if err != nil || got.Strips != 2 || got.Length != 2*third || len(got.Wholes[0].Cut) != 1 {
		t.Errorf("%+v, %v, want two strips of one width", got, err)
	}
	// Three strips of 2 in 6, whatever 0.1 adds up to.
	for n := 1; n <= 400; n++ {
		b := fabric.Bolt{Strip: float64(n) * 0.1, Unit: geometry.Centimetre}
		got, err := fabric.Strips([]fabric.Need{{0.1, 3 * n}}, 0.1, b)
		if err != nil || got.Strips != 3 || got.Buy != 0.1 {
			t.Errorf("%d of 0.1 from %v: %+v, %v", 3*n, b.Strip, got, err)
		}
	}
	for n := 1; n <= 46; n++ {
		got, err := fabric.Strips([]fabric.Need{{float64(n) * 0.1, 3 * (460 / n)}}, 52, fatQuarterCM)
		if err != nil || got.Buy != 3 {
			t.Errorf("%d of %d tenths: %v, %v", 3*(460/n), n, got.Buy, err)
		}
	}
}

func TestNothingNeeded(t *testing.T) {
	for _, c := range []struct {
		bolt fabric.Bolt
		unit string
	}{{yardage(42), "yd"}, {fabric.Bolt{Strip: 110, Unit: geometry.Centimetre}, "m"}, {fatQuarter(21), "fat quarters"}, {precut(40), "strips"}} {
		for _, needs := range [][]fabric.Need{nil, {{2.5, 0}}} {
			if got, err := fabric.Strips(needs, 10, c.bolt); err != nil || got.Purchase != (fabric.Purchase{Unit: c.unit}) || len(got.Wholes) > 0 {
				t.Errorf("%v: %+v, %v", c.bolt, got, err)
			}
		}
	}
	if got, err := fabric.Borders(fabric.Size{Width: 40, Height: 50}, 0.25, nil); err != nil || len(got) != 0 {
		t.Errorf("no borders: %+v, %v", got, err)
	}
}

var fatQuarterCM = fabric.Bolt{Source: fabric.FatQuarters, Strip: 52, Unit: geometry.Centimetre}

// TestWidthsShareFatQuarters: 10 and 8 fill one; 7, 6 and 5 another.
func TestWidthsShareFatQuarters(t *testing.T) {
	needs := []fabric.Need{{5, 1}, {6, 1}, {7, 1}, {8, 1}, {10, 1}}
	got, err := fabric.Strips(needs, 21, fatQuarter(21))
	if err != nil || got.Purchase != (fabric.Purchase{Strips: 5, Length: 36, Buy: 2, Unit: "fat quarters"}) {
		t.Errorf("%+v, %v", got, err)
	}
	got, err = fabric.Strips([]fabric.Need{{23, 4}}, 52, fatQuarterCM)
	if err != nil || got.Purchase != (fabric.Purchase{Strips: 4, Length: 92, Buy: 2, Unit: "fat quarters"}) {
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
	strips := func(width, long float64, number int, b fabric.Bolt) error {
		_, err := fabric.Strips([]fabric.Need{{2.5, 0}, {width, number}}, long, b)
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
		{"longer than the strip", strips(2.5, 42.01, 1, yardage(42)), fabric.TooLong, -1, 42},
		{"longer than a precut strip", strips(2.5, 41, 1, precut(40)), fabric.TooLong, -1, 40},
		{"wider than a fat quarter", strips(18.1, 10, 1, fatQuarter(21)), fabric.TooWide, 1, 18},
		{"wider than 46 cm", strips(46.1, 10, 1, fabric.Bolt{Source: fabric.FatQuarters, Strip: 55, Unit: geometry.Centimetre}), fabric.TooWide, 1, 46},
		{"no width", strips(0, 10, 1, yardage(42)), fabric.NotPositive, 1, 0},
		{"no length", strips(2.5, -1, 1, yardage(42)), fabric.NotPositive, -1, 0},
		{"width not a number", strips(nan, 10, 1, yardage(42)), fabric.NotALength, 1, fabric.MaxLength},
		{"endless", strips(2.5, inf, 1, yardage(42)), fabric.NotALength, -1, fabric.MaxLength},
		{"endless the other way", strips(2.5, -inf, 1, yardage(42)), fabric.NotPositive, -1, 0},
		{"fewer than none", strips(2.5, 10, -1, yardage(42)), fabric.Negative, 1, 0},
		{"more than any quilt", strips(2.5, 10, math.MaxInt, yardage(42)), fabric.TooMany, 1, fabric.MaxStrips},
		{"a bolt of nothing", strips(2.5, 10, 1, yardage(0)), fabric.NotPositive, -1, 0},
		{"no such source", strips(2.5, 10, 1, fabric.Bolt{Source: 7, Strip: 42}), fabric.NotASource, -1, 0},

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
	} {
		if err != nil {
			t.Error(err)
		}
	}
}

func ExampleError() {
	_, err := fabric.Strips([]fabric.Need{{Width: 3, Number: 4}}, 42.5, fabric.Bolt{Strip: 42})
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
	f.Add(2.5, 10, 2.5, 1, 38.0, 40.0, 0, 0)
	f.Add(3.0, 42, 2.5, 9, 7.0, 21.0, 1, 0)
	f.Add(6.5, 5, 6.5, 3, 25.0, 110.0, 0, 1)
	f.Add(2.5, 3, 2.5, 1, 14.0, 42.0, 2, 0)
	f.Add(1e-9, 1000000, 1e6, 1000000, 1e6, 1e6, 1, 1)
	f.Fuzz(func(t *testing.T, w1 float64, n1 int, w2 float64, n2 int, long, strip float64, source, unit int) {
		b := fabric.Bolt{Source: fabric.Source(source), Strip: strip, Unit: geometry.Unit(unit & 1)}
		got, err := fabric.Strips([]fabric.Need{{w1, n1}, {w2, n2}}, long, b)
		if err != nil {
			var e *fabric.Error
			if !errors.As(err, &e) || got.Purchase != (fabric.Purchase{}) || e.Error() == "" {
				t.Fatalf("%v with %+v", err, got)
			}
			return
		}
		area := w1*long*float64(n1) + w2*long*float64(n2)
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

var sink fabric.Bill

// BenchmarkStrips: a quilt's strips, and fat quarters for thousands of strips
// of up to six widths; of 36, 24 and 14 quarter inches one more fat quarter is
// needed than fractions say, which takes a proof.
func BenchmarkStrips(b *testing.B) {
	run := func(name string, needs []fabric.Need, long float64, bolt fabric.Bolt) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				sink, _ = fabric.Strips(needs, long, bolt)
			}
		})
	}
	for _, bolt := range []fabric.Bolt{yardage(42), fatQuarter(42), precut(42)} {
		run("quilt/"+bolt.Source.String(), []fabric.Need{{3, 22}}, 38.5, bolt)
	}
	var needs []fabric.Need
	for i, w := range []float64{2.5, 3.25, 1.75, 4.5, 2, 5.25} {
		needs = append(needs, fabric.Need{Width: w, Number: 1000 + 137*i})
		run(fmt.Sprintf("widths=%d", i+1), needs, 21, fatQuarter(21))
	}
	run("proof", []fabric.Need{{9, 7}, {6, 38}, {3.5, 39}}, 21, fatQuarter(21))
}
