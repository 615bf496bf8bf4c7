// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
)

func TestReferenceSquares(t *testing.T) {
	_, cases := checkCases(t)
	for _, c := range cases {
		r := calibrate.Square(calibrate.SquareReading{Nominal: c.L, Width: c.W, Height: c.H, Diagonal1: c.D1, Diagonal2: c.D2})
		near(t, c.ID+" scale x", r.ScaleX, c.Expected.ScaleX, 1e-12)
		near(t, c.ID+" scale y", r.ScaleY, c.Expected.ScaleY, 1e-12)
		near(t, c.ID+" skew", r.SkewDegrees, c.Expected.Skew, 1e-9)
		near(t, c.ID+" closure", r.Closure, c.Expected.Closure, 1e-12)
		// Their ok speaks of closure only.
		if suspect := r.Verdict == calibrate.Suspect; suspect != c.Expected.Flag || suspect != strings.HasPrefix(c.Verdict, "flag") {
			t.Errorf("%s: %s, want %s", c.ID, r.Verdict, c.Verdict)
		}
	}
}

func TestSquareVerdicts(t *testing.T) {
	diagonal := func(w, h float64) float64 { return math.Hypot(w, h) }
	for _, c := range []struct {
		name    string
		r       calibrate.SquareReading
		verdict calibrate.Verdict
		percent float64 // NaN for none
		says    []string
	}{
		{"true", calibrate.SquareReading{Nominal: 12, Width: 12, Height: 12, Diagonal1: diagonal(12, 12), Diagonal2: diagonal(12, 12)},
			"ok", math.NaN(), []string{"true as far as the reading shows", "a square of 12 in read to 1/32 in cannot show an error below 0.3 %"}},
		// A printed template at 97 %, the usual case.
		{"97 %", calibrate.SquareReading{Nominal: 10, Width: 9.7, Height: 9.7, Diagonal1: diagonal(9.7, 9.7), Diagonal2: diagonal(9.7, 9.7)},
			"off", 100 / 0.97, []string{"came out at 97 %", "type 103.09 % into the print dialog"}},
		{"97 %, cutter", calibrate.SquareReading{Nominal: 10, Width: 9.7, Height: 9.7, Diagonal1: diagonal(9.7, 9.7), Diagonal2: diagonal(9.7, 9.7), Purpose: calibrate.ForCutter},
			"off", 100 / 0.97, []string{"103.09 % into the cutter's program"}},
		{"97 %, projector", calibrate.SquareReading{Nominal: 10, Width: 9.7, Height: 9.7, Diagonal1: diagonal(9.7, 9.7), Diagonal2: diagonal(9.7, 9.7), Purpose: calibrate.ForProjector},
			"off", math.NaN(), []string{"calibrate again"}},
		{"stretched", calibrate.SquareReading{Nominal: 10, Width: 10.2, Height: 10, Diagonal1: diagonal(10.2, 10), Diagonal2: diagonal(10.2, 10)},
			"off", math.NaN(), []string{"no single scale in the print dialog"}},
		{"stretched, cutter", calibrate.SquareReading{Nominal: 10, Width: 10.2, Height: 10, Diagonal1: diagonal(10.2, 10), Diagonal2: diagonal(10.2, 10), Purpose: calibrate.ForCutter},
			"off", math.NaN(), []string{"by 98.04 % and 100 %"}},
		{"askew", calibrate.SquareReading{Nominal: 10, Width: 10, Height: 10, Diagonal1: 14.265009, Diagonal2: 14.0181853},
			"off", math.NaN(), []string{"89.00 degrees", "3/16 in"}},
		// 1/64 in is the print's tolerance, but a reading to 1/32 can't show it.
		{"a thirty-second", calibrate.SquareReading{Nominal: 12, Width: 12.03125, Height: 12, Diagonal1: diagonal(12.03125, 12), Diagonal2: diagonal(12.03125, 12)}, "ok", math.NaN(), nil},
		{"a thirty-second, read to 1/64", calibrate.SquareReading{Nominal: 12, Width: 12.03125, Height: 12.03125, Diagonal1: diagonal(12.03125, 12.03125), Diagonal2: diagonal(12.03125, 12.03125), Reading: 1.0 / 64}, "off", 100 / (12.03125 / 12), []string{"99.74 %"}},
		{"a thirty-second under a projector", calibrate.SquareReading{Nominal: 12, Width: 12.03125, Height: 12.03125, Diagonal1: diagonal(12.03125, 12.03125), Diagonal2: diagonal(12.03125, 12.03125), Reading: 1.0 / 64, Purpose: calibrate.ForProjector}, "ok", math.NaN(), nil},
		{"an inch", calibrate.SquareReading{Nominal: 1, Width: 1, Height: 1, Diagonal1: math.Sqrt2, Diagonal2: math.Sqrt2},
			"ok", math.NaN(), []string{"a square of 1 in read to 1/32 in cannot show an error below 3.1 %; one of 12 in shows 0.3 %"}},
		{"keystone", calibrate.SquareReading{Nominal: 10, Width: 10, Height: 10.0031245, Diagonal1: 13.9664777, Diagonal2: 13.9664777},
			"suspect", math.NaN(), []string{"don't belong to one square", "keystone"}},
		{"impossible", calibrate.SquareReading{Nominal: 10, Width: 10, Height: 10, Diagonal1: 21, Diagonal2: 14.125},
			"rejected", math.NaN(), []string{"impossible", "measure again"}},
		{"flat", calibrate.SquareReading{Nominal: 10, Width: 10, Height: 4, Diagonal1: 6, Diagonal2: 14},
			"rejected", math.NaN(), []string{"impossible"}},
		{"nothing", calibrate.SquareReading{}, "rejected", math.NaN(), []string{"not a length above 0"}},
	} {
		r := calibrate.Square(c.r)
		text := strings.Join(r.Advice, "\n")
		if r.Verdict != c.verdict || math.IsNaN(r.Percent) != math.IsNaN(c.percent) || math.Abs(r.Percent-c.percent) > 1e-9 {
			t.Errorf("%s: %s, %v %%; want %s, %v %%\n%s", c.name, r.Verdict, r.Percent, c.verdict, c.percent, text)
		}
		for _, s := range c.says {
			if !strings.Contains(text, s) {
				t.Errorf("%s: %q does not say %q", c.name, text, s)
			}
		}
	}
	// The numbers of an impossible reading are there all the same.
	r := calibrate.Square(calibrate.SquareReading{Nominal: 10, Width: 10, Height: 10, Diagonal1: 21, Diagonal2: 14.125})
	near(t, "skew", r.SkewDegrees, 37.136138861, 1e-9)
	near(t, "closure", r.Closure, 3.753612824, 1e-9)
	// Undefined ones are NaN, never infinite.
	r = calibrate.Square(calibrate.SquareReading{Nominal: 0, Width: 10, Height: 10, Diagonal1: 40, Diagonal2: 10})
	if !math.IsNaN(r.ScaleX) || !math.IsNaN(r.SkewDegrees) || math.IsNaN(r.Closure) {
		t.Errorf("%+v", r)
	}
}

