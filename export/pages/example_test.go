// SPDX-License-Identifier: Apache-2.0

package pages_test

import (
	"fmt"

	"lozenge/export/pages"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Templates on letter paper: the strip gauge, then each kind of piece.
func ExampleTemplates() {
	s := quilt.Spec{
		Name: "Harbour", Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 3,
		Strips:  []quilt.Strip{{Cut: 2, Fabric: "tide"}, {Cut: 2, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{{Key: "tide", Colours: []quilt.Colour{{31, 95, 122}}}, {Key: "sand", Colours: []quilt.Colour{{240, 230, 210}}}},
	}
	s.Binding.Cut = 2.5
	p, err := quilt.New(s)
	if err != nil {
		panic(err)
	}
	letter, _ := pages.Named("letter", s.Unit)
	sheets, err := pages.Templates(p, letter)
	if err != nil {
		panic(err)
	}
	for _, d := range sheets {
		fmt.Println(d.Title)
	}
	// Output:
	// Harbour: strip gauge
	// Harbour: right-leaning diamond
	// Harbour: left-leaning diamond
	// Harbour: left-leaning edge triangle, tide on the wide side
	// Harbour: left-leaning edge triangle, sand on the wide side
}
