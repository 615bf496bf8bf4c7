// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"
	"unicode"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/norm"
)

// Windows1252 returns a text, on one line, as bytes of the code page that the
// standard fonts of a PDF and files of DXF have, one for each letter: UTF-8 comes
// out as garbage (jung-kurt/gofpdf#114, DomCR/ACadSharp#1092, mozman/ezdxf#366).
// What the code page lacks is written another way (3/8 for one glyph, e for an e
// with a caron) or as "?", and returned as missing.
func Windows1252(s string) (text []byte, missing []rune) {
	put := func(r rune) bool {
		b, ok := charmap.Windows1252.EncodeRune(r)
		if ok && !unicode.IsControl(r) {
			text = append(text, b)
		}
		return ok
	}
	for _, r := range s {
		if unicode.IsSpace(r) {
			r = ' '
		}
		if unicode.IsControl(r) || unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) || put(r) {
			continue
		}
		words, ok := inWords[r]
		if !ok {
			words = norm.NFKD.String(string(r))
		}
		words = strings.Map(func(r rune) rune {
			switch {
			case unicode.Is(unicode.Mn, r):
				return -1
			case r == '⁄':
				return '/'
			}
			return r
		}, words)
		// 2⅜ is not 23/8.
		if unicode.Is(unicode.No, r) && len(text) > 0 && '0' <= text[len(text)-1] && text[len(text)-1] <= '9' {
			words = " " + words
		}
		before := len(text)
		for _, w := range words {
			if !put(w) {
				text, missing = append(text[:before], '?'), append(missing, r)
				break
			}
		}
	}
	return text, missing
}

// inWords is how a character is written without it, where taking it apart
// does not tell.
var inWords = map[rune]string{
	'⁄': "/", '∕': "/", '″': `"`, '′': "'", 'ʺ': `"`, 'ʹ': "'", '−': "-", '‐': "-", '‑': "-", '‒': "-",
	'→': "->", '←': "<-", '≤': "<=", '≥': ">=", '≈': "~", '⌀': "Ø",
	'đ': "d", 'Đ': "D", 'ł': "l", 'Ł': "L", 'ı': "i", 'ħ': "h", 'Ħ': "H",
}
