// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// The smallest quilt that covers 44 by 50 in, from strip sets of two 3 in
// strips.
func ExampleNew() {
	s := quilt.Spec{
		Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{{Key: "tide", Colours: []quilt.Colour{{31, 95, 122}}}, {Key: "sand", Colours: []quilt.Colour{{240, 230, 210}}}},
		Finish:  &quilt.Size{Width: 44, Height: 50},
	}
	s.Binding.Cut = 2.5
	p, err := quilt.New(s)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%d columns, %d rows: %.2f by %.2f in\n", p.Columns, p.Rows, p.Finished.Width, p.Finished.Height)
	fmt.Printf("%d right-leaning diamonds, %d left-leaning, from %d strip sets\n",
		p.Need.Diamonds(geometry.Right), p.Need.Diamonds(geometry.Left), len(p.Fewest.Layouts))
	for _, c := range p.Cloth {
		fmt.Printf("%s: %d strips, buy %v %s\n", c.Key, c.Strips, c.Buy, c.Unit)
	}
	// Output:
	// 9 columns, 9 rows: 49.07 by 50.00 in
	// 45 right-leaning diamonds, 36 left-leaning, from 17 strip sets
	// tide: 17 strips, buy 1.5 yd
	// sand: 17 strips, buy 1.5 yd
}
