// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/norm"

	"lozenge/export/draw"
)

// The standard fonts hold the letters of Windows 1252 (WinAnsiEncoding), a
// byte for each: UTF-8 comes out as garbage (jung-kurt/gofpdf#114).

// encode returns s as bytes of the font's encoding. What it lacks is written
// another way (3/8 for one glyph, e for an e with a caron) or as "?", and
// returned as missing.
func encode(s string) (text []byte, missing []rune) {
	put := func(r rune) bool {
		b, ok := charmap.Windows1252.EncodeRune(r)
		if ok && !unicode.IsControl(r) {
			text = append(text, b)
		}
		return ok
	}
	for _, r := range strings.TrimSpace(s) {
		if unicode.IsSpace(r) {
			r = ' '
		}
		if unicode.IsControl(r) || unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) {
			continue
		}
		if put(r) {
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

// widths are how wide the letters of Helvetica and of its bold are, in
// thousandths of the font's size, by their bytes: Adobe's metrics, as the
// library has them.
var widths = sync.OnceValue(func() (w [2][256]int) {
	lib := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt"})
	for i, style := range [...]string{"", "B"} {
		lib.SetFont("Helvetica", style, 1)
		for b := 1; b < 256; b++ {
			w[i][b] = lib.GetStringSymbolWidth(string([]byte{byte(b)}))
		}
	}
	return w
})

// TextWidth returns how wide a file shows a text whose capitals are height
// high, in the same unit.
func TextWidth(value string, height float64, bold bool) float64 {
	style := 0
	if bold {
		style = 1
	}
	text, _ := encode(value)
	all, sum := widths(), 0
	for _, b := range text {
		sum += all[style][b]
	}
	return float64(sum) / 1000 * (height / capHeight)
}

// TextHeight returns the height of the capitals of a font of that size.
func TextHeight(size float64) float64 { return size * capHeight }

// literal returns bytes as a PDF string. Only printing ASCII stands for
// itself; ( ) \ and all else are escaped.
func literal(text []byte) string {
	var out strings.Builder
	out.WriteByte('(')
	for _, b := range text {
		switch {
		case b == '(', b == ')', b == '\\':
			out.WriteByte('\\')
			out.WriteByte(b)
		case b < ' ', b > '~':
			fmt.Fprintf(&out, `\%03o`, b)
		default:
			out.WriteByte(b)
		}
	}
	out.WriteByte(')')
	return out.String()
}

// utf16be returns a text for the document's information.
func utf16be(s string) string {
	out := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(strings.ToValidUTF8(s, "?"))) {
		out = append(out, byte(u>>8), byte(u))
	}
	return string(out)
}

// Missing returns the characters of the pages' texts for which the file's
// font has no letter, sorted, each once: the file shows "?" for them.
func Missing(pages []*draw.Drawing) []rune {
	var out []rune
	for _, p := range pages {
		for _, t := range p.Texts {
			_, missing := encode(t.Value)
			out = append(out, missing...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
