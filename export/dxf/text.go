// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"strings"
	"unicode"
)

// A file of version AC1015 holds text in a code page, here Windows 1252:
// UTF-8 comes out as garbage (DomCR/ACadSharp#1092, mozman/ezdxf#366). Its
// strings also have live escapes, and a line break ends them.

// maxText is the longest string that all readers of AC1015 take.
const maxText = 250

// encode returns s as bytes of Windows 1252 that mean just what they say.
// What the code page lacks is written another way or as "?".
func encode(s string) string {
	out := make([]byte, 0, len(s))
	put := func(text string) {
		for i := 0; i < len(text); i++ {
			out = appendPlain(out, text[i])
		}
	}
	for _, r := range strings.TrimSpace(s) {
		switch {
		case r == '\n', r == '\r', r == '\t', r == '\v', r == '\f', r == 0x85:
			out = append(out, ' ')
		case r < 0x20, r == 0x7f:
		case r < 0x7f:
			out = appendPlain(out, byte(r))
		default:
			if text, ok := inWords(r); ok {
				// 2⅜ is not 23/8.
				if unicode.Is(unicode.No, r) && len(out) > 0 && isDigit(out[len(out)-1]) {
					out = append(out, ' ')
				}
				put(text)
			} else if b, ok := codePage(r); ok {
				out = append(out, b)
			} else if !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf, unicode.Cc) {
				out = append(out, '?')
			}
		}
	}
	if len(out) > maxText {
		out = out[:maxText-4]
		if out[len(out)-1] == '^' {
			out = append(out, ' ') // a caret needs its space
		}
		out = append(out, "..."...)
	}
	return string(out)
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// appendPlain appends a byte so that it starts no escape: "^J" is a control
// character and "^ " a caret, "%%d" a degree sign, "\U+0041" a letter.
func appendPlain(out []byte, b byte) []byte {
	last := byte(0)
	if len(out) > 0 {
		last = out[len(out)-1]
	}
	switch {
	case b == '^':
		return append(out, '^', ' ')
	case b == '%' && last == '%':
		return append(out, ' ', '%')
	case b == '\\':
		return append(out, '/')
	}
	return append(out, b)
}

// inWords returns how a character is written without it.
func inWords(r rune) (string, bool) {
	switch r {
	case '⅛':
		return "1/8", true
	case '⅜':
		return "3/8", true
	case '⅝':
		return "5/8", true
	case '⅞':
		return "7/8", true
	case '⅓':
		return "1/3", true
	case '⅔':
		return "2/3", true
	case '⅕':
		return "1/5", true
	case '⅙':
		return "1/6", true
	case '⅒':
		return "1/10", true
	case '⁄':
		return "/", true
	case '″':
		return `"`, true
	case '′':
		return "'", true
	case '−', '‐', '‑':
		return "-", true
	case '→':
		return "->", true
	case '←':
		return "<-", true
	case '≤':
		return "<=", true
	case '≥':
		return ">=", true
	case '≈':
		return "~", true
	case '\u2028', '\u2029', '\u2002', '\u2003', '\u2009', '\u202f':
		return " ", true
	}
	if r >= 0x100 && r < 0x180 {
		if _, ok := codePage(r); !ok {
			return latin[r-0x100 : r-0x100+1], true
		}
	}
	return "", false
}

// latin is U+0100 to U+017F without the accents.
const latin = "AaAaAaCcCcCcCcDdDdEeEeEeEeEeGgGgGgGgHhHhIiIiIiIiIiIiJjKkkLlLlLlLl" +
	"LlNnNnNnnNnOoOoOoOoRrRrRrSsSsSsSsTtTtTtUuUuUuUuUuUuWwYyYZzZzZzs"

// high is what Windows 1252 has in 0x80 to 0x9f; 0xa0 to 0xff are Latin 1.
// https://www.unicode.org/Public/MAPPINGS/VENDORS/MICSFT/WINDOWS/CP1252.TXT
var high = [32]rune{
	'€', 0, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0, 'Ž', 0,
	0, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0, 'ž', 'Ÿ',
}

func codePage(r rune) (byte, bool) {
	if r >= 0xa0 && r <= 0xff {
		return byte(r), true
	}
	if r > 0xff {
		for i, h := range high {
			if h == r {
				return byte(0x80 + i), true
			}
		}
	}
	return 0, false
}

// fromCodePage is the reverse, for reading. The five bytes that stand for
// nothing become the replacement character.
func fromCodePage(s string) string {
	plain := true
	for i := 0; i < len(s); i++ {
		plain = plain && s[i] < 0x80
	}
	if plain {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); i++ {
		r := rune(s[i])
		if r >= 0x80 && r < 0xa0 {
			if r = high[r-0x80]; r == 0 {
				r = unicode.ReplacementChar
			}
		}
		out.WriteRune(r)
	}
	return out.String()
}

// textWidth estimates how long text in the code page is, for capitals of the
// given height.
func textWidth(s string, height float64) float64 {
	units := 0
	for i := 0; i < len(s); i++ {
		if b := s[i]; b >= 0x20 && b < 0x7f {
			units += int(widths[b-0x20])
		} else {
			units += digitWidth
		}
	}
	return float64(float64(units)*height) / capUnits
}

const (
	digitWidth = 556 // also that of most accented letters
	capUnits   = 718
)

// widths are those of the characters 0x20 to 0x7e in thousandths of the font
// size, from Adobe's font metrics for Helvetica, whose capitals are 718 high.
var widths = [...]int16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}
