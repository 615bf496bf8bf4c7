// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"errors"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
)

// TestInchesForCentimetres says the wrong grid of a mat on which the picture has
// a size that either would allow: the marks between lines tell.
func TestInchesForCentimetres(t *testing.T) {
	outside.OnlyFull(t)
	for _, c := range []struct{ true, said, across float64 }{
		{1, 1 / 2.54, 50}, {1, 1 / 2.54, 60}, {1 / 2.54, 1, 20}, {1 / 2.54, 1, 24},
	} {
		s := scene.Good(8, 1000)
		k := c.across / 32
		s.Mat = scene.Mat{Width: 40 * k, Height: 26 * k, Step: c.true, Line: 0.03 * c.true, Ground: .16, Ink: .62, Ticks: 8, Digits: true}
		if c.true < 1 {
			s.Mat.Ticks, s.Mat.Line = 10, 0.016
		}
		s.Width, s.Height = 1600, 1200
		s.Exposure = 1.2
		s.Projector.H = scene.Shown(1920, 1080, 20*k, 13*k, c.across, 2, .05, .03)
		s.LookX, s.LookY, s.Across = 20*k, 13*k, 1.25*c.across
		s.Distance = 1.1 * s.Across
		s.Things = nil
		im := s.Photo()
		o := photo.Options{Screen: calibrate.Screen{Width: 1920, Height: 1080}, Step: c.true}
		// Where marks are too small to be seen, it asks how wide the picture is.
		var refused *photo.Refusal
		if _, err := photo.Read(im, o); errors.As(err, &refused) && refused.Rule == photo.WhichGrid {
			o.Wide = c.across
		}
		if _, err := photo.Read(im, o); err != nil {
			t.Errorf("%v: as it is: %v", c, err)
		}
		o.Step = c.said
		_, err := photo.Read(im, o)
		if !errors.As(err, &refused) || refused.Rule != photo.WrongGrid && refused.Rule != photo.NoCross {
			t.Errorf("%v: said wrong: %v", c, err)
		} else {
			t.Logf("%v: %v", c, err)
		}
	}
}
