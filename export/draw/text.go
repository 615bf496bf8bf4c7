// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"
	"unicode/utf8"
)

// Face is a typeface by which the width of words is reckoned.
type Face int

// The faces. A reader shows words of an SVG in a face of its own choice, those of
// a PDF in the fonts that it embeds.
const (
	Plain   Face = iota // any plain sans-serif face, on the generous side
	Wide                // the widest of them, DejaVu Sans, which is wider by up to a sixth
	Running             // lines of English in that widest one, on average
	Loose               // any with the measures of Helvetica, and the Go fonts: for each kind of letter its widest
	Go                  // the Go font; a letter that it lacks is taken to be an em wide
	GoBold              // its bold, likewise
)

// GoOf returns the Go font or its bold.
func GoOf(bold bool) Face {
	if bold {
		return GoBold
	}
	return Go
}

// ArialCap is the height of a capital over the size of the font in the OS/2
// table of Arial (1466/2048), by which the letters of an SVG are sized.
const ArialCap = 0.716

// advance is how wide a character of a plain sans-serif face is taken to be,
// on the generous side, per height of its capitals: about 0.55 em of 0.72 em
// (common practice, no source).
const advance = 0.76

// Width returns the width that a text of the given cap height is taken to need.
// Of the Go fonts it is what a PDF shows, see [Fonts].
func (f Face) Width(value string, height float64) float64 {
	switch f {
	case Wide:
		return 1.17 * Plain.Width(value, height)
	case Running:
		return float64(utf8.RuneCountInString(value)) * (height / 0.73) * 0.6
	case Loose:
		sum := 0
		for _, r := range value {
			sum += loose(r)
		}
		return float64(sum) * height / 716
	case Go, GoBold:
		font, sum := GoFont(f == GoBold), 0.0
		text, _ := Spell(value, func(r rune) bool { return font.Has(r) || (Change{r, otherwise(r, font.Has)}).Lost() })
		for _, r := range text {
			if font.Has(r) {
				sum += font.Advance(r)
			} else {
				sum++
			}
		}
		return sum * height / GoCap
	}
	wide := 0
	for _, r := range value {
		if r >= firstWide && !GoFont(false).Has(r) {
			wide++
		}
	}
	return float64(float64(utf8.RuneCountInString(value)-wide)*height*advance) + float64(float64(wide)*height/ArialCap)
}

// firstWide is the first character that may be as wide as its font is high: those
// of Latin, Greek and Cyrillic lie before it.
const firstWide = 0x1100

// TextWidth is the width of a text in a [Plain] face.
func TextWidth(value string, height float64) float64 { return Plain.Width(value, height) }

func loose(r rune) int {
	switch {
	case r == ' ', r == '\u00a0', r == 'i', r == 'j', r == 'l', r >= '\'' && r <= ')', r == ',', r == '.', r == '/', r == ':', r == ';', r == '!', r == '|':
		return 334
	case r >= 'a' && r <= 'z' && r != 'm' && r != 'w', r >= '0' && r <= '9':
		return 556
	case r >= 'A' && r <= 'Z' && r != 'M' && r != 'W', r == 'w', r == '+', r == '-', r == '"', r == '°':
		return 778
	}
	return 1015
}

// Shorten cuts a text to one line no wider than room, with dots for what is left
// out.
func (f Face) Shorten(text string, height, room float64) string {
	if f.Width(text, height) <= room {
		return text
	}
	letters := []rune(text)
	for len(letters) > 0 && f.Width(string(letters)+"...", height) > room {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimSpace(string(letters)) + "..."
}

// Word is a word of a paragraph in its face.
type Word struct {
	Text string
	Face Face
}

// Words parts a text at its spaces, but not at no-break spaces.
func (f Face) Words(text string) []Word {
	var out []Word
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\n' }) {
		out = append(out, Word{w, f})
	}
	return out
}

// Lines breaks words into lines, as many on each as are no wider than room. A word
// that is wider by itself is broken anywhere; no line is wider, but for a single
// letter.
func Lines(words []Word, height, room float64) [][]Word {
	var out [][]Word
	x := 0.0
	for len(words) > 0 {
		w := words[0]
		words = words[1:]
		wide := w.Face.Width(w.Text, height)
		if wide > room {
			letters := []rune(w.Text)
			n := len(letters) - 1
			for n > 1 && w.Face.Width(string(letters[:n]), height) > room {
				n--
			}
			if n > 0 {
				words = append([]Word{{string(letters[n:]), w.Face}}, words...)
				w.Text = string(letters[:n])
				wide = w.Face.Width(w.Text, height)
			}
		}
		if space := w.Face.Width(" ", height); len(out) > 0 && x+space+wide <= room {
			out[len(out)-1] = append(out[len(out)-1], w)
			x += space + wide
		} else {
			out = append(out, []Word{w})
			x = wide
		}
	}
	return out
}

// Wrap breaks a text of one face into lines, see [Lines].
func (f Face) Wrap(text string, height, room float64) []string {
	var out []string
	for _, line := range Lines(f.Words(text), height, room) {
		var words []string
		for _, w := range line {
			words = append(words, w.Text)
		}
		out = append(out, strings.Join(words, " "))
	}
	return out
}
