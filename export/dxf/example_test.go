// SPDX-License-Identifier: Apache-2.0

package dxf_test

import (
	"bytes"
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/geometry"
)

// A piece to cut and its seam, each on its layer, read back.
func ExampleWrite() {
	p := draw.NewPen(geometry.Inch, "a strip", "")
	p.Rect(draw.Cut, geometry.Rect{Max: geometry.Point{X: 4, Y: 2}})
	p.Segment(draw.Sew, geometry.Segment{A: geometry.Point{Y: 1}, B: geometry.Point{X: 4, Y: 1}})
	var file bytes.Buffer
	if err := dxf.Write(&file, p.Finish(1)); err != nil {
		panic(err)
	}
	read, err := dxf.Read(&file)
	if err != nil {
		panic(err)
	}
	for _, e := range read.Entities {
		fmt.Println(e.Layer, e.Points, e.Closed)
	}
	// Output:
	// CUT [{0 0} {4 0} {4 2} {0 2}] true
	// SEW [{0 1} {4 1}] false
}
