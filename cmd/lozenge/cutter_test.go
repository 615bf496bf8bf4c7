// SPDX-License-Identifier: Apache-2.0

package main

import (
	"math"
	"testing"

	"lozenge/geometry"
)

func TestParseSize(t *testing.T) {
	for _, c := range []struct {
		text string
		unit geometry.Unit
		a, b float64 // both 0: refused
	}{
		{"12x24in", geometry.Inch, 12, 24},
		{"12 x 24", geometry.Inch, 12, 24},
		{"12X24", geometry.Centimetre, 12, 24},
		{"30x60cm", geometry.Centimetre, 30, 60},
		{"25.4 × 50.8 cm", geometry.Inch, 10, 20},
		{"12x24in", geometry.Centimetre, 30.48, 60.96},
		{`12x24"`, geometry.Centimetre, 30.48, 60.96},
		{`12"x24"`, geometry.Inch, 12, 24},
		{"12in x 50.8cm", geometry.Inch, 12, 20},
		{"11 1/2 x 23½ in", geometry.Inch, 11.5, 23.5},
		{"1x2ft", geometry.Inch, 12, 24},
		{"1ft 6in x 2ft", geometry.Inch, 18, 24},
		{"12", geometry.Inch, 0, 0},
		{"", geometry.Inch, 0, 0},
		{"x", geometry.Inch, 0, 0},
		{"12x", geometry.Inch, 0, 0},
		{"x24in", geometry.Inch, 0, 0},
		{"12x24x3in", geometry.Inch, 0, 0},
		{"12x24kg", geometry.Inch, 0, 0},
		{"12,5x24in", geometry.Inch, 0, 0},
		{"letter", geometry.Inch, 0, 0},
	} {
		a, b, err := parseSize(c.text, c.unit)
		if (err != nil) != (c.a == 0) || math.Abs(a-c.a) > 1e-12 || math.Abs(b-c.b) > 1e-12 {
			t.Errorf("%q in %v: %v by %v, %v; want %v by %v", c.text, c.unit, a, b, err, c.a, c.b)
		}
	}
}
