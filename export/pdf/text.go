// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"lozenge/export/draw"
)

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
			_, missing := draw.Windows1252(t.Value)
			out = append(out, missing...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
