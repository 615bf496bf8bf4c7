// SPDX-License-Identifier: Apache-2.0

package words

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hard is the blank at which no line is broken.
const Hard = "\u00a0"

// Held returns a text in which no line is broken.
func Held(s string) string { return strings.ReplaceAll(s, " ", Hard) }

// Loose returns a text with ordinary blanks.
func Loose(s string) string { return strings.ReplaceAll(s, Hard, " ") }

// Capital returns a text with a large first letter.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence makes a sentence of a remark: "it is too long" becomes "It is too
// long.".
func Sentence(s string) string {
	if s == "" {
		return ""
	}
	return Capital(strings.TrimSuffix(s, ".")) + "."
}

var behindNumber = regexp.MustCompile(`(\d) `)

// HeldNumbers returns a text in which no line is broken behind a number.
func HeldNumbers(s string) string { return behindNumber.ReplaceAllString(s, "$1"+Hard) }

// Wrap breaks a text that stands behind a lead into lines of 78 columns; those
// after the first are indented as far as hang and one blank.
func Wrap(lead string, hang int, text string) string {
	const columns = 78
	var b strings.Builder
	line := lead
	for _, w := range strings.Fields(text) {
		if len(line)+1+len(w) > columns {
			b.WriteString(line + "\n")
			line = strings.Repeat(" ", hang)
		}
		line += " " + w
	}
	return b.String() + line + "\n"
}
