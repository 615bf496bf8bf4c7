// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"lozenge/export/draw"
)

// The Go fonts are nearly as wide as Helvetica, whose widths by Adobe's metrics are,
// from memory: H 722, o 556, n 556; bold H 722, o 611, n 611. They have units of
// 1/2048.
func TestGoIsNearlyHelvetica(t *testing.T) {
	for _, c := range []struct {
		text string
		bold bool
		want float64
	}{{"Hono", false, 2.39}, {"Hono", true, 2.555}, {"", false, 0}} {
		if got := draw.GoOf(c.bold).Width(c.text, draw.GoCap); math.Abs(got-c.want) > 0.002 {
			t.Errorf("%q, bold %v: %v, want %v", c.text, c.bold, got, c.want)
		}
	}
}

// No text of plain letters is wider in the Go font than in the face that is at
// most so wide.
func TestLooseIsAtLeastGo(t *testing.T) {
	for r := rune(' '); r < 0x180; r++ {
		if s := string(r); draw.Loose.Width(s, 1) < draw.Go.Width(s, 1)-1e-3 && r != 0xad {
			t.Errorf("%q is %v wide, in Go %v", s, draw.Loose.Width(s, 1), draw.Go.Width(s, 1))
		}
	}
}

const hard = "\u00a0"

var faces = []draw.Face{draw.Plain, draw.Wide, draw.Loose, draw.Go, draw.GoBold}

// Lines are no wider than there is room, hold all letters in order, and no line
// could take the first word of the next; hard spaces stay unless a word is wider
// than a line.
func TestWrapLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face := rapid.SampledFrom(faces).Draw(t, "face")
		text := rapid.StringMatching("([a-zA-Z0-9,.()/½]{1,12}[ \u00a0]{1,2}){0,12}[a-zA-Z]{0,30}").Draw(t, "text")
		height := rapid.Float64Range(0.05, 0.5).Draw(t, "height")
		room := rapid.Float64Range(0.05, 5).Draw(t, "room")
		lines := face.Wrap(text, height, room)
		gone := strings.NewReplacer(" ", "", hard, "")
		if got, want := gone.Replace(strings.Join(lines, "")), gone.Replace(text); got != want {
			t.Fatalf("%q became %q", want, got)
		}
		for i, l := range lines {
			if face.Width(l, height) > room+1e-9 && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("%q is %v wide, not %v", l, face.Width(l, height), room)
			}
			if l == "" {
				t.Fatal("an empty line")
			}
			if i > 0 {
				next, _, _ := strings.Cut(l, " ")
				if face.Width(lines[i-1]+" "+next, height) < room-1e-9 {
					t.Fatalf("%q has room for %q", lines[i-1], next)
				}
			}
		}
		if strings.Contains(text, hard) && len(lines) == 1 && strings.Count(lines[0], hard) != strings.Count(text, hard) {
			t.Fatalf("%q lost a hard space", lines[0])
		}
	})
}

// What is cut off is told by dots, and fits.
func TestShorten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face := rapid.SampledFrom(faces).Draw(t, "face")
		text := rapid.StringMatching("[a-z ]{0,40}").Draw(t, "text")
		room := rapid.Float64Range(0.5, 4).Draw(t, "room")
		got := face.Shorten(text, 0.1, room)
		switch {
		case face.Width(text, 0.1) <= room:
			if got != text {
				t.Fatalf("%q became %q", text, got)
			}
		case !strings.HasSuffix(got, "...") || !strings.HasPrefix(strings.TrimSpace(text), strings.TrimSuffix(got, "...")) || face.Width(got, 0.1) > room:
			t.Fatalf("%q became %q", text, got)
		}
	})
}
