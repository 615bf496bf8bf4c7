// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"strings"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// A name of 113 characters leaves the quilt as large on the page as a short one.
func TestLongNameLeavesTheQuiltItsSize(t *testing.T) {
	wide := func(name string) (out []float64) {
		s := quilt.Spec{Name: name, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 11, Rows: 14,
			Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}},
			Fabrics: []quilt.Fabric{{Key: "a", Name: name, Colours: []quilt.Colour{{10, 90, 120}}}}}
		p, err := quilt.New(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []*draw.Drawing{sheet.Picture(p), sheet.Sewing(p, sewing.New(p))[0]()} {
			out = append(out, p.Finished.Width/d.Page.Width())
		}
		return out
	}
	long := strings.Repeat("A long evening by the sea ", 5)[:113]
	for i, short := range wide("Sea") {
		if got := wide(long)[i]; got < short-1e-9 {
			t.Errorf("drawing %d: the quilt takes %.3f of the width with a long name, %.3f with a short one", i, got, short)
		}
	}
}
