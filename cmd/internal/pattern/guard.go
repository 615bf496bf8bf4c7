// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"lozenge/cmd/internal/problem"
)

// What a pattern may have at most. The largest sensible one (24 strips, as
// many fabrics, a few hundred colours) stays far below each of them. The YAML
// scanner needs a time quadratic in the length of some lines and of runs of
// empty lines (14 to 21 s, measured, for 256 KiB of <, or of line ends under a
// block text), and memory for every mark; the parser a frame for every key.
const (
	maxBytes      = 256 << 10
	maxLine       = 2000 // characters in a line
	maxLines      = 10_000
	maxEmptyLines = 100    // in a row
	maxMarks      = 10_000 // brackets, commas, colons, quotes, dashes of lists, comments
	maxKeys       = 2000
	maxDepth      = 32 // of brackets, and of indented blocks
)

// clean returns the text of a pattern file in the form that the YAML scanner
// reads safely: UTF-8 without a byte order mark, lines that end in a line
// feed, no tabs, no trailing empty lines. Lines and columns stay as they are.
// A text beyond the limits gives a problem without a file.
func clean(src []byte) (string, *Problem) {
	if len(src) > maxBytes {
		return "", wrong(0, 0, fmt.Sprintf("it is larger than %d KiB", maxBytes>>10), "a pattern is a few lines of text: is this the right file?")
	}
	if what := problem.Foreign(src); what != "" {
		return "", wrong(0, 0, "this is "+what+", not plain text", "give the pattern file; if the pattern is in there, save it as plain text (UTF-8)")
	}
	if isUTF16(src) {
		return "", wrong(0, 0, "the text is UTF-16, not UTF-8", "save the file again with the encoding UTF-8")
	}
	text := problem.Lines(string(src))

	var out strings.Builder
	empty, marks, waiting := 0, 0, 0
	line := 0
	for body := range strings.SplitSeq(text, "\n") {
		if line++; line > maxLines {
			return "", wrong(line, 1, fmt.Sprintf("there are more than %d lines", maxLines), "a pattern has a few dozen: is this the right file?")
		}
		if p := badCharacter(body, line); p != nil {
			return "", p
		}
		if strings.Trim(body, " \t") == "" {
			empty++
			waiting++
			continue
		}
		if empty > maxEmptyLines {
			return "", wrong(line-empty, 1, fmt.Sprintf("more than %d empty lines in a row", maxEmptyLines), "take some of them out")
		}
		empty = 0
		if p := badIndent(body, line); p != nil {
			return "", p
		}
		marks += countMarks(body)
		if long := utf8.RuneCountInString(body) > maxLine; long || marks > maxMarks {
			return "", overLimit(body, line, long)
		}
		// Empty lines at the end of the file are never written.
		for ; waiting > 0; waiting-- {
			out.WriteByte('\n')
		}
		// The scanner drops a tab inside a text without quotes: 2<tab>1/2
		// would become 21/2. In no place does a pattern need one.
		out.WriteString(strings.ReplaceAll(body, "\t", " "))
		out.WriteByte('\n')
	}
	return out.String(), nil
}

func wrong(line, column int, message, hint string) *Problem {
	return &Problem{Line: line, Column: column, Message: message, Hint: hint}
}

func isUTF16(src []byte) bool {
	if bytes.HasPrefix(src, []byte("\xff\xfe")) || bytes.HasPrefix(src, []byte("\xfe\xff")) {
		return true
	}
	// Without a byte order mark, every second byte of plain words is 0.
	return len(src) >= 4 && (src[0] == 0 && src[1] != 0 && src[2] == 0 || src[0] != 0 && src[1] == 0 && src[2] != 0 && src[3] == 0)
}

// badCharacter finds what is not text.
func badCharacter(body string, line int) *Problem {
	column := 0
	for i, r := range body {
		column++
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(body[i:]); size == 1 {
				return wrong(line, column, fmt.Sprintf("the byte %#02x is not UTF-8 text", body[i]), "save the file again with the encoding UTF-8")
			}
		}
		if r < ' ' && r != '\t' || 0x7f <= r && r < 0xa0 {
			return wrong(line, column, fmt.Sprintf("an invisible control character (%U)", r), "delete it; if there are many, this is not a text file")
		}
	}
	return nil
}

// badIndent finds a tab or another blank in front of a line, where YAML wants
// plain spaces.
func badIndent(body string, line int) *Problem {
	column := 0
	for i, r := range body {
		column++
		switch {
		case r == ' ':
		case strings.HasPrefix(strings.TrimLeft(body[i:], " \t"), "#"):
			return nil
		case r == '\t':
			return wrong(line, column, "the line is indented with a tab", "use spaces instead, two for each step")
		case unicode.IsSpace(r) || r == '\ufeff' || r == '\u200b':
			return wrong(line, column, fmt.Sprintf("the line is indented with a blank (%U) that is not a plain space", r),
				"delete it and type spaces instead")
		default:
			return nil
		}
	}
	return nil
}

// countMarks returns at least the number of tokens that the scanner makes of
// a line, less what a line of plain text has anyway. It need not know what is
// quoted or a comment.
func countMarks(line string) int {
	n := 0
	comment := false
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '[', ']', '{', '}', ',', '"', '\'', '&', '*', '!', '|', '>', '%', '@', '`':
			n++
		case ':', '-', '?':
			if i+1 == len(line) || line[i+1] == ' ' || line[i+1] == '\t' {
				n++
			}
		case '<':
			if i+1 < len(line) && line[i+1] == '<' {
				n++
			}
		case '#':
			comment = true
		}
	}
	if comment {
		n++
	}
	return n
}

// overLimit says what is too much in a line: the nesting where that is plain
// to see, else the length of the line or the number of marks.
func overLimit(body string, line int, long bool) *Problem {
	depth := 0
	for i := 0; i < len(body); i++ {
		switch body[i] {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case '-':
			if strings.Trim(body[:i], "- ") == "" {
				depth++
			}
		}
		if depth > maxDepth {
			return wrong(line, utf8.RuneCountInString(body[:i])+1, tooDeep, tooDeepHint)
		}
	}
	if long {
		return wrong(line, maxLine+1, fmt.Sprintf("the line is longer than %d characters", maxLine),
			"break it after a comma, or write the list with one - for each entry")
	}
	return wrong(line, 1, fmt.Sprintf("up to here there are more than %d brackets, commas, colons, quotes and comments", maxMarks),
		"a pattern has a few hundred: is this the right file?")
}

const (
	tooDeep     = "it is nested more than 32 deep" // maxDepth
	tooDeepHint = "a pattern needs no more than four steps: check the brackets and the dashes"
)
