// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"slices"
	"testing"

	"lozenge/geometry/quilt"
)

// Two colours of a fabric are not told apart by capitals alone.
func TestNamesDifferByMoreThanCapitals(t *testing.T) {
	f := quilt.Fabric{Colours: []quilt.Colour{{0x17, 0x50, 0x6b}, {0x70, 0x80, 0x90}, {0x71, 0x80, 0x90}}, Names: []string{"Slate Gray"}}
	if got, want := f.ColourNames(), []string{"Slate Gray", "slate gray 2", "slate gray 3"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// The one colour of a fabric is told where the pattern names it, several always.
func TestColourTold(t *testing.T) {
	s := spec([]float64{2, 2, 2}, 0.25, 60, 40, quilt.Zigzag, 2, 2)
	s.Strips[0].Fabric, s.Strips[1].Fabric, s.Strips[2].Fabric = "a", "b", "c"
	s.Fabrics = []quilt.Fabric{
		{Key: "a", Colours: []quilt.Colour{{0x17, 0x50, 0x6b}}, Names: []string{"harbour"}},
		{Key: "b", Colours: []quilt.Colour{{0xfa, 0xf0, 0xe6}}},
		{Key: "c", Colours: []quilt.Colour{{1}, {2}}},
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]bool{"a": true, "b": false, "c": true, "none": false} {
		if got := p.Spec.ColourTold(key); got != want {
			t.Errorf("%s: %v", key, got)
		}
	}
	if got, want := p.ColourNames(0)[:2], []string{"harbour", "linen"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
