// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Of a long line so many characters are shown, and so many of them in front
// of the place.
const (
	mostSource = 76
	mostBefore = 50
)

// Detail returns the problems for someone who is to put them right: each on a
// line, below it that line of the file with a caret under the place, and below
// that a right way to write it, the first time that it helps.
//
//	tide.yaml:5:10: columns: `8,` is not a whole number; write plain digits
//	  5 | columns: 8,
//	    |          ^
//	  like this: columns: 9
func (ps List) Detail() string {
	var b strings.Builder
	shown := map[string]bool{}
	for _, p := range ps {
		fmt.Fprintf(&b, "%v\n%s", p, p.Caret())
		if p.Example != "" && !shown[p.Example] && !strings.Contains(p.Hint, p.Example) {
			fmt.Fprintf(&b, "  like this: %s\n", p.Example)
		}
		shown[p.Example] = true
	}
	return b.String()
}

// Caret returns the line of the file and a line with a caret under the place,
// or "" where the line is not known or has nothing to show.
func (p Problem) Caret() string {
	if strings.TrimSpace(p.Source) == "" || p.Column < 1 {
		return ""
	}
	runes := []rune(p.Source)
	at := min(p.Column-1, len(runes))
	first, last := 0, len(runes)
	if last > mostSource {
		first = max(0, min(at-mostBefore, last-mostSource))
		last = min(last, first+mostSource)
	}
	shown, before := "", ""
	if first > 0 {
		shown, before = "…", " "
	}
	for i, r := range runes[first:last] {
		if r == '\t' {
			r = ' '
		}
		cells := cellsOf(r)
		if cells < 0 {
			r, cells = unicode.ReplacementChar, 1
		}
		shown += string(r)
		if first+i < at {
			before += strings.Repeat(" ", cells)
		}
	}
	if last < len(runes) {
		shown += "…"
	}
	number := fmt.Sprint(p.Line)
	return fmt.Sprintf("  %s | %s\n  %*s | %s^\n", number, shown, len(number), "", before)
}

// cellsOf returns how many cells of a terminal a character takes: Unicode
// Standard Annex #11. -1 is one that must not be printed.
func cellsOf(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case r != ' ' && !unicode.IsPrint(r):
		return -1
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}
