// SPDX-License-Identifier: Apache-2.0

// Package readings writes the table that goes with the crosses on the mat,
// and reads it when it is filled in.
package readings

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"lozenge/calibrate"
	"lozenge/cmd/internal/problem"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/export"
	"lozenge/geometry"
)

// columns of the table: the number of a cross, where it stands on the screen
// in pixels, and where it was read on the mat.
var columns = []string{"point", "u", "v", "x", "y"}

// mostPoint bounds the number of a cross.
const mostPoint = 9999

// Read reads the table at path; "-" is standard input. The table begins with a
// line that names the columns, in any order; others are passed over. Lengths
// are written as people write them (12 3/32, 12.1, 30.7 cm) and without a unit
// are in unit. The warnings say which lengths are read in a way that may not
// be meant. The error is a [problem.List].
func Read(path string, stdin io.Reader, unit geometry.Unit) ([]calibrate.Reading, []problem.Problem, error) {
	t, err := spreadsheet.Read(path, stdin, columns...)
	if err != nil {
		return nil, nil, err
	}
	return from(t, unit)
}

func from(t *spreadsheet.Table, unit geometry.Unit) ([]calibrate.Reading, []problem.Problem, error) {
	if n := len(t.Rows); n > calibrate.MostReadings {
		return nil, nil, problem.List{{
			File:    t.File,
			Message: fmt.Sprintf("has %d readings, more than %d", n, calibrate.MostReadings),
			Hint:    "leave some out",
		}}
	}
	var out []calibrate.Reading
	at := map[int]calibrate.Reading{} // where each cross first stands
	for _, row := range t.Rows {
		if !row.NoMore() {
			continue
		}
		r := calibrate.Reading{Line: row.Line}
		r.Point, _ = row.Whole("point", 0, mostPoint)
		r.U, _ = row.Decimal("u", "leave u as it came with the crosses: pixels, such as 1824")
		r.V, _ = row.Decimal("v", "leave v as it came with the crosses: pixels, such as 1026")
		x, _ := row.Length("x", unit)
		y, _ := row.Length("y", unit)
		r.X, r.Y = unit.Inches(x), unit.Inches(y)
		if !row.OK() {
			continue
		}
		if o, known := at[r.Point]; !known {
			at[r.Point] = r
		} else if o.U != r.U || o.V != r.V {
			row.Fail("point", fmt.Sprintf("cross %d stands elsewhere on line %d", r.Point, o.Line),
				"give every cross its own number, and every reading of one cross the same u and v")
		}
		out = append(out, r)
	}
	if err := t.Err(); err != nil {
		return nil, nil, err
	}
	return out, t.Warnings, nil
}

// Filled reports whether something stands at path that must not be lost: all
// but a table in which no cross is read yet.
func Filled(path string) bool {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return false
	}
	t, err := spreadsheet.Read(path, nil, columns...)
	return err != nil || slices.ContainsFunc(t.Rows, func(r spreadsheet.Row) bool { return r.Has("x") || r.Has("y") })
}

// Write writes the table to fill in: a line for each target, x and y empty.
func Write(w io.Writer, targets []calibrate.Target) error {
	b := bufio.NewWriter(w)
	num := export.NewNumbers(0)
	fmt.Fprintln(b, strings.Join(columns, ","))
	for i, t := range targets {
		num.Writing("cross", i)
		fmt.Fprintf(b, "%d,%s,%s,,\n", t.Point, num.Format(t.U), num.Format(t.V))
	}
	if err := num.Err(); err != nil {
		return err
	}
	return b.Flush()
}
