// SPDX-License-Identifier: Apache-2.0

package booklet_test

import (
	"fmt"

	"lozenge/export/booklet"
	"lozenge/export/pages"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// A booklet for one size, on letter paper.
func ExampleMake() {
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
	letter, _ := pages.Named("letter", s.Unit)
	b, err := booklet.Make([]booklet.Size{{Plan: p}}, booklet.Options{Paper: letter})
	if err != nil {
		panic(err)
	}
	for _, mark := range b.Bookmarks[:4] {
		fmt.Println(mark.Title)
	}
	// Output:
	// Harbour
	// Before you begin
	// What you need
	// Words
}
