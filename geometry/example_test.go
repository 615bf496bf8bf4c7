// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"fmt"

	"lozenge/geometry"
)

// Exactly a half is a half; what could be read in two ways is refused.
func ExampleParseLength() {
	for _, text := range []string{"2½", "2-1/2 in", "6.5 cm", "21/2", "6,5"} {
		l, err := geometry.ParseLength(text, geometry.Inch)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(geometry.FormatLength(l.In(geometry.Inch), geometry.Inch))
		if l.Warning() != "" {
			fmt.Println(l.Warning())
		}
	}
	// Output:
	// 2 1/2 in
	// 2 1/2 in
	// 2 9/16 in (2.559)
	// 10 1/2 in
	// 21/2 was read as 10 1/2; if 2 1/2 is meant, put the space in
	// `6,5` is not a length: decimals are written with a point, not a comma; write 6.5
}

// A diamond of a strip set 5 1/2 in wide: its sharp tips are cut straight
// across, so it has two edges more.
func ExampleCutting_Piece() {
	cut := geometry.Cutting{Width: 5.5, Seam: 0.25, Angle: 60, Tips: geometry.Matched}
	piece := cut.Piece(geometry.Diamond, geometry.Right)
	for _, e := range piece.Edges {
		fmt.Printf("%v, %v degrees to the grain\n", e.Kind, e.Grain)
	}
	fmt.Printf("finished %.3f in on each side\n", cut.FinishedSide())
	// Output:
	// tip trim, 60 degrees to the grain
	// strip edge, 0 degrees to the grain
	// crosscut, 60 degrees to the grain
	// tip trim, 60 degrees to the grain
	// strip edge, 0 degrees to the grain
	// crosscut, 60 degrees to the grain
	// finished 5.774 in on each side
}
