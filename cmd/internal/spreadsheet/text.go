// SPDX-License-Identifier: Apache-2.0

package spreadsheet

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"lozenge/cmd/internal/problem"
)

// plain returns the text of a table, its lines ended by \n, or what is wrong
// with the file as a whole and what to do. What is not UTF-8 is taken for the
// text of Windows in western Europe (code page 1252), whose bytes for 1/4, 1/2
// and 3/4 no other code page takes for digits.
func plain(data []byte) (text, wrong, hint string) {
	text = string(data)
	if what := problem.Foreign(data); what != "" {
		return "", "is " + what + ", not a table in plain text", "open it in the spreadsheet and save it as CSV"
	}
	switch {
	case len(data) > mostBytes:
		return "", fmt.Sprintf("is larger than %d KiB", mostBytes>>10), "is it the right file?"
	case strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") || strings.Contains(text, "\x00"):
		return "", "is not plain text", "save it as CSV UTF-8"
	}
	_, marked := strings.CutPrefix(text, "\ufeff")
	if !utf8.ValidString(text) {
		windows, err := charmap.Windows1252.NewDecoder().String(text)
		if marked || err != nil || strings.ContainsRune(windows, utf8.RuneError) {
			return "", "is neither UTF-8 nor Windows text", "save it as CSV UTF-8, or write fractions as 1/2"
		}
		text = windows
	}
	return problem.Lines(text), "", ""
}
