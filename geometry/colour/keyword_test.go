// SPDX-License-Identifier: Apache-2.0

package colour_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/colornames"

	"lozenge/geometry/colour"
)

// The keywords are those of CSS Color Module Level 4, section 6.1: the 147 of
// SVG 1.1, which x/image lists, and rebeccapurple.
func TestKeywordsAreThoseOfCSS(t *testing.T) {
	want := append(slices.Clone(colornames.Names), "rebeccapurple")
	slices.Sort(want)
	if got := colour.Keywords(); !slices.Equal(got, want) || len(got) != 148 {
		t.Errorf("%d keywords: %v", len(got), got)
	}
	for _, name := range colornames.Names {
		c, ok := colour.Keyword(name)
		words := name
		if v := colornames.Map[name]; !ok || c != (colour.RGB{v.R, v.G, v.B}) || strings.ReplaceAll(words, " ", "") != name {
			t.Errorf("%s is %v, %q, %v", name, c, words, ok)
		}
	}
	// Values from the table of the standard.
	for text, want := range map[string]colour.RGB{
		"rebeccapurple": {0x66, 0x33, 0x99}, "SlateGray": {112, 128, 144}, "darkslategray": {47, 79, 79}, "linen": {250, 240, 230},
	} {
		if c, ok := colour.Keyword(text); !ok || c != want {
			t.Errorf("%s is %v, %v", text, c, ok)
		}
	}
	if _, ok := colour.Keyword("harbour"); ok {
		t.Error("harbour is a keyword")
	}
}

// Whatever the colour, no keyword is nearer in CIELAB as IEC 61966-2-1 and
// ISO/CIE 11664-4 define it.
func TestNearestByDefinition(t *testing.T) {
	type known struct {
		words   string
		l, a, b float64
	}
	var all []known
	for _, name := range colour.Keywords() {
		c, _ := colour.Keyword(name)
		l, a, b := labByDefinition(c)
		all = append(all, known{name, l, a, b})
		if got, _ := colour.Keyword(strings.ReplaceAll(colour.Nearest(c), " ", "")); got != c {
			t.Errorf("%s is called %s", name, colour.Nearest(c))
		}
	}
	every(15, func(c colour.RGB) {
		l, a, b := labByDefinition(c)
		apart := func(k known) float64 { return math.Hypot(math.Hypot(l-k.l, a-k.a), b-k.b) }
		least, said := math.Inf(1), math.Inf(1)
		for _, k := range all {
			least = min(least, apart(k))
			if k.words == strings.ReplaceAll(colour.Nearest(c), " ", "") {
				said = apart(k)
			}
		}
		if said > least+0.002 { // of rounding to a thousandth
			t.Errorf("%v is called %s, %v away; the nearest is %v away", c, colour.Nearest(c), said, least)
		}
	})
	// Of two keywords for one colour the same one is always said.
	for c, want := range map[colour.RGB]string{
		{0, 255, 255}: "aqua", {255, 0, 255}: "fuchsia", {112, 128, 144}: "slate gray", {47, 79, 79}: "dark slate gray", {128, 128, 128}: "gray",
	} {
		if got := colour.Nearest(c); got != want {
			t.Errorf("%v is called %s, want %s", c, got, want)
		}
	}
}
