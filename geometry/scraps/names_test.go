// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"slices"
	"testing"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
)

// What is sewn from a bin goes by the scraps' names in the strip sets and in the
// list of the fabrics alike, whatever names the pattern has for its own colours.
func TestNamesOfScraps(t *testing.T) {
	blue, rose, moss := quilt.Colour{0x17, 0x50, 0x6b}, quilt.Colour{0xcc, 0x33, 0x55}, quilt.Colour{0x55, 0x6b, 0x2f}
	p, err := quilt.New(quilt.Spec{
		Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 5,
		Strips: []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{
			{Key: "tide", Colours: []quilt.Colour{blue, {0x9f, 0xcf, 0xcf}}, Names: []string{"harbour", "reef"}},
			{Key: "sand", Colours: []quilt.Colour{{0xd9, 0xc8, 0xa4}}, Names: []string{"wheat field"}},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	made, err := scraps.New(p, []scraps.Scrap{
		{Fabric: "tide", Name: "rose", Colour: &rose, Width: 3, Length: 40, Count: 2},
		{Fabric: "tide", Name: "moss", Colour: &moss, Width: 3, Length: 40, Count: 1},
		{Fabric: "tide", Name: "fern", Colour: &moss, Width: 3, Length: 40, Count: 1},
		{Fabric: "tide", Name: "dusk", Width: 3, Length: 40, Count: 1},
		{Fabric: "sand", Width: 3, Length: 40, Count: 5},
	}, false)
	if err != nil || len(made.Sets) != 5 {
		t.Fatalf("%v, %+v", err, made)
	}
	listed := made.Quilt.Spec.ColourList("tide")
	if got := slices.Sorted(slices.Values(listed)); !slices.Equal(got, []string{"dusk", "fern", "moss", "rose"}) {
		t.Errorf("the fabric's colours are %v", got)
	}
	for k, s := range made.Sets {
		want := []string{made.Scraps[s.Strips[0].Scrap].Name, "wheat field"}
		if got := made.Quilt.ColourNames(k); !slices.Equal(got, want) {
			t.Errorf("strip set %d is called %v, sewn from %v", k+1, got, want)
		}
	}
	if ways, _ := made.Quilt.Colourways(); len(ways) != 4 {
		t.Errorf("%d colourways for 4 cloths: %+v", len(ways), ways)
	}
}

// A scrap without a name goes by its colour: as the pattern or another scrap calls
// that, else by the nearest keyword of CSS, numbered where its fabric has the word
// already; without a colour by its fabric.
func TestScrapsWithoutNames(t *testing.T) {
	colour := func(r, g, b uint8) *quilt.Colour { return &quilt.Colour{r, g, b} }
	spec := quilt.Spec{
		Unit: geometry.Inch, Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 4, Rows: 5,
		Strips: []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{
			{Key: "tide", Colours: []quilt.Colour{{0x17, 0x50, 0x6b}}, Names: []string{"harbour"}},
			{Key: "sand", Colours: []quilt.Colour{{0xd9, 0xc8, 0xa4}}},
		},
	}
	bin := []scraps.Scrap{
		{Fabric: "tide", Colour: colour(0x17, 0x50, 0x6b)},
		{Fabric: "tide", Colour: colour(0x70, 0x80, 0x90)}, // slategray in CSS
		{Fabric: "tide", Colour: colour(0x71, 0x80, 0x90)},
		{Fabric: "tide", Colour: colour(0x71, 0x80, 0x90)},
		{Fabric: "tide", Colour: colour(0x80, 0, 0)}, // maroon
		{Fabric: "tide", Colour: colour(0x80, 0, 0), Name: "barn"},
		{Fabric: "tide"},
		{Fabric: "sand", Colour: colour(0x70, 0x80, 0x90)},
	}
	for i := range bin {
		bin[i].Width, bin[i].Length, bin[i].Count = 3, 40, 1
	}
	given := slices.Clone(bin)
	for _, order := range []quilt.ColourOrder{quilt.Gradient, quilt.Bands} {
		spec.ColourOrder = order
		p, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		made, err := scraps.New(p, bin, true)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range made.Scraps {
			got = append(got, s.Label())
		}
		if want := []string{"harbour", "slate gray", "slate gray 2", "slate gray 2", "barn", "barn", "tide", "slate gray"}; !slices.Equal(got, want) {
			t.Errorf("%v: the scraps are called %q, not %q", order, got, want)
		}
		if !slices.Equal(bin, given) {
			t.Errorf("%v: what was given was changed", order)
		}
	}
}
