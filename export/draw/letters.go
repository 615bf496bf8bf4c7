// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"
	"unicode"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// Change is a character that a text lost, and what stands for it: "?" where
// nothing else writes it.
type Change struct {
	From rune
	To   string
}

// Lost reports whether nothing else writes the character.
func (c Change) Lost() bool { return c.To == "?" }

// Spell writes a text, on one line, in the characters that there are. Others
// are written another way: 3/8 for one glyph, e for an e with a caron.
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

// otherwise writes a character in those that there are, with as many of its
// marks as can be.
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
		if !unicode.In(parts[len(parts)-1], unicode.Mn, unicode.Me) {
			return "?"
		}
	}
}

// inWords is how a character is written without it, where taking it apart
// does not tell.
var inWords = map[rune]string{
	'⁄': "/", '∕': "/", '″': `"`, '′': "'", 'ʺ': `"`, 'ʹ': "'", '−': "-", '‐': "-", '‑': "-", '‒': "-",
	'→': "->", '←': "<-", '≤': "<=", '≥': ">=", '≈': "~", '⌀': "Ø",
	'đ': "d", 'Đ': "D", 'ł': "l", 'Ł': "L", 'ı': "i", 'ħ': "h", 'Ħ': "H",
}

// InWindows1252 reports whether the code page has a character.
func InWindows1252(r rune) bool {
	_, ok := charmap.Windows1252.EncodeRune(r)
	return ok && !unicode.IsControl(r)
}

// Windows1252 returns a text, on one line, as bytes of the code page that files
// of DXF have, one for each letter: UTF-8 comes out as garbage
// (DomCR/ACadSharp#1092, mozman/ezdxf#366).
func Windows1252(s string) []byte {
	text, _ := Spell(s, InWindows1252)
	var out []byte
	for _, r := range text {
		b, _ := charmap.Windows1252.EncodeRune(r)
		out = append(out, b)
	}
	return out
}

// Fonts letter a PDF: the Go fonts, and for what they lack a font
// that was given.
type Fonts struct {
	More *Font // or nil
}

// Has reports whether there is a letter for a character. What is joined or
// runs from right to left takes more than letters.
func (f Fonts) Has(r rune) bool {
	return GoFont(false).Has(r) || f.More != nil && !Joined(r) && f.More.Has(r)
}

// Joined reports whether a character is of a script whose letters change with
// their neighbours or run from right to left.
func Joined(r rune) bool {
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.R || p.Class() == bidi.AL || unicode.In(r, unicode.Devanagari, unicode.Bengali,
		unicode.Gurmukhi, unicode.Gujarati, unicode.Oriya, unicode.Tamil, unicode.Telugu, unicode.Kannada,
		unicode.Malayalam, unicode.Sinhala, unicode.Khmer, unicode.Myanmar, unicode.Tibetan, unicode.Mongolian)
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
