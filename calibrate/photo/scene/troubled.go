// SPDX-License-Identifier: Apache-2.0

package scene

import "math/rand/v2"

// Troubles are what may be wrong with a photo; each changes a good scene.
var Troubles = []struct {
	Name string
	// Hopeless says that no calibration may come of it; from the others one may,
	// if it is right.
	Hopeless bool
	Change   func(s *Scene, rng *rand.Rand)
}{
	{"two mats at an angle", true, func(s *Scene, rng *rand.Rand) {
		x, _ := s.middle()
		s.Mat.SplitAt, s.Mat.Split = x+6*rng.Float64()-3, 1+3*rng.Float64()
	}},
	{"a fold", true, func(s *Scene, rng *rand.Rand) {
		x, _ := s.middle()
		s.Mat.FoldAt, s.Mat.Fold = x+6*rng.Float64()-3, .02+.04*rng.Float64()
	}},
	{"glare on a cross", false, func(s *Scene, rng *rand.Rand) {
		s.GlareX, s.GlareY = s.cross(rng)
		s.Glare = 1 + rng.Float64()
	}},
	{"a blur", false, func(s *Scene, rng *rand.Rand) { s.Blur = 1.5 + 4*rng.Float64() }},
	{"noise", false, func(s *Scene, rng *rand.Rand) { s.Noise = 8 + 40*rng.Float64() }},
	{"no crosses", true, func(s *Scene, _ *rand.Rand) { s.Projector.Strokes = nil }},
	{"no ring", true, func(s *Scene, _ *rand.Rand) {
		s.Projector.Strokes = Crosses(append([][2]float64{{-500, -500}}, Places(s.Projector.Width, s.Projector.Height)...), s.Projector.Height)
	}},
	{"a ring about another cross", true, func(s *Scene, _ *rand.Rand) {
		p := Places(s.Projector.Width, s.Projector.Height)
		p[0], p[3] = p[3], p[0]
		s.Projector.Strokes = Crosses(p, s.Projector.Height)
	}},
	{"fabric over the middle", false, func(s *Scene, _ *rand.Rand) {
		x, y := s.middle()
		s.lay(x, y, 8, 6)
	}},
	{"fabric on a cross", false, func(s *Scene, rng *rand.Rand) {
		x, y := s.cross(rng)
		s.lay(x, y, 1, 1)
	}},
	{"a steep tilt", false, func(s *Scene, rng *rand.Rand) { s.TiltX, s.TiltY = 25+12*rng.Float64(), 10*rng.Float64() }},
	{"a strong lens", false, func(s *Scene, rng *rand.Rand) { s.K1 = -.15 * rng.Float64() }},
	{"pixels that are not square", false, func(s *Scene, _ *rand.Rand) {
		for r := range 3 {
			s.Projector.H[3*r+1] *= 4. / 3
		}
	}},
	{"centimetres said to be inches, or inches centimetres", true, func(s *Scene, _ *rand.Rand) {
		s.Said = Said{Step: 1 / 2.54, Width: s.Said.Width, Height: s.Said.Height}
		if s.Mat.Step < .4 {
			s.Said.Step = 1
		}
	}},
	{"inches said to be half inches", true, func(s *Scene, _ *rand.Rand) {
		s.Mat.Half = 0
		if s.Mat.Step == .5 {
			s.Mat.Step, s.Mat.Ticks = 1, 8
		}
		s.Said.Step, s.Said.Fine = .5, true
	}},
	{"half inches all alike, said to be inches", true, func(s *Scene, _ *rand.Rand) {
		if s.Mat.Step == 1 {
			s.Mat.halve()
		}
		s.Said.Step, s.Said.Fine = 1, false
	}},
	{"a sheet made for another screen", true, func(s *Scene, rng *rand.Rand) {
		s.Said.Height = []int{1200, 1440, 900}[rng.IntN(3)]
	}},
	{"a cross outside the photo", false, func(s *Scene, rng *rand.Rand) { s.LookX += s.Across * (.1 + .2*rng.Float64()) }},
	{"few lines to be seen", false, func(s *Scene, rng *rand.Rand) {
		x, y := s.middle()
		k := .3 + .3*rng.Float64()
		s.lay(x, y, k*s.Mat.Width, k*s.Mat.Height)
	}},
	{"a mat printed wavy", false, func(s *Scene, rng *rand.Rand) { s.Mat.Wave = .01 + .03*rng.Float64() }},
}

// middle returns where the middle of the picture lands.
func (s *Scene) middle() (x, y float64) {
	return s.Projector.ToMat(float64(s.Projector.Width)/2, float64(s.Projector.Height)/2)
}

// cross returns where one of the crosses lands.
func (s *Scene) cross(rng *rand.Rand) (x, y float64) {
	all := Places(s.Projector.Width, s.Projector.Height)
	p := all[rng.IntN(len(all))]
	return s.Projector.ToMat(p[0], p[1])
}

// lay lays fabric about a place.
func (s *Scene) lay(x, y, half, up float64) {
	s.Things = append(s.Things, Thing{Corners: [][2]float64{{x - half, y - up}, {x + half, y - up}, {x + half, y + up}, {x - half, y + up}}, Shade: .3, Stripes: .4})
}
