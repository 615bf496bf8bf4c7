// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"fmt"
	"strings"
	"testing"
)

// The caret stands under the character, whatever stands in front of it.
func TestCaret(t *testing.T) {
	for _, c := range []struct {
		source string
		column int
		want   string
	}{
		{"columns: 8,", 10, "  7 | columns: 8,\n    |          ^\n"},
		{"columns: 8", 11, "  7 | columns: 8\n    |           ^\n"}, // behind the end
		{"columns: 8", 99, "  7 | columns: 8\n    |           ^\n"},
		{"\tangle", 2, "  7 |  angle\n    |  ^\n"},
		{"½: x", 4, "  7 | ½: x\n    |    ^\n"},
		{"藍: x", 4, "  7 | 藍: x\n    |     ^\n"},                    // two cells of a terminal
		{"e\u0301: x", 5, "  7 | e\u0301: x\n    |    ^\n"},         // an accent takes none
		{"a\x1b[31m\u202eb", 8, "  7 | a�[31m�b\n    |        ^\n"}, // nothing that moves the cursor
		{"caf\xe9: x", 4, "  7 | caf�: x\n    |    ^\n"},
		{"", 1, ""},
		{"  ", 1, ""},
	} {
		p := Problem{File: "q.yaml", Line: 7, Column: c.column, Source: c.source}
		if got := p.Caret(); got != c.want {
			t.Errorf("%q at %d:\n%s\nwant\n%s", c.source, c.column, got, c.want)
		}
	}
	// Of a long line what stands around the place.
	long := strings.Repeat("a", 300) + "X" + strings.Repeat("b", 300)
	lines := strings.Split(Problem{Line: 12, Column: 301, Source: long}.Caret(), "\n")
	at := strings.Index(lines[1], "^")
	if text := []rune(lines[0]); len(text) > 90 || text[at] != 'X' || !strings.HasSuffix(lines[0], "…") {
		t.Errorf("%s\n%s", lines[0], lines[1])
	}
	if (Problem{Line: 0, Source: ""}).Caret() != "" {
		t.Error("a problem of the whole file has a line")
	}
}

// At most twenty are told, and how many more there are; an example is shown
// once, and not where the hint has it.
func TestDetail(t *testing.T) {
	var ps []Problem
	var text strings.Builder
	for i := range 161 {
		fmt.Fprintf(&text, "key%d: x\r\n", i)
		ps = append(ps, Problem{Line: i + 1, Column: 1, Message: "no", Hint: "write it", Example: "angle: 60"})
	}
	got := In("q.yaml", text.String(), ps).Detail()
	if n := strings.Count(got, "^"); n != 20 || strings.Count(got, "like this: angle: 60\n") != 1 || !strings.HasSuffix(got, "q.yaml: and 141 more; put these right first\n") {
		t.Errorf("%d carets in\n%s", n, got)
	}
	if !strings.Contains(got, "q.yaml:3:1: no; write it\n  3 | key2: x\n    | ^\n") {
		t.Error(got)
	}
	one := List{{File: "q.yaml", Message: "no", Hint: "write `angle: 60`", Example: "angle: 60"}}
	if got := one.Detail(); got != "q.yaml: no; write `angle: 60`\n" {
		t.Error(got)
	}
}
