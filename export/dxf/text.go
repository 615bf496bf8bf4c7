// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"

	"lozenge/export/draw"
)

// maxText is the most letters of a string: R12 takes no more bytes. AC1015 takes
// 2049, and a letter there is seven at most (from memory, the DXF references).
const maxText = 250

// Has reports whether text in that form can have a character: AC1015 all of the
// first 65,536, the others those of the code page Windows-1252, without the
// backslash, which begins an escape.
func (f Form) Has(r rune) bool {
	if f == AC1015 {
		return r < 0x10000 && !utf16.IsSurrogate(r) && !unicode.IsControl(r)
	}
	_, ok := charmap.Windows1252.EncodeRune(r)
	return ok && r != '\\' && !unicode.IsControl(r)
}

// encode returns s as bytes of the code page that mean just what they say: the
// strings of a file have live escapes, and a line break ends them. "^J" is a
// control character and "^ " a caret, "%%d" a degree sign. A letter that the code
// page lacks is such an escape, \U+017D: UTF-8 comes out as garbage
// (DomCR/ACadSharp#1092, mozman/ezdxf#366).
func (f Form) encode(s string) string {
	const dots = "..."
	text, _ := draw.Spell(s, f.Has)
	var out []byte
	size, fits := 0, 0 // an escape counts once; how much of out leaves room for dots
	for _, r := range strings.TrimSpace(text) {
		before := len(out)
		b, plain := charmap.Windows1252.EncodeRune(r)
		switch {
		case r == '^':
			out = append(out, "^ "...)
		case r == '%' && before > 0 && out[before-1] == '%':
			out = append(out, " %"...)
		case !plain || r == '\\':
			out = fmt.Appendf(out, `\U+%04X`, r)
			size -= len(out) - before - 1
		default:
			out = append(out, b)
		}
		if size += len(out) - before; size <= maxText-len(dots) {
			fits = len(out)
		}
	}
	if size > maxText {
		out = append(out[:fits], dots...)
	}
	return string(out)
}

// fromCodePage is the reverse, for reading. The five bytes that stand for
// nothing become the replacement character.
func fromCodePage(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r >= 0x80 }) < 0 {
		return s
	}
	text, _ := charmap.Windows1252.NewDecoder().String(s)
	return text
}

var escapes = regexp.MustCompile(`(?:\\U\+[0-9A-Fa-f]{4})+`)

// unescape returns a text with letters for their numbers, but for those of what is
// no text.
func unescape(s string) string {
	if !strings.Contains(s, `\U+`) {
		return s
	}
	return escapes.ReplaceAllStringFunc(s, func(all string) string {
		var units []uint16
		for _, digits := range strings.Split(all, `\U+`)[1:] {
			n, _ := strconv.ParseUint(digits, 16, 16) // they are four
			units = append(units, uint16(n))
		}
		if text := string(utf16.Decode(units)); !strings.ContainsFunc(text, unicode.IsControl) {
			return text
		}
		return all
	})
}

// textWidth estimates how long text is that was encoded, for capitals of the
// given height.
func textWidth(s string, height float64) float64 {
	return draw.Go.Width(unescape(fromCodePage(s)), height)
}
