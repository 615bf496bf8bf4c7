// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"
)

// usualWidth is how wide a projected picture usually is on the mat, in
// inches, for what is said before anything was read.
const usualWidth = 36.0

// squareAbove returns the map of a projector that hangs square above the mat,
// with a picture of the usual width.
func squareAbove(s Screen) fit {
	scale := usualWidth / float64(s.Width) * s.Radius()
	return fit{h: [8]float64{0: scale, 4: -scale}}
}

// Outlook returns the error that a table of readings can be expected to give,
// in inches, for readings with an error of sigma in each direction. It is
// that of [LensAuto] and a projector square above the mat; tilt changes it
// little.
func Outlook(s Screen, g Grid, readings int, sigma float64) (ExpectedError, error) {
	targets, err := Targets(s, g, readings)
	if err != nil {
		return unknownError(), err
	}
	if !(sigma > 0) || !finite(sigma) {
		return unknownError(), fmt.Errorf("readings off by %v in say nothing; give the usual error of one, such as 1/32 in", sigma)
	}
	f := squareAbove(s)
	var obs []observation
	for _, t := range targets {
		px, py := s.normal(t.U, t.V)
		x, y, _ := f.at(px, py)
		obs = append(obs, observation{px, py, x, y, false, 0})
	}
	f.n = len(obs)
	if g.Columns*g.Rows >= lensTargets && f.lensShows(obs) > leastLens {
		f.lens = centredLens(true)
		f.weight = sigma
	}
	newWorkbench().covariance(&f, obs)
	m, _ := newMap(s, f, sigma, math.Inf(1), places(targets))
	return m.Expected(), nil
}
