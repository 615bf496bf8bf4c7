// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"strings"
	"testing"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// valued returns the plan of a quilt with these colours in its two fabrics, of
// strips in that order.
func valued(t *testing.T, order string, a, b []quilt.Colour) *quilt.Plan {
	t.Helper()
	s := spec([]float64{2, 2}, 0.25, 60, 40, quilt.Zigzag, 6, 12)
	s.Strips = nil
	for _, key := range order {
		s.Strips = append(s.Strips, quilt.Strip{Cut: 2, Fabric: string(key)})
	}
	s.Fabrics = []quilt.Fabric{{Key: "a", Name: "Ash", Colours: a}, {Key: "b", Name: "Bark", Colours: b}}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// runsTogether returns the notes about colours that are as light.
func runsTogether(p *quilt.Plan) (out []string) {
	for _, n := range words.Notes(p) {
		if strings.Contains(n, "from across the room") || strings.Contains(n, "So do") {
			out = append(out, n)
		}
	}
	return out
}

// How far apart greys are in L, by the definitions of IEC 61966-2-1 and ISO/CIE
// 11664-4 worked out apart from this program; of a grey they need no primaries. Up
// to 10 they run together (common practice, no source).
func TestRunTogetherUpToTen(t *testing.T) {
	grey := func(v uint8) []quilt.Colour { return []quilt.Colour{{v, v, v}} }
	for _, c := range []struct {
		dark, light uint8
		together    bool
	}{
		{16, 37, true},    // 9.9992
		{10, 33, true},    // 9.9983
		{79, 103, true},   // 9.9976
		{43, 65, false},   // 10.0014
		{161, 188, false}, // 10.0021
		{198, 226, false}, // 10.0025
		{0, 0, true}, {0, 255, false},
	} {
		for _, p := range []*quilt.Plan{valued(t, "ab", grey(c.dark), grey(c.light)), valued(t, "ab", grey(c.light), grey(c.dark))} {
			pairs, notes := p.AlikeInValue(), runsTogether(p)
			if (len(pairs) == 1) != c.together || (len(notes) == 1) != c.together {
				t.Errorf("greys %d and %d: %+v, %q", c.dark, c.light, pairs, notes)
			}
		}
	}
}

// A pair is named once, however often it is sewn and whichever of the two lies
// lower; colours of one fabric are no pair.
func TestRunTogetherOncePerPair(t *testing.T) {
	one, two := []quilt.Colour{{0x80, 0x80, 0x80}}, []quilt.Colour{{0x82, 0x82, 0x82}, {0x84, 0x84, 0x84}}
	for _, order := range []string{"ab", "ba", "aba", "abab", "bab"} {
		p := valued(t, order, one, two)
		if len(p.Fewest.Layouts) < 4 {
			t.Fatalf("%s: only %d strip sets", order, len(p.Fewest.Layouts))
		}
		if pairs, notes := p.AlikeInValue(), runsTogether(p); len(pairs) != 2 || len(notes) != 2 {
			t.Errorf("%s: %+v, %q", order, pairs, notes)
		}
	}
}

// Five pairs are named, the others counted.
func TestRunTogetherManyPairs(t *testing.T) {
	for n, want := range map[int]string{
		5: "", 6: "So does 1 more pair of colours.", 7: "So do 2 more pairs of colours.", 9: "So do 4 more pairs of colours.",
	} {
		var greys []quilt.Colour
		for i := range n {
			greys = append(greys, quilt.Colour{uint8(0x80 + i), uint8(0x80 + i), uint8(0x80 + i)})
		}
		p := valued(t, "ab", greys, []quilt.Colour{{0x84, 0x84, 0x84}})
		if got := len(p.AlikeInValue()); got != n {
			t.Fatalf("%d pairs, not %d", got, n)
		}
		notes := runsTogether(p)
		if got := strings.Join(notes[5:], " "); got != want || strings.Contains(strings.Join(notes[:5], ""), "So do") {
			t.Errorf("%d pairs: %q", n, notes)
		}
	}
}
