// SPDX-License-Identifier: Apache-2.0

package quilt

import "strings"

// ways are the four ways in which a diamond lies, in the order in which it is turned.
const ways = "RLrl"

// CellAt returns the letter of a cell in a quilt that is laid by the rows of a repeat,
// the top row first: those of [Layout.Rows], or larger ones that come down to them.
func CellAt(repeat []string, column, row int) byte {
	high, wide := len(repeat), len(repeat[0])
	return repeat[high-1-modulo(row, high)][modulo(column, wide)]
}

// TurnCell returns the rows of a repeat with one of its cells, where it lies in the
// quilt, turned to the next of its four ways: R, L, r, l, and R again.
func TurnCell(repeat []string, column, row int) []string {
	to := ways[(strings.IndexByte(ways, CellAt(repeat, column, row))+1)%len(ways)]
	out := append([]string(nil), repeat...)
	i, j := modulo(column, len(out[0])), len(out)-1-modulo(row, len(out))
	out[j] = out[j][:i] + string(to) + out[j][i+1:]
	return out
}

// RepeatOf returns the rows of a repeat of so many columns and rows, the top row
// first, in which the cells from a place on, to the right and up, lie where they lie
// in the quilt.
func RepeatOf(repeat []string, column, row, columns, rows int) []string {
	out := make([]string, rows)
	line := make([]byte, columns)
	for j := range rows {
		for i := range columns {
			line[modulo(column+i, columns)] = CellAt(repeat, column+i, row+j)
		}
		out[rows-1-modulo(row+j, rows)] = string(line)
	}
	return out
}

// modulo is the remainder that is never negative.
func modulo(n, of int) int { return (n%of + of) % of }
