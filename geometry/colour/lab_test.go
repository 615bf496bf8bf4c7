// SPDX-License-Identifier: Apache-2.0

package colour_test

import (
	"fmt"
	"math"
	"testing"

	"lozenge/geometry/colour"
)

// The primaries and the white of sRGB as IEC 61966-2-1 gives them, x and y.
var (
	primaries = [3][2]float64{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}}
	daylight  = [2]float64{0.3127, 0.3290}
)

// xyz is of a colour of unit luminance.
func xyz(p [2]float64) [3]float64 { return [3]float64{p[0] / p[1], 1, (1 - p[0] - p[1]) / p[1]} }

// labByDefinition converts as IEC 61966-2-1 and ISO/CIE 11664-4 define it,
// without the library: the luminances of the primaries are those that add up to
// white.
func labByDefinition(c colour.RGB) (l, a, b float64) {
	var m [3][4]float64 // primaries in columns, white
	for j, p := range primaries {
		for i, v := range xyz(p) {
			m[i][j] = v
		}
	}
	white := xyz(daylight)
	for i, v := range white {
		m[i][3] = v
	}
	for i := range 3 { // Gauss and Jordan
		for r := range 3 {
			if r == i {
				continue
			}
			f := m[r][i] / m[i][i]
			for k := range 4 {
				m[r][k] -= f * m[i][k]
			}
		}
	}
	var sum [3]float64
	for j, p := range primaries {
		v := float64(c[j]) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		for i, x := range xyz(p) {
			sum[i] += v * m[j][3] / m[j][j] * x
		}
	}
	f := func(i int) float64 {
		t := sum[i] / white[i]
		if t > math.Pow(6./29, 3) {
			return math.Cbrt(t)
		}
		return t*math.Pow(29./6, 2)/3 + 4./29
	}
	return 116*f(1) - 16, 500 * (f(0) - f(1)), 200 * (f(1) - f(2))
}

// every calls f with colours all over the cube, its corners included.
func every(step int, f func(c colour.RGB)) {
	for r := 0; r < 256; r += step {
		for g := 0; g < 256; g += step {
			for b := 0; b < 256; b += step {
				f(colour.RGB{uint8(r), uint8(g), uint8(b)})
			}
		}
	}
}

func TestLabByDefinition(t *testing.T) {
	every(15, func(c colour.RGB) {
		got := colour.LabOf(c)
		l, a, b := labByDefinition(c)
		for i, v := range [3]float64{l, a, b} {
			if d := float64([3]int{got.L, got.A, got.B}[i])/1000 - v; math.Abs(d) > 0.0006 {
				t.Fatalf("%v is %v, by definition %v %v %v", c, got, l, a, b)
			}
		}
	})
}

// The values that colour calculators and libraries print for the corners of
// sRGB under D65 (from memory; they use the white 0.95047, 1, 1.08883 and a
// matrix of four or seven digits, so the last digits are not the same).
func TestLabOfTheCorners(t *testing.T) {
	for _, c := range []struct {
		rgb     colour.RGB
		l, a, b float64
	}{
		{colour.RGB{0, 0, 0}, 0, 0, 0},
		{colour.RGB{255, 255, 255}, 100, 0, 0},
		{colour.RGB{255, 0, 0}, 53.24, 80.09, 67.20},
		{colour.RGB{0, 255, 0}, 87.73, -86.18, 83.18},
		{colour.RGB{0, 0, 255}, 32.30, 79.19, -107.86},
		{colour.RGB{255, 255, 0}, 97.14, -21.55, 94.48},
		{colour.RGB{0, 255, 255}, 91.11, -48.09, -14.13},
		{colour.RGB{255, 0, 255}, 60.32, 98.23, -60.82},
		{colour.RGB{128, 128, 128}, 53.59, 0, 0},
	} {
		got := colour.LabOf(c.rgb)
		for i, want := range [3]float64{c.l, c.a, c.b} {
			if d := float64([3]int{got.L, got.A, got.B}[i])/1000 - want; math.Abs(d) > 0.03 {
				t.Errorf("%v is %v, want %v %v %v", c.rgb, got, c.l, c.a, c.b)
			}
		}
	}
}

// Law: every grey is grey, and lighter than the one before.
func TestGreysAreGrey(t *testing.T) {
	last := -1
	for v := range 256 {
		c := colour.LabOf(colour.RGB{uint8(v), uint8(v), uint8(v)})
		if c.A != 0 || c.B != 0 || c.L <= last {
			t.Errorf("grey %d is %v after %d", v, c, last)
		}
		last = c.L
	}
}

func TestApart(t *testing.T) {
	a, b := colour.Lab{L: 50_000, A: 3000, B: -4000}, colour.Lab{L: 38_000}
	// 12, 3 and 4 make 13.
	if d := a.Apart(b); d != 169_000_000 {
		t.Errorf("apart %d", d)
	}
}

// contrast is the contrast ratio of WCAG 2.2, relative luminances as defined
// there.
func contrast(a, b colour.RGB) float64 {
	luminance := func(c colour.RGB) float64 {
		sum := 0.0
		for i, k := range [3]float64{0.2126, 0.7152, 0.0722} {
			v := float64(c[i]) / 255
			if v <= 0.04045 {
				v /= 12.92
			} else {
				v = math.Pow((v+0.055)/1.055, 2.4)
			}
			sum += k * v
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Law: on every colour the ink has the contrast that text of any size needs
// (WCAG 2.2, success criterion 1.4.3), and the other ink has no more than a
// little more.
func TestInkCanBeRead(t *testing.T) {
	least := math.Inf(1)
	look := func(c colour.RGB) {
		ink := colour.InkOn(c)
		got, other := contrast(ink.RGB(), c), contrast((1-ink).RGB(), c)
		if got < 4.5 || other > got+0.1 {
			t.Errorf("on %v ink %v has a contrast of %v, the other %v", c, ink, got, other)
		}
		least = min(least, got)
	}
	every(15, look)
	every(17, look)
	for v := range 256 {
		look(colour.RGB{uint8(v), uint8(v), uint8(v)})
	}
	if least > 4.7 {
		t.Errorf("no colour near the border was tried: the least contrast is %v", least)
	}
}

func ExampleInkOn() {
	for _, c := range []colour.RGB{{0x17, 0x50, 0x6b}, {0x9f, 0xcf, 0xcf}} {
		fmt.Println(colour.LabOf(c).L/1000, colour.InkOn(c) == colour.White)
	}
	// Output:
	// 31 true
	// 79 false
}
