// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"fmt"

	"lozenge/calibrate"
)

// From what was read on the mat to a line on the screen.
func ExampleSolve() {
	readings := []calibrate.Reading{
		{Point: 1, U: 96, V: 54, X: 2.8125, Y: 20},
		{Point: 2, U: 960, V: 54, X: 19, Y: 20},
		{Point: 3, U: 1824, V: 54, X: 35.1875, Y: 20},
		{Point: 4, U: 96, V: 540, X: 2.8125, Y: 10.875},
		{Point: 5, U: 960, V: 540, X: 19, Y: 10.875},
		{Point: 6, U: 1824, V: 540, X: 36.1875, Y: 10.875},
		{Point: 7, U: 96, V: 1026, X: 2.8125, Y: 1.75},
		{Point: 8, U: 960, V: 1026, X: 19, Y: 1.75},
		{Point: 9, U: 1824, V: 1026, X: 35.1875, Y: 1.75},
	}
	r := calibrate.Solve(readings, calibrate.Screen{Width: 1920, Height: 1080}, calibrate.Options{})
	fmt.Println(r.Verdict)
	for _, reason := range r.Reasons {
		fmt.Println(reason.Text)
	}
	u, v, ok := r.Map.ToScreen(19, 10.875)
	fmt.Printf("%.0f %.0f %v\n", u, v, ok)
	// Output:
	// suspect
	// cross 6: you entered 36 3/16, 10 7/8; the others say it should be 35 3/16, 10 7/8 (1 in off): x seems to be off by whole inches. Measure it again; the map is made without this reading
	// 960 540 true
}

// A template that was printed at 97 %.
func ExampleSquare() {
	r := calibrate.Square(calibrate.SquareReading{Nominal: 12, Width: 11.625, Height: 11.625, Diagonal1: 16.4375, Diagonal2: 16.4375})
	fmt.Println(r.Verdict)
	fmt.Println(r.Advice[0])
	// Output:
	// off
	// the square came out at 96.88 %: type 103.23 % into the print dialog as its scale (where it says something else than 100 % now, that times 1.0323), and measure the square again
}
