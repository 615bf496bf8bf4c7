// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// Change is a character that a text lost, and what stands for it; "" where
// nothing does.
type Change struct {
	From rune
	To   string
}

// Lost reports whether a letter is written in no other way: its number stands for
// it, as U+5922, which is nothing to be read.
func (c Change) Lost() bool { return strings.HasPrefix(c.To, "U+") }

// Spell writes a text, on one line, in the characters that there are. Others
// are written another way: 3/8 for one glyph, e for an e with a caron. A sign of
// which there is none is left out, as a picture of a wave.
func Spell(s string, has func(rune) bool) (text string, changes []Change) {
	var out strings.Builder
	last := ' '
	for _, r := range norm.NFC.String(s) {
		if unicode.IsSpace(r) {
			r = ' '
		}
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Variation_Selector) {
			continue
		}
		to := string(r)
		if !has(r) {
			to = otherwise(r, has)
			changes = append(changes, Change{r, to})
			// 2⅜ is not 23/8.
			if unicode.Is(unicode.No, r) && '0' <= last && last <= '9' {
				to = " " + to
			}
		}
		out.WriteString(to)
		last = r
	}
	return out.String(), changes
}

// otherwise writes a character in those that there are, with as many as can be of
// its marks that serve several scripts.
func otherwise(r rune, has func(rune) bool) string {
	to, ok := inWords[r]
	if !ok {
		to = strings.ReplaceAll(norm.NFKD.String(string(r)), "⁄", "/")
	}
	for parts := []rune(to); ; parts = parts[:len(parts)-1] {
		to = norm.NFC.String(string(parts))
		if !strings.ContainsFunc(to, func(r rune) bool { return !has(r) }) {
			return to
		}
		if last := parts[len(parts)-1]; !unicode.IsMark(last) || !unicode.Is(unicode.Inherited, last) {
			break
		}
	}
	if unicode.In(r, unicode.L, unicode.M, unicode.N) {
		return fmt.Sprintf("U+%04X", r)
	}
	return ""
}

// inWords is how a character is written without it, where taking it apart
// does not tell.
var inWords = map[rune]string{
	'\\': "/", '⁄': "/", '∕': "/", '″': `"`, '′': "'", 'ʺ': `"`, 'ʹ': "'", '−': "-", '‐': "-", '‑': "-", '‒': "-",
	'→': "->", '←': "<-", '≤': "<=", '≥': ">=", '≈': "~", '⌀': "Ø",
	'đ': "d", 'Đ': "D", 'ł': "l", 'Ł': "L", 'ı': "i", 'ħ': "h", 'Ħ': "H",
}

// Fonts letter a PDF or a picture of pixels: the Go fonts, and for what they lack
// a font that was given.
type Fonts struct {
	More *Font // or nil
}

// Has reports whether there is a letter for a character, that stands as it is
// beside others, see [Shaped].
func (f Fonts) Has(r rune) bool {
	// What the Go fonts lack is taken to be an em wide, where room is reckoned.
	const widest = 1.25
	return !Shaped(r) && (GoFont(false).Has(r) || f.More != nil && f.More.Has(r) && f.More.Advance(r) >= 0 && f.More.Advance(r) <= widest)
}

// Shaped reports whether a character is of a script whose letters change with
// their neighbours or run from right to left, or is a mark, whose place they
// tell: to write it takes more than a font.
func Shaped(r rune) bool {
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.R || p.Class() == bidi.AL || unicode.In(r, unicode.M, unicode.Mongolian, unicode.Phags_Pa) || conjoins(r)
}

// conjoins reports whether a character is a part of a Korean syllable.
func conjoins(r rune) bool {
	return r >= 0x1100 && r < 0x1200 || r >= 0xa960 && r < 0xa980 || r >= 0xd7b0 && r < 0xd800
}

// Run is part of a text, in one font.
type Run struct {
	Font *Font
	Text string
}

// Runs returns a text as it is lettered, see [Spell].
func (f Fonts) Runs(value string, bold bool) []Run {
	text, _ := Spell(value, f.Has)
	var out []Run
	for _, r := range text {
		font := GoFont(bold)
		if !font.Has(r) {
			font = f.More
		}
		if n := len(out); n > 0 && out[n-1].Font == font {
			out[n-1].Text += string(r)
		} else {
			out = append(out, Run{font, string(r)})
		}
	}
	return out
}

// Width returns how wide a text is as it is lettered, for capitals of that
// height.
func (f Fonts) Width(value string, bold bool, height float64) float64 {
	sum := 0.0
	for _, run := range f.Runs(value, bold) {
		for _, r := range run.Text {
			sum += run.Font.Advance(r)
		}
	}
	return sum * height / GoCap
}
