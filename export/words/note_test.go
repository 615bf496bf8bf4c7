// SPDX-License-Identifier: Apache-2.0

package words_test

import (
	"slices"
	"strings"
	"testing"

	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// noted returns the notes on the plan of a quilt of two strips, one in so many colours.
func noted(t *testing.T, s quilt.Spec, colours int) string {
	t.Helper()
	s.Angle, s.Seam = 60, 0.25
	s.Strips = []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2, Fabric: "b"}}
	s.Fabrics = []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{}, {0, 0, 60}, {0, 60, 60}}[:colours]}, {Key: "b", Colours: []quilt.Colour{{240, 240, 240}}}}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(words.Notes(p), "\n")
}

// What takes the place of a colour that is not used is said where it does. One diamond
// between two edge triangles that match it: all three in one colour, by hand; in the
// bands order those few pieces have no band for a third.
func TestNotesOnColoursNotUsed(t *testing.T) {
	matched := quilt.Spec{UsableWidth: 9, Layout: quilt.OneWay, Columns: 1, Rows: 1, Edges: quilt.Matched}
	if said := noted(t, matched, 2); !strings.Contains(said, "for 2 strip sets, which hold the edge triangles in the colours of the others. Not used:") {
		t.Errorf("matched: %q", said)
	}
	bands := quilt.Spec{UsableWidth: 9, Layout: quilt.OneWay, Columns: 1, Rows: 1, ColourOrder: quilt.Bands}
	if said := noted(t, bands, 3); !strings.Contains(said, "Not used:") || strings.Contains(said, "which hold") {
		t.Errorf("bands: %q", said)
	}
}

// What a layout of one's own takes, counted by hand; of a setting nothing is told.
func TestNotesOnLayouts(t *testing.T) {
	for _, c := range []struct {
		rows          []string
		columns, high int
		want          []string
	}{
		{[]string{"R", "r"}, 2, 2, []string{"This layout takes 4 right-leaning diamonds (2 turned upside down) and none of the other lean."}},
		{[]string{"r"}, 1, 1, []string{"This layout takes 1 right-leaning diamond turned upside down and none of the other lean."}},
		{[]string{"RL"}, 3, 1, []string{"This layout takes 2 right-leaning diamonds and 1 left-leaning diamond: strip sets of both leans."}},
		{[]string{"R"}, 2, 2, nil},
	} {
		l, err := quilt.NewLayout(c.rows)
		if err != nil {
			t.Fatal(err)
		}
		said := strings.Split(noted(t, quilt.Spec{UsableWidth: 40, Layout: l, Columns: c.columns, Rows: c.high}, 1), "\n")
		for _, want := range c.want {
			if !slices.Contains(said, want) {
				t.Errorf("%v: %q, not %q", c.rows, said, want)
			}
		}
		if told := slices.ContainsFunc(said, func(n string) bool { return strings.HasPrefix(n, "This layout") }); told != (c.want != nil) {
			t.Errorf("%v: %q", c.rows, said)
		}
	}
}