// Laws: a parallelogram of any size and lean closes and gives its scale and
// lean back; measured the other way round the scales change places and the
// lean stays.
func TestSquareLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(4, 24).Draw(t, "size")
		w := l * rapid.Float64Range(0.9, 1.1).Draw(t, "x")
		h := l * rapid.Float64Range(0.9, 1.1).Draw(t, "y")
		skew := rapid.Float64Range(-10, 10).Draw(t, "skew")
		a := (90 - skew) * math.Pi / 180
		d1 := math.Sqrt(w*w + h*h + 2*w*h*math.Cos(a))
		d2 := math.Sqrt(w*w + h*h - 2*w*h*math.Cos(a))
		one := calibrate.Square(calibrate.SquareReading{Nominal: l, Width: w, Height: h, Diagonal1: d1, Diagonal2: d2})
		two := calibrate.Square(calibrate.SquareReading{Nominal: l, Width: h, Height: w, Diagonal1: d1, Diagonal2: d2})
		if math.Abs(one.SkewDegrees-skew) > 1e-9 || math.Abs(one.Closure) > 1e-12*l || one.ScaleX != w/l || one.ScaleY != h/l {
			t.Fatalf("%+v", one)
		}
		if one.ScaleX != two.ScaleY || one.SkewDegrees != two.SkewDegrees || one.Verdict != two.Verdict {
			t.Fatalf("%+v\n%+v", one, two)
		}
		if !math.IsNaN(one.Percent) {
			// Printed at that percentage, it is true to the tolerance.
			p := one.Percent / 100
			for _, side := range []float64{w * p, h * p} {
				if math.Abs(side-l) > one.Tolerance*1.15 {
					t.Fatalf("%v %% makes %v of %v", one.Percent, side, l)
				}
			}
		}
	})
}
