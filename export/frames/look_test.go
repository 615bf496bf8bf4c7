// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"math"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/geometry/quilt"
)

// Published ratios: black on white 21:1 and the two greys between which 4.5:1
// on white lies, #767676 (4.54) and #777777 (4.48) (WCAG 2.1, understanding
// success criterion 1.4.3); pure red on white 4.0, blue on white 8.59 (W3C's
// technique G18).
func TestContrast(t *testing.T) {
	white := quilt.Colour{255, 255, 255}
	for text, want := range map[string]float64{
		"#000000": 21, "#767676": 4.54, "#777777": 4.48, "#ff0000": 4.0, "#0000ff": 8.59, "#FFFFFF": 1,
	} {
		c, err := ParseColour(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, got := range []float64{contrast(c, white), contrast(white, c)} {
			if math.Abs(got-want) > 0.005 {
				t.Errorf("%s on white: %.4f, want %v", text, got, want)
			}
		}
	}
}

func TestLook(t *testing.T) {
	if err := PlainLook().Validate(); err != nil {
		t.Error(err)
	}
	grey := quilt.Colour{0x77, 0x77, 0x77}
	for _, l := range []Look{
		{Line: grey, Ground: quilt.Colour{255, 255, 255}},
		{Line: grey, Ground: grey},
		{Line: quilt.Colour{255, 255, 255}, Width: 0.4},
		{Line: quilt.Colour{255, 255, 255}, Width: 21},
		{Line: quilt.Colour{255, 255, 255}, Width: math.NaN()},
		{Line: quilt.Colour{255, 255, 255}, Width: -2},
	} {
		if l.Validate() == nil {
			t.Errorf("%+v is taken", l)
		}
	}
	for _, l := range []Look{PlainLook(), {Line: quilt.Colour{0, 0, 0}, Ground: quilt.Colour{0xff, 0xf8, 0xc0}}, {Line: quilt.Colour{255, 40, 40}}} {
		if c := contrast(l.faint(), l.Ground); c < lineContrast {
			t.Errorf("%v on %v: what is faint has a contrast of %v", l.Line, l.Ground, c)
		}
	}
	if w := PlainLook().width(calibrate.Screen{Width: 3840, Height: 2160}); w != 4 {
		t.Errorf("a line is %v pixels wide on a screen twice as fine", w)
	}
}

// Property: what is taken is # and six digits, and is written back as such.
// go test ./export/frames -run '^$' -fuzz FuzzParseColour
func FuzzParseColour(f *testing.F) {
	for _, s := range []string{"#1f5f7a", "#FFFFFF", "1f5f7a", "#1f5f7", "#1f5f7g", "#+1f5f7", "white", "", "#", "#é1f5f"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseColour(text)
		switch {
		case err == nil && c.String() != strings.ToLower(text):
			t.Errorf("%q is read as %v", text, c)
		case err != nil && c != quilt.Colour{}:
			t.Errorf("%q is refused and gives %v", text, c)
		}
	})
}
