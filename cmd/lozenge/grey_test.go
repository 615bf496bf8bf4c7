// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"
)

// lightnessOf is L of a colour by the definitions of IEC 61966-2-1 and ISO/CIE
// 11664-4.
func lightnessOf(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	y := 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
	if y <= 216./24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// picture --grey --png has no pixel that is not grey, and where the picture is all of
// one colour each is as light as there, as near as the 256 greys come (which lie
// less than 0.6 apart).
func TestGreyPixels(t *testing.T) {
	t.Parallel()
	for _, example := range []string{"tide-lap", "orchard-scraps", "meadow-cot", "ember-throw"} {
		var bright, grey bytes.Buffer
		file := "../../testdata/" + example + ".yaml"
		for out, args := range map[*bytes.Buffer][]string{&bright: {}, &grey: {"--grey"}} {
			var talk bytes.Buffer
			if s := run(append([]string{"picture", file, "--png", "--dpi", "60"}, args...), nil, out, &talk); s != statusDone {
				t.Fatalf("status %d: %s", s, talk.String())
			}
		}
		of, err := png.Decode(&bright)
		if err != nil {
			t.Fatal(err)
		}
		got, err := png.Decode(&grey)
		if err != nil || got.Bounds() != of.Bounds() {
			t.Fatalf("%v, %v as large as %v", err, got.Bounds(), of.Bounds())
		}
		samePixels(t, example, of, got)
	}
}

// samePixels holds a grey picture to the one in colour.
func samePixels(t *testing.T, name string, of, got image.Image) {
	t.Helper()
	whole, colours := 0, map[color.Color]bool{}
	box := of.Bounds().Inset(1)
	for i := range box.Dx() * box.Dy() {
		x, y := box.Min.X+i%box.Dx(), box.Min.Y+i/box.Dx()
		if r, g, b, a := got.At(x, y).RGBA(); r != g || g != b || a != 0xffff {
			t.Fatalf("%s: the pixel at %d, %d is %v", name, x, y, got.At(x, y))
		}
		c := of.At(x, y)
		if c != of.At(x-1, y) || c != of.At(x+1, y) || c != of.At(x, y-1) || c != of.At(x, y+1) {
			continue // an edge may run through it
		}
		whole++
		colours[c] = true
		if want, is := lightnessOf(c), lightnessOf(got.At(x, y)); math.Abs(want-is) > 0.3 {
			t.Fatalf("%s: L at %d, %d is %.2f, of the colour %.2f", name, x, y, is, want)
		}
	}
	if whole < box.Dx()*box.Dy()/4 || len(colours) < 5 {
		t.Errorf("%s: only %d of %d pixels were compared, in %d colours", name, whole, box.Dx()*box.Dy(), len(colours))
	}
}
