// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"testing"

	"lozenge/geometry/quilt"
)

// The picture of a very large quilt can be opened: no area of colour becomes
// an attribute of more than the 10 million bytes at which libxml2 stops
// (XML_MAX_TEXT_LENGTH, from memory). A polygon takes no more than 8 points
// of two numbers of at most 12 characters and a mark.
func TestPictureOfAVeryLargeQuilt(t *testing.T) {
	p, err := quilt.New(quilt.Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 400, Rows: 400,
		Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}},
		Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{1, 2, 3}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	polygons := 0
	for _, f := range Picture(p).Fills {
		points := 0
		for _, g := range f.Polygons {
			points += len(g)
		}
		if most := 10_000_000 / (2 * 13); points > most {
			t.Errorf("an area of colour has %d points, more than %d", points, most)
		}
		polygons += len(f.Polygons)
	}
	if polygons < len(p.Pieces) {
		t.Errorf("%d polygons for %d pieces", polygons, len(p.Pieces))
	}
}
