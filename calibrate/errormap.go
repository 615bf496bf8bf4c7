// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// ExpectedError says how far from its place on the mat a line may land, over
// the calibrated area, in inches. NaN where it can't be known.
type ExpectedError struct {
	Median  float64        // half of all places do better
	P95     float64        // 19 of 20 places do better
	Worst   float64        // with a whole lens the worst place does better in 19 of 20 cases; else the largest local 95 % error
	WorstAt geometry.Point // where lines are most off as a rule, on the mat
}

func unknownError() ExpectedError {
	nan := math.NaN()
	return ExpectedError{nan, nan, nan, geometry.Point{X: nan, Y: nan}}
}

// The first-order covariance of a homography predicts the error of a place
// well, for four points too (Criminisi, Reid and Zisserman, A plane measuring
// device, BMVC 1997). With the readings' variance estimated with nu degrees
// of freedom, the squared error over its predicted mean follows F(2, nu)
// where the error is as large in all directions. beyond returns the part of
// the time that the ratio exceeds r.
func beyond(r, nu float64) float64 {
	if math.IsInf(nu, 1) {
		return math.Exp(-r)
	}
	return math.Exp(-nu / 2 * math.Log1p(2*r/nu))
}

// exceededBy undoes beyond: the upper part-point of F(2, nu).
func exceededBy(part, nu float64) float64 {
	if math.IsInf(nu, 1) {
		return -math.Log(part)
	}
	return nu / 2 * math.Expm1(-2/nu*math.Log(part))
}

// believedIn returns the degrees of freedom of the readings' variance. Four
// targets say nothing about it: it is taken as believed.
func believedIn(targets int, f *fit) float64 {
	switch {
	case f.nudged.n > 0:
		return f.mixedDegrees()
	case targets == 4:
		return math.Inf(1)
	}
	return float64(believedDegrees + f.degrees())
}

// lookOver calls look for the places of a grid on a part of the screen. The error
// is largest at the rim, which the grid contains, and smooth in between.
func lookOver(box geometry.Rect, look func(geometry.Point)) { lookOn(17, 11, box, look) }

func lookOn(columns, rows int, box geometry.Rect, look func(geometry.Point)) {
	for i := range columns {
		for j := range rows {
			look(geometry.Point{
				X: box.Min.X + box.Width()*float64(i)/float64(columns-1),
				Y: box.Min.Y + box.Height()*float64(j)/float64(rows-1),
			})
		}
	}
}

// growth returns the largest error over the whole screen for readings off by
// 1: the root of the summed variances.
func growth(s Screen, f *fit) float64 {
	worst := 0.0
	lookOver(s.bounds(), func(p geometry.Point) {
		if e := f.spread(s.normal(p.X, p.Y)); !(e <= worst) { // NaN too
			worst = e
		}
	})
	return math.Sqrt(worst)
}

// Expected returns the error to expect over the calibrated area, pooled.
func (m *Map) Expected() ExpectedError {
	if m.promise != nil {
		return m.promise.expected(m)
	}
	var ratios []float64 // squared error expected at each place
	worst, at := -1.0, geometry.Point{}
	look := func(p geometry.Point) float64 {
		e := m.fit.spread(m.screen.normal(p.X, p.Y)) * m.sigma * m.sigma
		// Of places that differ by rounding only the first, on any processor.
		if e > worst+float64(1e-9*math.Abs(worst)) {
			worst, at = e, p
		}
		return e
	}
	lookOver(m.area.Bounds(), func(p geometry.Point) {
		if inside(m.area, p) >= -geometry.Clip*1e3 { // or on the rim
			ratios = append(ratios, look(p))
		}
	})
	for _, p := range m.area {
		look(p)
	}
	if len(ratios) == 0 || !finite(ratios...) || !finite(worst) {
		return unknownError()
	}
	x, y := m.ToMat(at.X, at.Y)
	return ExpectedError{
		Median:  math.Sqrt(pooled(ratios, 0.50, m.degrees)),
		P95:     math.Sqrt(pooled(ratios, 0.05, m.degrees)),
		Worst:   math.Sqrt(worst * exceededBy(0.05, m.degrees)),
		WorstAt: geometry.Point{X: x, Y: y},
	}
}

// pooled returns the squared error that is exceeded in part of all cases,
// over places with the expected squared errors given, by Newton's iteration
// kept between bounds.
func pooled(expected []float64, part, nu float64) float64 {
	low, high := math.Inf(1), 0.0
	k := exceededBy(part, nu)
	for _, e := range expected {
		low, high = min(low, e*k), max(high, e*k)
	}
	q := (low + high) / 2
	for range 60 {
		p, slope := 0.0, 0.0
		for _, e := range expected {
			b := beyond(q/e, nu)
			p += b
			if math.IsInf(nu, 1) {
				slope += b / e
			} else {
				slope += b / e / (1 + 2*q/e/nu)
			}
		}
		p = p/float64(len(expected)) - part
		slope /= float64(len(expected))
		if p > 0 {
			low = q
		} else {
			high = q
		}
		next := q + p/slope
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-q) <= 1e-12*q {
			return next
		}
		q = next
	}
	return q
}

// inside returns how far inside the convex g p lies: the distance to the
// nearest side's line, negative outside.
func inside(g geometry.Polygon, p geometry.Point) float64 {
	least := math.Inf(1)
	for _, s := range g.Sides() {
		d := s.B.Sub(s.A)
		least = min(least, d.Cross(p.Sub(s.A))/d.Len())
	}
	return least
}
