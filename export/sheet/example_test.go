// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"fmt"

	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// One piece of each kind that a small quilt needs, ready for a writer.
func ExampleCutter() {
	s := quilt.Spec{
		Name: "Harbour", Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 3,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{{Key: "tide", Colours: []quilt.Colour{{31, 95, 122}}}, {Key: "sand", Colours: []quilt.Colour{{240, 230, 210}}}},
	}
	s.Binding.Cut = 2.5
	p, err := quilt.New(s)
	if err != nil {
		panic(err)
	}
	for _, part := range sheet.Cutter(p).Parts {
		fmt.Println(part.Name, part.Number)
	}
	// Output:
	// right-leaning diamond 8
	// left-leaning diamond 4
	// left-leaning edge triangle, tide on the wide side 4
	// left-leaning edge triangle, sand on the wide side 4
}
