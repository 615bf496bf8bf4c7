// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A linear fit is a homography by the direct linear transformation, with the
// coordinates of both planes shifted and scaled first (Hartley, In defence of
// the eight-point algorithm, PAMI 19, 1997).
type linear struct {
	h [9]float64 // normalised screen to mat, of no particular scale
	// strength is the eighth singular value over the first: near 0 when the
	// targets, or the readings, come close to fixing no homography.
	strength float64
}

// startAt returns the linear fit; false means that there is none, because one
// of the two sides is a single place.
func startAt(obs []observation) (linear, bool) {
	sx, sy, ss := scaling(obs, func(o observation) (x, y float64) { return o.px, o.py })
	mx, my, ms := scaling(obs, func(o observation) (x, y float64) { return o.x, o.y })
	if !(ss > 0) || !(ms > 0) || math.IsInf(ss, 0) || math.IsInf(ms, 0) {
		return linear{}, false
	}
	// Four readings give 8 rows; a row of zeros makes room for the ninth
	// singular vector.
	a := mat.NewDense(max(2*len(obs), 9), 9, nil)
	for i, o := range obs {
		u, v := (o.px-sx)*ss, (o.py-sy)*ss
		x, y := (o.x-mx)*ms, (o.y-my)*ms
		a.SetRow(2*i, []float64{u, v, 1, 0, 0, 0, -x * u, -x * v, -x})
		a.SetRow(2*i+1, []float64{0, 0, 0, u, v, 1, -y * u, -y * v, -y})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThinV) {
		return linear{}, false
	}
	s := svd.Values(nil)
	var vectors mat.Dense
	svd.VTo(&vectors)
	n := mat.Col(nil, 8, &vectors)
	// Undo the scaling on the right (screen), then on the left (mat).
	for r := range 3 {
		h := n[3*r : 3*r+3]
		h[0], h[1], h[2] = h[0]*ss, h[1]*ss, h[2]-(h[0]*sx+h[1]*sy)*ss
	}
	var out linear
	for c := range 3 {
		out.h[c] = n[c]/ms + mx*n[6+c]
		out.h[3+c] = n[3+c]/ms + my*n[6+c]
		out.h[6+c] = n[6+c]
	}
	out.strength = s[7] / s[0]
	return out, true
}

// scaling returns the middle of the points and the factor that makes their
// mean distance from it the square root of 2.
func scaling(obs []observation, of func(observation) (x, y float64)) (mx, my, scale float64) {
	n := float64(len(obs))
	for _, o := range obs {
		x, y := of(o)
		mx, my = mx+x/n, my+y/n
	}
	mean := 0.0
	for _, o := range obs {
		x, y := of(o)
		mean += math.Hypot(x-mx, y-my) / n
	}
	return mx, my, math.Sqrt2 / mean
}

// fit returns the linear fit with w = 1 in the middle of the screen; false
// when w is 0 there, which only a picture that folds over has.
func (l linear) fit() (fit, bool) {
	largest := 0.0
	for _, v := range l.h[6:] {
		largest = max(largest, math.Abs(v))
	}
	if math.Abs(l.h[8]) <= 1e-6*largest {
		return fit{}, false
	}
	var f fit
	for i := range f.h {
		f.h[i] = l.h[i] / l.h[8]
	}
	return f, finite(f.h[:]...)
}
