// SPDX-License-Identifier: Apache-2.0

package spreadsheet

import (
	"fmt"
	"strconv"
	"strings"

	"lozenge/cmd/internal/problem"
)

// mostDigits is more than float64 can tell apart.
const mostDigits = 20

// Decimal returns a cell as a plain decimal number: digits, at most one
// point, perhaps a minus. Where commas don't part the cells a decimal comma is
// understood. hint says what to write instead.
func (r Row) Decimal(column, hint string) (v float64, ok bool) {
	text, ok := r.Text(column)
	if !ok {
		return 0, false
	}
	plain := r.t.Point(text)
	digits := strings.TrimPrefix(plain, "-")
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil && isDate(text) {
		r.failDate(column, text)
		return 0, false
	}
	if err != nil || len(digits) > mostDigits || strings.Trim(digits, "0123456789.") != "" {
		r.Fail(column, fmt.Sprintf("%s: %s is not a number", column, problem.Show(text)), hint)
		return 0, false
	}
	return v + 0, true // no -0
}

// NoMore reports whether the line has no cells beyond those of the heading;
// a decimal comma between commas makes one too many, and all behind it would
// be read from the wrong column. Empty cells don't count.
func (r Row) NoMore() bool {
	for _, c := range r.cells[min(len(r.cells), r.t.width):] {
		if c.text != "" {
			r.t.fail(r.Line, c.column, fmt.Sprintf("the line has more cells than the %d that the heading names", r.t.width),
				"write decimals with a point (2.5, not 2,5), and notes into a column of their own")
			return false
		}
	}
	return true
}
