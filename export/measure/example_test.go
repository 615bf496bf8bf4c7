// SPDX-License-Identifier: Apache-2.0

package measure_test

import (
	"bytes"
	"fmt"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/measure"
	"lozenge/export/svg"
	"lozenge/export/svgread"
	"lozenge/geometry"
)

// A drawing with its calibration square, as it was written and after a program
// shrank it to 97 %.
func ExampleDrawing_Judge() {
	p := draw.NewPen(geometry.Inch, "a square to cut", "")
	p.Rect(draw.Cut, geometry.Rect{Max: geometry.Point{X: 2, Y: 2}})
	p.Prove(geometry.Point{X: 3})
	d := p.Finish(0.5)
	var file bytes.Buffer
	if err := svg.Write(&file, d); err != nil {
		panic(err)
	}
	small := strings.NewReplacer(
		fmt.Sprintf(`"%vin"`, d.Page.Width()), fmt.Sprintf(`"%vin"`, 0.97*d.Page.Width()),
		fmt.Sprintf(`"%vin"`, d.Page.Height()), fmt.Sprintf(`"%vin"`, 0.97*d.Page.Height())).Replace(file.String())
	for _, text := range []string{file.String(), small} {
		read, err := svgread.Read(strings.NewReader(text), "")
		if err != nil {
			panic(err)
		}
		r := read.Judge(measure.Options{})
		fmt.Printf("%s: the square of %v in measures %.2f in\n", r.Verdict, r.Square.Nominal, r.Square.Width)
	}
	// Output:
	// true: the square of 4 in measures 4.00 in
	// not true: the square of 4 in measures 3.88 in
}
