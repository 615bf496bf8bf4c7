// SPDX-License-Identifier: Apache-2.0

// Package problem says what is wrong with a file that a person wrote, where,
// and what to do.
package problem

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
)

// A Problem is something wrong with a file that was read, or something
// that she should know about it.
type Problem struct {
	File    string
	Line    int // from 1; 0 when the problem is the file as a whole
	Column  int // in characters, from 1
	Message string
	Hint    string // what to do, or ""
	Source  string // the line of the file, or ""
	Example string // a right way to write it, or ""
	Field   string // of a pattern: what it is about where that does not stand there, as rows; or ""
}

// String returns the problem on one line: file:line:column: message; hint.
func (p Problem) String() string {
	s := Printable(p.File)
	if p.Line > 0 {
		s += fmt.Sprintf(":%d:%d", p.Line, p.Column)
	}
	s += ": " + p.Message
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// In returns the problems with the file named in each and the line on which
// each stands, in order.
func In(file, text string, ps []Problem) List {
	lines := strings.Split(Lines(text), "\n")
	for i := range ps {
		p := &ps[i]
		p.File = file
		if p.Line > 0 && p.Line <= len(lines) {
			p.Source = lines[p.Line-1]
		}
	}
	return InOrder(ps)
}

// Lines returns a text with each line ended by a line feed, without a byte order mark.
func Lines(text string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(text, "\ufeff"))
}

// About returns an error about a file as a whole, with the hint of a
// [*geometry.Error].
func About(file string, err error) List {
	var wrong *geometry.Error
	if !errors.As(err, &wrong) {
		return List{{File: file, Message: err.Error()}}
	}
	plain := geometry.Error{Field: wrong.Field, Reason: wrong.Reason}
	return List{{File: file, Message: plain.Error(), Hint: wrong.Hint}}
}

// List is at least one Problem, in the order of the file. It is an error.
type List []Problem

// Error returns the problems, one on each line.
func (ps List) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Most bounds what is said about one file: as much as can be put right at a
// time, and a file of another kind would fill the screen.
const Most = 20

// InOrder sorts the problems by position and leaves at most Most.
func InOrder(ps []Problem) List {
	if len(ps) == 0 {
		return nil
	}
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if more := len(ps) - Most; more > 0 {
		ps = append(ps[:Most:Most], Problem{
			File:    ps[0].File,
			Message: fmt.Sprintf("and %d more", more),
			Hint:    "put these right first",
		})
	}
	return ps
}

// maxShown bounds how much of a text from the file is repeated in a message.
const maxShown = 60

// Show quotes text from the file: see [geometry.Quote].
func Show(text string) string {
	return geometry.Quote(text, maxShown)
}
