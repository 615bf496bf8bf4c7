// SPDX-License-Identifier: Apache-2.0

// Package spreadsheet reads the small tables that people fill in with a
// spreadsheet: measured widths, points on a mat, scraps.
//
// One line is one record, whatever marks stand in it, so that an inch mark
// never swallows the next line. Commas, semicolons or tabs part the cells, as
// the heading shows or a line sep=; before it says; a byte order mark, the text
// of Windows, any line endings, empty lines and lines that begin with # do no
// harm. A date where a number should be is named as the spreadsheet's making.
package spreadsheet

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
)

// most bounds a table: far more than anyone fills in by hand.
const (
	mostBytes = 1 << 20
	mostLines = 20_000
)

// Table is a table that was read.
type Table struct {
	File     string
	Rows     []Row
	Warnings []problem.Problem
	problems []problem.Problem
	lines    []string
	comma    rune
	columns  map[string]int
	names    []string // of the columns that are wanted
	optional map[string]bool
	width    int // cells in the heading
}

// Row is one line.
type Row struct {
	t     *Table
	Line  int
	cells []cell
	end   int // column behind the last cell
}

// cell is a piece of a line, without white space or quotation marks.
type cell struct {
	text   string
	column int // from 1, in characters
}

// Read reads a table whose first line names its columns, in any order; all
// columns wanted must be there, but for those whose name is followed by a
// question mark; others are passed over. "-" is standard input. The error is a
// [problem.List].
func Read(path string, stdin io.Reader, wanted ...string) (*Table, error) {
	name, data, err := problem.Read(path, stdin, mostBytes, "")
	if err != nil {
		return nil, err
	}
	return Parse(name, data, wanted...)
}

// Parse reads a table from its text.
func Parse(name string, data []byte, wanted ...string) (*Table, error) {
	t := &Table{File: name, optional: map[string]bool{}}
	for _, w := range wanted {
		w, may := strings.CutSuffix(w, "?")
		t.names = append(t.names, w)
		t.optional[w] = may
	}
	whole := func(message, hint string) (*Table, error) {
		return nil, problem.List{{File: name, Message: message, Hint: hint}}
	}
	text, wrong, hint := plain(data)
	if wrong != "" {
		return whole(wrong, hint)
	}
	t.lines = strings.Split(text, "\n")
	for i, line := range t.lines {
		trimmed := strings.TrimSpace(line)
		if trimmed == "" || trimmed[0] == '#' || strings.Trim(trimmed, ",;\t ") == "" {
			continue
		}
		if t.columns == nil {
			if m := separators.FindStringSubmatch(trimmed + "\t"); m != nil && t.comma == 0 {
				t.comma = []rune(m[1])[0]
				if cellPatterns[t.comma] == nil {
					t.fail(i+1, 1, problem.Show(trimmed)+" names a mark that can't part cells", "save it with commas, semicolons or tabs")
					return nil, t.Err()
				}
				continue
			}
			t.heading(i+1, line)
			if len(t.problems) > 0 {
				return nil, t.Err() // what follows can't be told apart
			}
			continue
		}
		if len(t.Rows) == mostLines {
			return whole(fmt.Sprintf("has more than %d lines", mostLines), "is it the right file?")
		}
		if cells, ok := t.split(i+1, line); ok {
			t.Rows = append(t.Rows, Row{t, i + 1, cells, utf8.RuneCountInString(line) + 1})
		}
	}
	list := strings.Join(t.names, ",")
	switch {
	case t.columns == nil && len(t.problems) == 0:
		return whole("is empty", "write the line "+list+" and one line below it for each")
	case len(t.Rows) == 0 && len(t.problems) == 0:
		return whole("has no line below its heading", "fill it in")
	}
	return t, t.Err()
}

// Err returns all problems found so far, or nil.
func (t *Table) Err() error {
	if len(t.problems) == 0 {
		return nil
	}
	return problem.InOrder(t.problems)
}

func (t *Table) fail(line, column int, message, hint string) {
	t.problems = append(t.problems, t.problem(line, column, message, hint))
}

func (t *Table) problem(line, column int, message, hint string) problem.Problem {
	return problem.Problem{File: t.File, Line: line, Column: column, Message: message, Hint: hint, Source: t.lines[line-1]}
}

// Warn returns something to know about a cell.
func (r Row) Warn(column, message string) problem.Problem {
	return r.t.problem(r.Line, r.Column(column), message, "")
}

// Fail notes something wrong with a cell, or, with a name that is no column,
// with the line.
func (r Row) Fail(column, message, hint string) {
	r.t.fail(r.Line, r.Column(column), message, hint)
}

// OK reports whether nothing wrong was noted with the line, while the lines are
// read one after another.
func (r Row) OK() bool {
	n := len(r.t.problems)
	return n == 0 || r.t.problems[n-1].Line != r.Line
}

// Column returns where in its line a cell begins, 1 when it isn't there.
func (r Row) Column(column string) int {
	if i, ok := r.t.columns[column]; ok && i < len(r.cells) {
		return r.cells[i].column
	}
	return 1
}

