// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"fmt"
	"strings"
	"unicode/utf16"
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
func utf16be(s string) []byte {
	return utf16Bytes([]byte{0xfe, 0xff}, strings.ToValidUTF8(s, "?"))
}

func utf16Bytes(out []byte, s string) []byte {
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u>>8), byte(u))
	}
	return out
}
