// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/photograph"
)

// frame returns how the mat's own axes lie in those found: whole lines off, and
// the cosine and sine of a quarter turn.
func frame(s *scene.Scene, f *photo.Found) (ox, oy float64, turn [2]float64) {
	least := math.Inf(1)
	for quarter := range 4 {
		sin, cos := math.Round(math.Sin(float64(quarter)*math.Pi/2)), math.Round(math.Cos(float64(quarter)*math.Pi/2))
		var x0, y0, most float64
		for i, c := range f.Crosses {
			x, y := s.Projector.ToMat(c.U, c.V)
			x, y = x-(cos*c.X-sin*c.Y), y-(sin*c.X+cos*c.Y)
			if i == 0 {
				x0, y0 = s.Said.Step*math.Round(x/s.Said.Step), s.Said.Step*math.Round(y/s.Said.Step)
			}
			most = max(most, math.Hypot(x-x0, y-y0))
		}
		if most < least {
			least, ox, oy, turn = most, x0, y0, [2]float64{cos, sin}
		}
	}
	return ox, oy, turn
}

// astray returns how far each cross is off, in inches, in x and y, by whole
// lines and quarter turns at best: those are not on the mat.
func astray(s *scene.Scene, f *photo.Found) (best [][2]float64, worst float64) {
	ox, oy, q := frame(s, f)
	for _, c := range f.Crosses {
		x, y := s.Projector.ToMat(c.U, c.V)
		x, y = x-ox-(q[0]*c.X-q[1]*c.Y), y-oy-(q[1]*c.X+q[0]*c.Y)
		best = append(best, [2]float64{x, y})
		worst = max(worst, math.Hypot(x, y))
	}
	return best, worst
}

// sent takes a photo the way that a phone sends it.
func sent(t testing.TB, im *image.Gray) *image.Gray {
	t.Helper()
	var out bytes.Buffer
	err := jpeg.Encode(&out, im, &jpeg.Options{Quality: 85})
	if err == nil {
		im, err = photograph.Decode(out.Bytes())
	}
	if err != nil {
		t.Fatal(err)
	}
	return im
}

// read takes the way from a scene's photo to what is found.
func read(t testing.TB, s *scene.Scene, im *image.Gray) (*photo.Found, error) {
	return photo.Read(sent(t, im), photo.Options{
		Screen: calibrate.Screen{Width: s.Said.Width, Height: s.Said.Height}, Step: s.Said.Step, Fine: s.Said.Fine, Wide: s.Said.Wide,
	})
}
