// SPDX-License-Identifier: Apache-2.0

// Package scrapbin reads the table of a scrap bin: one line for each leftover
// strip, or for several alike.
package scrapbin

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// Columns of the table. name, color and count may be left out, as columns or
// cell by cell.
var Columns = []string{"fabric", "name?", "color?", "width", "length", "count?"}

// Bin is a scrap bin that was read.
type Bin struct {
	Scraps   []scraps.Scrap
	Lines    []int // of each scrap in the file
	Warnings []problem.Problem
	table    *spreadsheet.Table
	rows     []spreadsheet.Row
}

// Read reads the table at path for a pattern; "-" is standard input. Lengths
// without a unit are in the pattern's. The error is a [problem.List].
func Read(path string, stdin io.Reader, spec quilt.Spec) (*Bin, error) {
	t, err := spreadsheet.Read(path, stdin, Columns...)
	if err != nil {
		return nil, err
	}
	return from(t, spec)
}

// Parse reads a table from its text, as [Read] does; name is what messages call it.
// A pattern without strips, that is yet to be written, has any fabric.
func Parse(name string, data []byte, spec quilt.Spec) (*Bin, error) {
	t, err := spreadsheet.Parse(name, data, Columns...)
	if err != nil {
		return nil, err
	}
	return from(t, spec)
}

// Cells returns what stands in a table, to be changed: a row for each line, with a
// cell for each of [Columns], "" for what is left out. The rows are there when the
// error is a [problem.List] about cells of them.
func Cells(name string, data []byte) ([][]string, error) {
	t, err := spreadsheet.Parse(name, data, Columns...)
	if err != nil {
		return [][]string{}, err
	}
	rows := make([][]string, len(t.Rows))
	for i, row := range t.Rows {
		for _, column := range Columns {
			text := ""
			if column = strings.TrimSuffix(column, "?"); row.Has(column) {
				text, _ = row.Text(column)
			}
			rows[i] = append(rows[i], text)
		}
	}
	return rows, t.Err()
}

func from(t *spreadsheet.Table, spec quilt.Spec) (*Bin, error) {
	if n := len(t.Rows); n > scraps.MaxScraps {
		return nil, problem.List{{File: t.File, Message: fmt.Sprintf("has %d lines, more than %d", n, scraps.MaxScraps), Hint: "put scraps that are alike into one line, with their count"}}
	}
	b := &Bin{table: t}
	for _, row := range t.Rows {
		if s, ok := scrap(row, spec); ok {
			b.Scraps, b.Lines, b.rows = append(b.Scraps, s), append(b.Lines, row.Line), append(b.rows, row)
		}
	}
	if err := t.Err(); err != nil {
		return nil, err
	}
	b.Warnings = t.Warnings
	return b, nil
}

func scrap(row spreadsheet.Row, spec quilt.Spec) (s scraps.Scrap, good bool) {
	if !row.NoMore() {
		return s, false
	}
	if key, ok := row.Text("fabric"); ok {
		s.Fabric = key
		known(row, spec, key)
	}
	if row.Has("name") {
		s.Name, _ = row.Text("name")
	}
	if row.Has("color") {
		if text, ok := row.Text("color"); ok {
			c, reason, hint := pattern.ParseColour(text)
			if s.Colour = &c; reason != "" {
				row.Fail("color", "color: "+problem.Show(text)+" "+reason, hint)
			}
		}
	}
	size := func(column string) float64 {
		v, ok := row.Length(column, spec.Unit)
		if !ok {
			return v
		}
		if text, _ := row.Text(column); yards.MatchString(text) {
			// Yards are how fabric is bought: rounded, and not measured.
			row.Fail(column, fmt.Sprintf("%s: %s is in yards", column, problem.Show(text)), fmt.Sprintf("measure the scrap and write inches or centimetres (that many yards are %s)", geometry.FormatLength(v, spec.Unit)))
		}
		if !(v > geometry.Fit && v <= scraps.MaxLength) {
			row.Fail(column, fmt.Sprintf("%s: %s is no %s of a scrap", column, geometry.FormatLength(v, spec.Unit), column), "measure it, or delete the line")
		}
		return v
	}
	s.Width, s.Length = size("width"), size("length")
	s.Count = 1
	if row.Has("count") {
		s.Count, _ = row.Whole("count", 1, scraps.MaxCount)
	}
	return s, row.OK()
}

var yards = regexp.MustCompile(`(?i)(^|[^a-z])(yds?|yards?)([^a-z]|$)`)

// known checks that a fabric is one of the pattern's, once it has some.
func known(row spreadsheet.Row, spec quilt.Spec, key string) {
	keys := spec.StripFabrics()
	if len(keys) > 0 && !slices.Contains(keys, key) && !slices.ContainsFunc(spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == key }) {
		row.Fail("fabric", "fabric: "+problem.Show(key)+" is no fabric of the pattern", "its strips are of "+strings.Join(keys, ", "))
	}
}

// Wrong turns an error about a scrap into one about the table.
func (b *Bin) Wrong(err error) error {
	var wrong *scraps.Error
	if !errors.As(err, &wrong) {
		return err
	}
	b.rows[wrong.Scrap].Fail(wrong.Wrong.Field, wrong.Wrong.Field+": "+wrong.Wrong.Reason, wrong.Wrong.Hint)
	return b.table.Err()
}

// Warn returns a warning about a cell of a scrap.
func (b *Bin) Warn(scrap int, column, message string) problem.Problem {
	return b.rows[scrap].Warn(column, message)
}
