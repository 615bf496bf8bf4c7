// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"strings"

	"golang.org/x/text/encoding/charmap"

	"lozenge/export/draw"
)

// maxText is the longest string that all readers of AC1015 take.
const maxText = 250

// encode returns s as bytes of the code page that mean just what they say: the
// strings of a file have live escapes, and a line break ends them.
func encode(s string) string {
	text := draw.Windows1252(strings.TrimSpace(s))
	out := make([]byte, 0, len(text))
	for _, b := range text {
		out = appendPlain(out, b)
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

// fromCodePage is the reverse, for reading. The five bytes that stand for
// nothing become the replacement character.
func fromCodePage(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r >= 0x80 }) < 0 {
		return s
	}
	text, _ := charmap.Windows1252.NewDecoder().String(s)
	return text
}

// textWidth estimates how long text in the code page is, for capitals of the
// given height.
func textWidth(s string, height float64) float64 {
	return draw.Go.Width(fromCodePage(s), height)
}
