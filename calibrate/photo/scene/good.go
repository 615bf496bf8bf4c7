// SPDX-License-Identifier: Apache-2.0

package scene

import (
	"math"
	"math/rand/v2"
)

// Crosses draws crosses with diagonal arms at these places: half length, width
// and the ring about the first one for a picture 1080 high.
func Crosses(places [][2]float64, height int) (out []Stroke) {
	k := float64(height) / 1080
	arm := 48 * k / math.Sqrt2
	for i, p := range places {
		for _, side := range [2]float64{1, -1} {
			out = append(out, Stroke{A: [2]float64{p[0] - arm, p[1] - side*arm}, B: [2]float64{p[0] + arm, p[1] + side*arm}, Width: 3 * k})
		}
		if i == 0 {
			out = append(out, Stroke{A: p, B: p, Radius: 34 * k, Width: 3 * k})
		}
	}
	return out
}

// Places returns where 4 times 3 crosses stand, 5 % in from the edges.
func Places(width, height int) (out [][2]float64) {
	for row := range 3 {
		for col := range 4 {
			mu, mv := math.Round(.05*float64(width)), math.Round(.05*float64(height))
			out = append(out, [2]float64{
				mu + math.Round((float64(width)-2*mu)*float64(col)/3),
				mv + math.Round((float64(height)-2*mv)*float64(row)/2),
			})
		}
	}
	return out
}

// Good returns a scene that a careful person might photograph, photo pixels
// wide, different for each seed.
func Good(seed uint64, width int) Scene {
	rng := rand.New(rand.NewPCG(seed, 20))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := Scene{
		Width: width, Height: width * 3 / 4, Seed: seed,
		Turn:  between(-180, 180),
		TiltX: between(-20, 20), TiltY: between(-20, 20),
		K1: between(-.05, .02), K2: between(-.01, .01), CentreX: between(-.02, .02), CentreY: between(-.02, .02),
		Blur: between(.5, 1) * math.Sqrt(float64(width)/1600), Noise: between(2, 5), Shade: between(0, .5),
		Exposure: 1,
	}
	mats := [][2]float64{{36, 24}, {35, 23}, {24, 18}, {60, 36}}
	size := mats[rng.IntN(3)]
	s.Mat = Mat{Width: size[0], Height: size[1], Step: 1, Line: between(.022, .035), Ground: .16, Ink: .62, Ticks: 8, Digits: true}
	if rng.IntN(3) == 0 {
		s.Mat.Ground, s.Mat.Ink = .55, .14
	}
	switch rng.IntN(4) {
	case 0:
		s.Mat.Half = between(.4, .7)
	case 1:
		s.Mat.Step, s.Mat.Ticks = 1/2.54, 10
		s.Mat.Line = between(.014, .02)
		s.Mat.Width, s.Mat.Height = 90/2.54, 60/2.54
	}
	across := between(.82, .95) * math.Min(s.Mat.Width, s.Mat.Height*16/9)
	p := Projector{Width: 1920, Height: 1080, K1: between(-.01, .01), Light: between(1.2, 2), Leak: .03}
	turn := between(-6, 6)
	if rng.IntN(2) == 0 {
		turn += 180
	}
	cx, cy := s.Mat.Width/2+between(-1, 1), s.Mat.Height/2+between(-.6, .6)
	p.H = Shown(1920, 1080, cx, cy, across, turn, between(-.12, .12), between(-.08, .08))
	p.Strokes = Crosses(Places(1920, 1080), 1080)
	s.Projector = p
	s.LookX, s.LookY = cx+between(-1, 1), cy+between(-1, 1)
	s.Turn = between(-25, 25) + 180*float64(rng.IntN(2))
	s.Across = across * between(1.2, 1.35)
	s.Distance = s.Across * between(1, 1.3)
	s.Exposure = .16 + .62*p.Light
	if s.Mat.Ground > s.Mat.Ink {
		s.Exposure = .55 * (1 + p.Light) * .9
	}
	if rng.IntN(2) == 0 { // a piece of fabric on the mat
		x, y := s.Mat.Width*between(.3, .6), s.Mat.Height*between(.3, .6)
		w, h := between(2, 6), between(2, 5)
		s.Things = append(s.Things, Thing{Corners: [][2]float64{{x, y}, {x + w, y + .5}, {x + w - .6, y + h}, {x - .4, y + h - .3}}, Shade: between(.1, .7), Stripes: .3})
	}
	s.Mat.Guides = rng.IntN(3) == 0
	s.Said = Said{Step: s.Mat.Step, Width: p.Width, Height: p.Height}
	return s
}

// Any returns a good scene whose grid may also be told by its half inches, which
// are as strong as whole ones on some mats.
func Any(seed uint64, width int) Scene {
	s := Good(seed, width)
	switch {
	case s.Mat.Half > 0 && seed%3 == 0:
		s.Said.Step, s.Said.Fine = .5, true
	case s.Mat.Step == 1 && s.Mat.Half == 0 && seed%4 == 0:
		s.Mat.halve()
		s.Said.Step, s.Said.Fine = .5, true
	}
	return s
}

// halve prints lines every half inch, all alike.
func (m *Mat) halve() {
	m.Step, m.Half, m.Ticks, m.Line = .5, 0, 4, .8*m.Line
}
