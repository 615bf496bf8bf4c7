// SPDX-License-Identifier: Apache-2.0

package png_test

import (
	"bytes"
	"fmt"
	"image/png"

	"lozenge/export/draw"
	ours "lozenge/export/png"
	"lozenge/geometry"
)

// 4 by 2 in at 150 pixels to an inch.
func ExampleWrite() {
	p := draw.NewPen(geometry.Inch, "", "")
	p.Rect(draw.Cut, geometry.Rect{Max: geometry.Point{X: 4, Y: 2}})
	var file bytes.Buffer
	if err := ours.Write(&file, p.Finish(0), 150, draw.Fonts{}); err != nil {
		panic(err)
	}
	picture, err := png.DecodeConfig(&file)
	fmt.Println(picture.Width, picture.Height, err)
	// Output: 600 300 <nil>
}
