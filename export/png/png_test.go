// SPDX-License-Identifier: Apache-2.0

package png_test

import (
	"bytes"
	"errors"
	"image"
	stdpng "image/png"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/png"
	"lozenge/geometry"
)

// chiral is a page of 4 x 3 in with an L in blue at its lower left, a cut line
// along its top and a square of 1 in.
func chiral() *draw.Drawing {
	return &draw.Drawing{
		Title: "chiral", Unit: geometry.Inch, Scale: 1, Line: 0.02,
		Page: geometry.Rect{Max: geometry.Point{X: 4, Y: 3}},
		Fills: []draw.Fill{{Colour: "#0000ff", Polygons: []geometry.Polygon{
			{{X: 0.2, Y: 0.2}, {X: 1.2, Y: 0.2}, {X: 1.2, Y: 0.5}, {X: 0.2, Y: 0.5}},
			{{X: 0.2, Y: 0.5}, {X: 0.5, Y: 0.5}, {X: 0.5, Y: 1.8}, {X: 0.2, Y: 1.8}},
		}}},
		Paths:  []draw.Path{{Role: draw.Cut, Points: []geometry.Point{{X: 0.5, Y: 2.9}, {X: 3.5, Y: 2.9}}}},
		Texts:  []draw.Text{{At: geometry.Point{X: 2, Y: 2.2}, Height: 0.3, Value: "LEFT", Centred: true}},
		Square: &draw.CalibrationSquare{At: geometry.Point{X: 2.5, Y: 0.5}, Side: 1, Size: "1in"},
	}
}

func TestEverythingIsWhereItBelongs(t *testing.T) {
	var buf bytes.Buffer
	if err := png.Write(&buf, chiral(), 100, draw.Fonts{}); err != nil {
		t.Fatal(err)
	}
	// pHYs behind the header: 100 to the inch are 3937 to the metre.
	if at := bytes.Index(buf.Bytes(), []byte("pHYs\x00\x00\x0f\x61\x00\x00\x0f\x61\x01")); at != 37 {
		t.Errorf("the resolution stands at byte %d", at)
	}
	img, err := stdpng.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 400 || b.Dy() != 300 {
		t.Fatalf("%v", b)
	}
	for _, c := range []struct {
		what string
		x, y float64 // in, y up
		r, b bool    // much red, much blue
	}{
		{"the foot of the L", 1.1, 0.3, false, true},
		{"the stem of the L", 0.3, 1.6, false, true},
		{"where a mirrored L would stand", 1.1, 1.6, true, true},
		{"between the parts of the L", 0.3, 0.5, false, true},
		{"the cut line", 2, 2.9, false, false},
		{"the left side of the square", 2.5, 1, false, false},
		{"the top of the square", 3, 1.5, false, false},
		{"the middle of the square", 3, 1, true, true},
	} {
		r, _, b, _ := img.At(int(c.x*100), int((3-c.y)*100)).RGBA()
		if (r > 0x9000) != c.r || (b > 0x9000) != c.b {
			t.Errorf("%s: red %x, blue %x", c.what, r, b)
		}
	}
	dark := 0
	for x := 150; x < 250; x++ {
		if r, _, _, _ := img.At(x, 300-230).RGBA(); r < 0x8000 {
			dark++
		}
	}
	if dark < 5 {
		t.Errorf("no lettering: %d dark pixels", dark)
	}
}

// Lettering in a colour of its own, here white on the blue L and turned to run
// up its stem, covers what lies below it and nothing else.
func TestTextColour(t *testing.T) {
	drawn := func(s *draw.Drawing) image.Image {
		var buf bytes.Buffer
		if err := png.Write(&buf, s, 100, draw.Fonts{}); err != nil {
			t.Fatal(err)
		}
		img, err := stdpng.Decode(&buf)
		if err != nil {
			t.Fatal(err)
		}
		return img
	}
	plain := drawn(chiral())
	s := chiral()
	s.Texts = append(s.Texts, draw.Text{At: geometry.Point{X: 0.45, Y: 1}, Height: 0.2, Turn: 90, Value: "MM", Centred: true, Colour: "#ffffff"})
	img := drawn(s)
	white := 0
	for x := range 400 {
		for y := range 300 {
			if img.At(x, y) == plain.At(x, y) {
				continue
			}
			// Capitals 0.2 in high that run up: from x = 0.25 to 0.45, the two
			// of them no wider than 0.6 in.
			if x < 24 || x > 46 || y < 300-130 || y > 300-70 {
				t.Fatalf("pixel %d, %d changed", x, y)
			}
			if r, _, _, _ := img.At(x, y).RGBA(); r > 0xf000 {
				white++
			}
		}
	}
	if white < 100 {
		t.Errorf("%d white pixels", white)
	}
	s.Texts[1].Colour = "white"
	if err := png.Write(&bytes.Buffer{}, s, 100, draw.Fonts{}); err == nil {
		t.Error("a colour by its name was taken")
	}
}

func TestPicturesTooLarge(t *testing.T) {
	s := chiral()
	s.Page.Max = geometry.Point{X: 400, Y: 300}
	var size *png.SizeError
	if err := png.Write(&bytes.Buffer{}, s, 300, draw.Fonts{}); !errors.As(err, &size) {
		t.Errorf("got %v", err)
	}
	for _, dpi := range []int{0, -1, 9, 1201} {
		if err := png.Write(&bytes.Buffer{}, chiral(), dpi, draw.Fonts{}); err == nil {
			t.Errorf("%d pixels an inch were taken", dpi)
		}
	}
}

// Seams of a strip set and finished edges are told apart by their dashes, not by
// colour or width alone.
func TestDashesOfTheirOwn(t *testing.T) {
	p := draw.NewPen(geometry.Inch, "dashes", "")
	p.Page = geometry.Rect{Max: geometry.Point{X: 3, Y: 1}}
	for i, thin := range []bool{false, true} {
		y := 0.25 + 0.5*float64(i)
		p.Segment(draw.Sew, geometry.Segment{A: geometry.Point{X: 0.5, Y: y}, B: geometry.Point{X: 2.5, Y: y}}).Thin = thin
	}
	var buf bytes.Buffer
	if err := png.Write(&buf, p.Drawing, 300, draw.Fonts{}); err != nil {
		t.Fatal(err)
	}
	img, err := stdpng.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	runs := func(y int) (n int) {
		for x := 1; x < 900; x++ {
			a, _, _, _ := img.At(x-1, y).RGBA()
			b, _, _, _ := img.At(x, y).RGBA()
			if a > 0x8000 && b < 0x8000 {
				n++
			}
		}
		return n
	}
	finished, seam := runs(300-75), runs(300-225)
	if finished < 10 || seam < 2*finished {
		t.Errorf("%d dashes of the finished edge, %d of the seam in 2 in", finished, seam)
	}
}
