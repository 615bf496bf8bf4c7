// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
)

// lit returns how much light each pixel of a picture has, for a scene's
// projector (sRGB, IEC 61966-2-1, near enough).
func lit(im image.Image) func(u, v float64) float64 {
	b := im.Bounds()
	light := make([]float64, b.Dx()*b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			_, g, _, _ := im.At(b.Min.X+x, b.Min.Y+y).RGBA()
			light[y*b.Dx()+x] = math.Pow(float64(g)/0xffff, 2.2)
		}
	}
	return func(u, v float64) float64 {
		x, y := min(max(int(u), 0), b.Dx()-1), min(max(int(v), 0), b.Dy()-1)
		return light[y*b.Dx()+x]
	}
}

// From the first screen to the check square with one photo, taken of what the
// page really shows: drawn ray by ray from a screenshot and handed to the phone's
// file field. A photo that won't do says so and changes nothing.
func TestOnePhoto(t *testing.T) {
	t.Parallel()
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml")
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080, FullScreen: true}, virtual.Tilted())
	q.stage(q.press("n"), "begin")
	p := q.phone()
	p.taps("#on")
	v := p.taps("#offer")
	q.stage(v, "read")
	q.page.WaitFor(fmt.Sprintf(`document.body.dataset.serial >= %d`, v.Serial))
	p.page.Look("take")
	s := scene.Good(5, outside.Of(1200, 1600))
	s.Projector.Pixel = lit(q.sees("crosses"))
	var good bytes.Buffer
	if err := jpeg.Encode(&good, s.Photo(), &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	takes := func(data []byte) shown {
		t.Helper()
		path := filepath.Join(t.TempDir(), "photo.jpg")
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		before := r.view(t).Serial
		p.page.Choose("#picture", path)
		p.page.WaitFor(fmt.Sprintf(`document.body.dataset.serial > %d && !document.getElementById("picture").disabled`, before))
		return r.view(t)
	}
	v = takes(good.Bytes()[:good.Len()/2])
	if q.stage(v, "read"); !strings.HasPrefix(v.Say, "This photo won't do: the picture is damaged or cut off") {
		t.Fatalf("%q", v.Say)
	}
	v = takes(good.Bytes())
	if !strings.HasPrefix(v.Say, "Done: ") || !strings.Contains(strings.Join(v.More, "\n"), "12 of 12 crosses were found") {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	p.page.WaitFor(`document.querySelector("#seen img").naturalWidth > 0`)
	p.page.Look("photo")
	q.page.Look("photo")
	// A second one agrees.
	p.page.Run(`[...document.querySelectorAll("#others button")].find(b => b.textContent === "Another photo").id = "another"`)
	p.taps("#another")
	v = takes(good.Bytes())
	if !strings.Contains(strings.Join(v.More, "\n"), "The photo before has them within") {
		t.Fatalf("%q", v.More)
	}
	q.stage(p.taps("#on"), "square")
	// The square that it shows is measured in a photo, too.
	s.Things = nil
	s.Projector.Pixel = lit(q.sees("lit-square"))
	var square bytes.Buffer
	if err := jpeg.Encode(&square, s.Photo(), &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	if v = takes(square.Bytes()); v.Stage != "square" || !strings.HasPrefix(v.Say, "By the mat's own lines the square is") && v.Say != "The square is not true." {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	t.Logf("%q %q", v.Say, v.More)
	for _, page := range []*person{q, p} {
		if e := page.page.Errors(); len(e) > 0 {
			t.Errorf("the browser complains: %q", e)
		}
	}
}