// Text returns a cell; ok is false, and the problem noted, when it is empty.
func (r Row) Text(column string) (text string, ok bool) {
	i := r.t.columns[column]
	switch {
	case i >= len(r.cells):
		r.t.fail(r.Line, r.end, "the cell for "+column+" is missing", "every line needs "+strings.Join(r.t.names, ","))
		return "", false
	case r.cells[i].text == "":
		r.t.fail(r.Line, r.cells[i].column, "the cell for "+column+" is empty", "fill it in, or delete the line")
		return "", false
	case strings.HasPrefix(r.cells[i].text, "="):
		r.t.fail(r.Line, r.cells[i].column, column+": "+problem.Show(r.cells[i].text)+" is a formula of the spreadsheet", "write what it comes to, or save as CSV what the cells show")
		return "", false
	}
	if wrong := problem.Invisible(r.cells[i].text); wrong != "" {
		r.t.fail(r.Line, r.cells[i].column, column+": "+problem.Show(r.cells[i].text)+" "+wrong, "type it again")
		return "", false
	}
	return r.cells[i].text, true
}

// Has reports whether a cell is there and not empty: so that one that may be
// left out is asked for only then.
func (r Row) Has(column string) bool {
	i, ok := r.t.columns[column]
	return ok && i < len(r.cells) && r.cells[i].text != ""
}

// Whole returns a cell as a whole number within least to most.
func (r Row) Whole(column string, least, most int) (n int, ok bool) {
	text, ok := r.Text(column)
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most || strings.Trim(text, "0123456789") != "" {
		r.Fail(column, fmt.Sprintf("%s: %s is not a whole number of %d to %d", column, problem.Show(text), least, most), "write it in plain digits")
		return 0, false
	}
	return n, true
}

// Length returns a cell as a length in unit, which it also has when it names
// none. Where commas don't part the cells a decimal comma is understood.
func (r Row) Length(column string, unit geometry.Unit) (v float64, ok bool) {
	text, ok := r.Text(column)
	if !ok {
		return 0, false
	}
	l, err := geometry.ParseLength(r.t.Point(text), unit)
	var wrong *geometry.LengthError
	switch {
	case isDay(text) || err != nil && isDate(text):
		r.failDate(column, text)
		return 0, false
	case errors.As(err, &wrong):
		r.Fail(column, fmt.Sprintf("%s: %s: %s", column, problem.Show(text), wrong.Reason), wrong.Hint)
		return 0, false
	}
	if w := l.Warning(); w != "" {
		r.t.Warnings = append(r.t.Warnings, r.Warn(column, column+": "+w))
	}
	return l.In(unit), true
}

// Point turns a decimal comma into a point where commas don't part cells.
func (t *Table) Point(text string) string {
	if t.comma != ',' && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		return strings.Replace(text, ",", ".", 1)
	}
	return text
}

// separators match a line that says what parts the cells, before the heading,
// as some spreadsheets write it; a tab follows it, should one be trimmed off.
var separators = regexp.MustCompile(`(?i)^"?sep=([^"])"?[,;\t]*$`)

// heading reads the line that names the columns, and from it what parts the
// cells where no line before it says so.
func (t *Table) heading(number int, line string) {
	for _, r := range ";\t," {
		if t.comma == 0 && (strings.ContainsRune(line, r) || r == ',') {
			t.comma = r
		}
	}
	t.columns = map[string]int{}
	cells, ok := t.split(number, line)
	if !ok {
		return
	}
	t.width = len(cells)
	list := strings.Join(t.names, ",")
	for i, c := range cells {
		name := strings.ToLower(c.text)
		if !slices.Contains(t.names, name) {
			continue
		}
		if _, twice := t.columns[name]; twice {
			t.fail(number, c.column, "the column "+name+" comes twice", "name each column once: "+list)
		}
		t.columns[name] = i
	}
	for _, name := range t.names {
		if _, ok := t.columns[name]; !ok && !t.optional[name] {
			t.fail(number, 1, "no column is named "+name, "begin the table with the line "+list)
		}
	}
}

// blanks are what may stand around a cell; a tab only where none parts cells.
const blanks = " \t\u00a0"

// cellPatterns match a cell and what parts it from the next: in quotation
// marks or not.
var cellPatterns = func() map[rune]*regexp.Regexp {
	patterns := map[rune]*regexp.Regexp{}
	for _, comma := range ",;\t" {
		blank := "[" + strings.ReplaceAll(blanks, string(comma), "") + "]*"
		patterns[comma] = regexp.MustCompile(fmt.Sprintf(`^(%[1]s)(?:"((?:[^"]|"")*)"%[1]s|([^"%[2]c][^%[2]c]*|))(%[2]c|$)`, blank, comma))
	}
	return patterns
}()

// split parts a line into cells. A cell that begins with a quotation mark
// ends with one, and two stand for one, as RFC 4180 has it; a mark elsewhere
// is an inch mark, which other readers of such tables stumble over
// (golang/go#21672).
func (t *Table) split(number int, line string) (cells []cell, ok bool) {
	for column := 1; ; {
		m := cellPatterns[t.comma].FindStringSubmatch(line)
		if m == nil {
			column += utf8.RuneCountInString(line) - utf8.RuneCountInString(strings.TrimLeft(line, blanks))
			t.fail(number, column, "a quotation mark is not closed where its cell ends", "leave out the marks around the cell, or write in for inches")
			return nil, false
		}
		cells = append(cells, cell{
			text:   strings.TrimSpace(strings.ReplaceAll(m[2], `""`, `"`) + m[3]),
			column: column + utf8.RuneCountInString(m[1]),
		})
		if m[4] == "" {
			return cells, true
		}
		column += utf8.RuneCountInString(m[0])
		line = line[len(m[0]):]
	}
}
