// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable returns a text, such as the name of a file, as it can be printed:
// what would move a terminal's cursor, begin a line or turn the direction of
// writing is escaped.
func Printable(text string) string {
	var b strings.Builder
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], string(utf8.RuneError)):
			fmt.Fprintf(&b, `\x%02x`, text[i])
		case unicode.IsGraphic(r):
			b.WriteRune(r)
		default:
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		}
	}
	return b.String()
}

// Invisible says which character of a text can't be seen, such as one that
// turns the direction of writing, or "". The joiners that some scripts and
// pictograms are written with do no harm.
func Invisible(text string) string {
	for _, r := range text {
		switch {
		case r == '\u200c' || r == '\u200d':
		case r == '\n' || r == '\r' || unicode.In(r, unicode.Zl, unicode.Zp):
			return "has a line break"
		case unicode.In(r, unicode.Cc, unicode.Cf) || r == utf8.RuneError:
			return fmt.Sprintf("has an invisible character (%U)", r)
		}
	}
	return ""
}
