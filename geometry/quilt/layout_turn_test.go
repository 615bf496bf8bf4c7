// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/quilt"
)

// Four turns come back; a repeat of marked cells lays them where they lay, and again
// and again; one of the whole quilt with its edges lays all as it was, and a turn in
// it turns one piece. No source: what DESIGN says a repeat is.
func TestTurnedCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide, high := rapid.IntRange(1, 5).Draw(t, "wide"), rapid.IntRange(1, 5).Draw(t, "high")
		repeat := make([]string, high)
		for j := range repeat {
			repeat[j] = rapid.StringOfN(rapid.SampledFrom([]rune("RLrl")), wide, wide, wide).Draw(t, "row")
		}
		columns, rows := rapid.IntRange(1, 7).Draw(t, "columns"), rapid.IntRange(1, 7).Draw(t, "rows")
		column, row := rapid.IntRange(0, columns-1).Draw(t, "column"), rapid.IntRange(-1, rows).Draw(t, "row")
		turned := repeat
		for range 4 {
			turned = quilt.TurnCell(turned, column, row)
		}
		if !slices.Equal(turned, repeat) {
			t.Fatalf("%q turned four times: %q", repeat, turned)
		}
		whole := quilt.RepeatOf(repeat, 0, -1, columns, rows+2)
		alone := quilt.TurnCell(whole, column, row)
		marked := quilt.RepeatOf(repeat, column, row, wide+1, high+2)
		for j := -1; j <= rows; j++ {
			for i := range columns {
				was := quilt.CellAt(repeat, i, j)
				if quilt.CellAt(whole, i, j) != was || (quilt.CellAt(alone, i, j) == was) != (i != column || j != row) {
					t.Fatalf("%q: column %d, row %d: %q %q", repeat, i, j, whole, alone)
				}
			}
		}
		for j := range high + 2 {
			for i := range wide + 1 {
				if was := quilt.CellAt(repeat, column+i, row+j); quilt.CellAt(marked, column+i, row+j) != was || quilt.CellAt(marked, column+i-(wide+1), row+j+high+2) != was {
					t.Fatalf("%q from column %d, row %d: %q", repeat, column, row, marked)
				}
			}
		}
		// The plan lays the pieces so.
		l, err := quilt.NewLayout(alone)
		if err != nil {
			t.Fatal(err)
		}
		if got := l.Rows(); quilt.CellAt(got, column, row) != quilt.CellAt(alone, column, row) {
			t.Fatalf("%q comes down to %q", alone, got)
		}
	})
}
