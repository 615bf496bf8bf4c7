// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"fmt"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// The cuts of a small quilt, for a projector whose light lands 1/50 in to a
// pixel.
func ExampleStripSets() {
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
	screen := calibrate.Screen{Width: 1920, Height: 1080}
	crosses, _ := calibrate.Targets(screen, calibrate.Grid{Columns: 4, Rows: 3}, 1)
	var readings []calibrate.Reading
	for _, c := range crosses {
		readings = append(readings, calibrate.Reading{Point: c.Point, U: c.U, V: c.V, X: c.U / 50, Y: 22 - c.V/50})
	}
	all, err := frames.StripSets(p, calibrate.Solve(readings, screen, calibrate.Options{}).Map)
	if err != nil {
		panic(err)
	}
	for _, f := range all {
		fmt.Println(f.Name, f.Covers, f.ToCut)
	}
	// Output:
	// frame-01.svg Strip sets 1 and 2, right-leaning, right side up [1 2 3 4 5 6 7 9 10 11 12 13 14 15 16 17 18 19 20]
	// frame-02.svg Strip sets 1 and 2, right-leaning, right side up [8 21 22]
	// frame-03.svg Strip set 3, left-leaning, right side up [1 2 3 4 5 6 7 9 10 11 12 13 14 15 16 17 18 19 20]
	// frame-04.svg Strip set 3, left-leaning, right side up [8 21 22]
}
