// SPDX-License-Identifier: Apache-2.0

package colour_test

import (
	"math"
	"testing"

	"lozenge/geometry/colour"
)

// By the definitions of IEC 61966-2-1 and ISO/CIE 11664-4, as labByDefinition
// has them: no other grey is nearer in lightness, and a grey is its own.
func TestGreyIsAsLight(t *testing.T) {
	far := func(c colour.RGB, v int) float64 {
		l, _, _ := labByDefinition(c)
		g, _, _ := labByDefinition(colour.RGB{uint8(v), uint8(v), uint8(v)})
		return math.Abs(l - g)
	}
	every(51, func(c colour.RGB) {
		got := colour.Grey(c)
		if got[0] != got[1] || got[1] != got[2] {
			t.Fatalf("%v: %v is no grey", c, got)
		}
		for v := range 256 {
			if far(c, v) < far(c, int(got[0]))-0.001 {
				t.Errorf("%v: %v, but %d is nearer", c, got, v)
			}
		}
		if c[0] == c[1] && c[1] == c[2] && got != c {
			t.Errorf("%v became %v", c, got)
		}
	})
}

// Hand-picked: the values of CSS Color Module Level 4, section 6.1, and words
// by eye.
func TestKeywords(t *testing.T) {
	for name, want := range map[string]colour.RGB{
		"teal": {0, 0x80, 0x80}, "rebeccapurple": {0x66, 0x33, 0x99}, "DarkSlateGray": {0x2f, 0x4f, 0x4f}, "lightgoldenrodyellow": {0xfa, 0xfa, 0xd2}, "tomato": {0xff, 0x63, 0x47},
	} {
		if got, ok := colour.Keyword(name); !ok || got != want {
			t.Errorf("%s: %v %v", name, got, ok)
		}
	}
	if n := len(colour.Keywords()); n != 148 {
		t.Errorf("%d keywords, CSS has 148", n)
	}
	if _, ok := colour.Keyword("dark slate gray"); ok {
		t.Error("a keyword has no blanks")
	}
	for _, name := range colour.Keywords() {
		c, ok := colour.Keyword(name)
		if near, _ := colour.Keyword(stripped(colour.Nearest(c))); !ok || near != c {
			t.Errorf("%s: nearest to its own colour is %s", name, colour.Nearest(c))
		}
	}
	if got := colour.Nearest(colour.RGB{0x2f, 0x4f, 0x4f}); got != "dark slate gray" {
		t.Errorf("%q", got)
	}
}

func stripped(s string) (out string) {
	for _, r := range s {
		if r != ' ' {
			out += string(r)
		}
	}
	return out
}
