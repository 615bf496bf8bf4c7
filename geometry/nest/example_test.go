// SPDX-License-Identifier: Apache-2.0

package nest_test

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/strip"
)

// Thirty diamonds of each lean on sheets of 12 by 24 in.
func ExamplePieces() {
	set, err := strip.New([]float64{2.5}, 0.25, 60, geometry.Matched, 0)
	if err != nil {
		panic(err)
	}
	bed := nest.Bed{Width: 24, Height: 12, Margin: 0.25, Gap: 0.125}
	sheets, err := nest.Pieces(set, strip.Count{{30}, {30}}, []nest.Bed{bed})
	if err != nil {
		panic(err)
	}
	for _, s := range sheets {
		fmt.Printf("%d of %d rows, %d pieces, %.0f %% of the sheet\n", s.Number, len(s.Rows), len(s.Pieces()), 100*s.Covered())
	}
	// Output:
	// 1 of 4 rows, 28 pieces, 69 % of the sheet
	// 1 of 4 rows, 28 pieces, 69 % of the sheet
	// 1 of 1 rows, 5 pieces, 11 % of the sheet
}
