// SPDX-License-Identifier: Apache-2.0

package pdf_test

import (
	"bytes"
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/pdf"
	"lozenge/export/pdfread"
	"lozenge/geometry"
)

// A page of exactly the paper's size, with a strip at true size, read back.
func ExampleWrite() {
	p := draw.NewPen(geometry.Inch, "", "")
	p.Rect(draw.Cut, geometry.Rect{Min: geometry.Point{X: 1, Y: 1}, Max: geometry.Point{X: 7, Y: 3.5}})
	page := p.Finish(0)
	page.Page = geometry.Rect{Max: geometry.Point{X: 8.5, Y: 11}}
	var file bytes.Buffer
	if err := pdf.Write(&file, pdf.Document{Title: "a strip", Pages: []*draw.Drawing{page}}); err != nil {
		panic(err)
	}
	read, err := pdfread.Read(&file)
	if err != nil {
		panic(err)
	}
	for _, path := range read.Pages[0].Paths {
		fmt.Println(path.Points)
	}
	// Output: [{1 1} {7 1} {7 3.5} {1 3.5}]
}
