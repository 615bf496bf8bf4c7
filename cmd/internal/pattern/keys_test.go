// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Distances counted by hand.
func TestSlipsBetween(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "cut", 3}, {"cut", "cut", 0}, {"cut", "cute", 1}, {"cut", "ctu", 1},
		{"cut", "cat", 1}, {"seam", "same", 2}, {"colour", "color", 1}, {"½", "¼", 1}, {"kitten", "sitting", 3},
	} {
		if got := slipsBetween(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// Symmetric; 0 only for equal words; one slip counts 1 at most.
func TestSlipsBetweenLaws(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abc_")), 0, 8, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		d := slipsBetween(a, b)
		if d != slipsBetween(b, a) || (d == 0) != (a == b) || d > max(len(a), len(b)) {
			t.Fatalf("%q to %q: %d", a, b, d)
		}
		if i := rapid.IntRange(0, len(a)).Draw(t, "i"); slipsBetween(a, a[:i]+"x"+a[i:]) != 1 {
			t.Fatal("a letter put in")
		}
	})
}

func TestNearest(t *testing.T) {
	words := wholePart.keys
	for text, want := range map[string]string{
		"anlge": "angle", "STRIPS": "strips", "mix leans": "mix_leans", "sewnwidth": "sewn_width",
		"boarders": "borders", "xyz": "", "": "", "spaer": "spare", "paper": "", strings.Repeat("a", 100_000): "",
	} {
		if got := nearest(text, words); got != want {
			t.Errorf("%.20q: %q, want %q", text, got, want)
		}
	}
}

// A key with one slip is always put right, unless it became another's.
func TestEveryKeyIsFound(t *testing.T) {
	for _, p := range parts {
		for _, key := range p.keys {
			for i := range key {
				for _, typo := range []string{key[:i] + key[i+1:], key[:i] + "x" + key[i:]} {
					if p.has(typo) || len(typo) < 3 {
						continue
					}
					if got := nearest(typo, p.keys); got != key && slipsBetween(typo, got) != 1 {
						t.Errorf("%s of %s: %q, want %s", typo, p.name, got, key)
					}
				}
			}
		}
	}
}
