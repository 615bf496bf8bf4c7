// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func format(v float64, decimals int) string {
	n := NewNumbers(decimals)
	return n.Format(v)
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 6, "0"},
		{8.375, 6, "8.375"},
		{10.0625, 6, "10.0625"},
		{-2.5, 6, "-2.5"},
		{1234.5678, 8, "1234.5678"}, // 1234.5678000000000338 with 16 decimals
		{100, 6, "100"},
		{1e6, 0, "1000000"},
		{2.5, 0, "3"},
		{-1e-12, 6, "0"}, // fmtlib/fmt#1862, php/php-src#12237
		{math.Copysign(0, -1), 6, "0"},
		{-0.0000005, 6, "-0.000001"},
		{6.123233995736766e-17, 6, "0"},       // cos 90
		{0.00000007, 6, "0"},                  // spipu/html2pdf#620
		{1e21, 6, "1000000000000000000000"},   // svg/svgo#63
		{-1e21, 0, "-1000000000000000000000"}, //
		{123456789.125, 6, "123456789.125"},
		{999999.9999999, 6, "1000000"},
	} {
		if got := format(c.v, c.decimals); got != c.want {
			t.Errorf("%v to %d decimals = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}

// A corner computed two ways is written once (LibrePCB/LibrePCB#960,
// KLayout/klayout#198), also where it stands on the half of a decimal.
func TestSameCornerSameText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 9).Draw(t, "decimals")
		v := float64(rapid.IntRange(-1<<20, 1<<20).Draw(t, "numerator")) /
			float64(rapid.SampledFrom([]int{3, 7, 16, 128, 1024, 1000}).Draw(t, "denominator"))
		for range rapid.IntRange(0, 4).Draw(t, "steps") {
			v = math.Nextafter(v, math.Inf(1))
		}
		// The last bit must be worth less than the margin.
		if math.Abs(v)*math.Pow10(decimals) > 1<<36 {
			t.Skip("too large")
		}
		w := v
		for range 4 {
			w = math.Nextafter(w, math.Inf(-1))
		}
		if a, b := format(v, decimals), format(w, decimals); a != b {
			t.Fatalf("%v and %v: %s and %s", v, w, a, b)
		}
	})
	if a, b := format(1.0/3, 8), format(1-2.0/3, 8); a != b {
		t.Errorf("%s and %s", a, b)
	}
}

// Away from halves the text is strconv's without trailing zeros.
func TestNumbersAsStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 9).Draw(t, "decimals")
		size := rapid.Float64Range(-12, 12).Draw(t, "log")
		v := math.Pow(10, size) * rapid.Float64Range(-1, 1).Draw(t, "v")
		if rapid.Bool().Draw(t, "short") {
			v = math.Round(v*1000) / 1000
		}
		scaled := math.Abs(v) * math.Pow10(decimals)
		if part := scaled - math.Floor(scaled); scaled < exact && math.Abs(part-0.5) < 1.0/512 {
			t.Skip("near a half")
		}
		want := strconv.FormatFloat(v, 'f', decimals, 64)
		if strings.Contains(want, ".") {
			want = strings.TrimRight(strings.TrimRight(want, "0"), ".")
		}
		if want == "-0" {
			want = "0"
		}
		if got := format(v, decimals); got != want {
			t.Fatalf("%v to %d decimals = %q, want %q", v, decimals, got, want)
		}
	})
}

// Whatever the bits, the text is that of a plain number near the value, or
// the failure is remembered.
func FuzzNumbers(f *testing.F) {
	for _, v := range []float64{0, -1e-12, 1.0 / 3, 0.0078125, 8.375, 1e21, math.MaxFloat64, math.NaN(), math.Inf(-1)} {
		f.Add(math.Float64bits(v), uint8(6))
	}
	f.Fuzz(func(t *testing.T, bits uint64, d uint8) {
		v, decimals := math.Float64frombits(bits), int(d%10)
		n := NewNumbers(decimals)
		n.Writing("line", 3)
		text := n.Format(v)
		if strings.Trim(text, "-.0123456789") != "" || text == "-0" || strings.HasSuffix(text, ".") {
			t.Fatalf("%v = %q", v, text)
		}
		var bad *NotFiniteError
		if math.IsNaN(v) || math.IsInf(v, 0) {
			if !errors.As(n.Err(), &bad) || bad.What != "line 4" {
				t.Fatalf("%v: error %v", v, n.Err())
			}
			return
		}
		if n.Err() != nil {
			t.Fatalf("%v: error %v", v, n.Err())
		}
		got, err := strconv.ParseFloat(text, 64)
		if limit := 0.501 / math.Pow10(decimals); err != nil || math.Abs(got-v) > limit+math.Abs(v)*1e-15 {
			t.Fatalf("%v to %d decimals = %q", v, decimals, text)
		}
	})
}

// NaN is told by name, once (magjac/d3-graphviz#91).
func TestNotFinite(t *testing.T) {
	n := NewNumbers(6)
	n.Writing("cut line", 11)
	n.Format(1)
	if n.Err() != nil {
		t.Fatal(n.Err())
	}
	n.Format(math.NaN())
	n.Writing("the page", -1)
	n.Format(math.Inf(1))
	var bad *NotFiniteError
	if !errors.As(n.Err(), &bad) || bad.What != "cut line 12" || !math.IsNaN(bad.Value) {
		t.Errorf("error %v", n.Err())
	}
}

func TestNumbersAllocateNothing(t *testing.T) {
	n, buf := NewNumbers(6), make([]byte, 0, 64)
	if a := testing.AllocsPerRun(100, func() { buf = n.Append(buf[:0], 12.3456789) }); a != 0 {
		t.Errorf("%v allocations", a)
	}
}

func BenchmarkNumbers(b *testing.B) {
	values := make([]float64, 1024)
	for i := range values {
		values[i] = float64(i) * math.Pi
	}
	b.Run("fixed", func(b *testing.B) {
		b.ReportAllocs()
		n, buf, i := NewNumbers(6), make([]byte, 0, 64), 0
		for b.Loop() {
			buf = n.Append(buf[:0], values[i&1023])
			i += len(buf)
		}
	})
	b.Run("strconv", func(b *testing.B) {
		b.ReportAllocs()
		buf, i := make([]byte, 0, 64), 0
		for b.Loop() {
			buf = strconv.AppendFloat(buf[:0], values[i&1023], 'f', 6, 64)
			i += len(buf)
		}
	})
}
