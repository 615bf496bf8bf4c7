// SPDX-License-Identifier: Apache-2.0

package calibrate

import "math"

// What is believed about a nudge before any is seen: someone who moves a
// cross until it lies on a line of the mat's grid leaves it off by half a
// pixel in each direction, and on a screen with finer pixels by as much on the
// mat as on one 1920 across, for the eye gets no better. The belief is worth 4
// degrees of freedom, half of that about readings: hands differ more. With 8 a
// hand that is off by 1.5 pixels would be promised 3/4 of the error that comes,
// not 7/8, and one off by half a pixel would gain nothing.
const (
	believedPixels = 0.5
	nudgeDegrees   = 4
)

// nudged is what a fit knows about nudges. A reading is off on the mat, a
// nudge on the screen: of a reading the distance on the mat between it and the
// place that the model gives is minimised, of a nudge the distance on the
// screen between where the cross stood and where the model draws that
// crossing. Each is weighed by its own error, which is what makes the fit the
// most likely one.
type nudged struct {
	n   int     // nudges
	rss float64 // sum of their squared residuals times pull², in²
	// eye is the believed error of a nudge, on the normalised screen.
	eye float64
	// pull is the error of a reading, in inches, over that of a nudge on the
	// normalised screen: times pull, the residual of a nudge weighs like that of
	// a reading.
	pull float64
	// of the parameters, how many are fixed by the readings and how many by the
	// nudges
	byReadings, byNudges float64
}

// believe sets what is believed before any nudge is seen.
func (m *nudged) believe(s Screen) {
	m.eye = believedPixels * s.finer() / s.Radius()
	m.pull = believedSigma / m.eye
}

// finer returns how many pixels of the screen a pixel of one 1920 across is as
// wide as on the mat, and 1 for a coarser screen, whose pixels the eye can
// divide no better.
func (s Screen) finer() float64 { return max(1, float64(s.Width)/pixelsAcross) }

// count counts the readings and the nudges.
func (f *fit) count(obs []observation) {
	f.n, f.nudged.n = 0, 0
	for _, o := range obs {
		if o.nudged {
			f.nudged.n++
		} else {
			f.n++
		}
	}
}

// nudgeBelieved is [fit.believed] for a nudge.
func (f *fit) nudgeBelieved() float64 {
	return nudgeDegrees + float64(2*f.nudged.n) - f.nudged.byNudges
}

// nudgeVariance returns the moderated variance of a nudge, per axis, on the
// normalised screen.
func (f *fit) nudgeVariance() float64 {
	m := &f.nudged
	return (nudgeDegrees*m.eye*m.eye + m.rss/(m.pull*m.pull)) / f.nudgeBelieved()
}

// equation returns what is left of an observation, and the derivatives by the
// parameters of what the model says of it, as they enter the sum of squares:
// of a reading on the mat, of a nudge on the screen times pull. NaN where the
// model draws the crossing of a nudge nowhere.
func (f *fit) equation(o observation, jx, jy *row) (rx, ry float64) {
	if !o.nudged {
		x, y := f.rows(o.px, o.py, jx, jy)
		return o.x - x, o.y - y
	}
	inverse := f.inverse()
	px, py, ok := f.back(&inverse, o.x, o.y)
	if !ok {
		*jx, *jy = row{}, row{}
		return math.NaN(), math.NaN()
	}
	// Where F(p, parameters) = (x, y) stays put, p changes by minus the inverse
	// of dF/dp times what F changes by.
	f.rows(px, py, jx, jy)
	a, b, c, d := f.slope(px, py)
	s := f.nudged.pull
	k := s / (a*d - b*c)
	for i, x := range jx {
		y := jy[i]
		jx[i], jy[i] = (b*y-d*x)*k, (c*x-a*y)*k
	}
	return s * (o.px - px), s * (o.py - py)
}

// slope returns the derivative (a b; c d) of the place on the mat by the place
// on the normalised screen.
func (f *fit) slope(px, py float64) (a, b, c, d float64) {
	h := &f.h
	qx, qy := f.lens.bend(px, py)
	w := 1 / (h[6]*qx + h[7]*qy + 1)
	x, y := (h[0]*qx+h[1]*qy+h[2])*w, (h[3]*qx+h[4]*qy+h[5])*w
	xu, xv, yu, yv := (h[0]-x*h[6])*w, (h[1]-x*h[7])*w, (h[3]-y*h[6])*w, (h[4]-y*h[7])*w
	uu, uv, vv := f.lens.slope(px, py)
	return xu*uu + xv*uv, xu*uv + xv*vv, yu*uu + yv*uv, yu*uv + yv*vv
}

// inverse returns the inverse of H.
func (f *fit) inverse() [9]float64 {
	h := f.h
	inv := [9]float64{
		h[4] - h[5]*h[7], h[2]*h[7] - h[1], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3], h[0] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	det := h[0]*inv[0] + h[1]*inv[3] + h[2]*inv[6]
	for i := range inv {
		inv[i] /= det
	}
	return inv
}

// back returns the place of the normalised screen that the model puts at (x,
// y), given the inverse of H; ok is false where there is none.
func (f *fit) back(i *[9]float64, x, y float64) (px, py float64, ok bool) {
	w := i[6]*x + i[7]*y + i[8] // 1/w of the model
	if !(w > 0) {
		return 0, 0, false
	}
	return f.lens.unbend((i[0]*x+i[1]*y+i[2])/w, (i[3]*x+i[4]*y+i[5])/w)
}

// weighBoth minimises with readings and nudges weighed by the variances that
// the fit itself finds for them, to a fixed point. Each kind keeps the degrees
// of freedom that its share in the parameters leaves it (Förstner, Ein
// Verfahren zur Schätzung von Varianz- und Kovarianzkomponenten, Allgemeine
// Vermessungs-Nachrichten 86, 1979), and the belief about it keeps the
// estimate sane.
func (b *workbench) weighBoth(f *fit, obs []observation, prior bool) {
	prior = prior && f.lens.free > 0
	m := &f.nudged
	m.pull = believedSigma / m.eye
	f.weight = 0
	if prior {
		f.weight = believedSigma
	}
	for range 60 {
		b.minimise(f, obs, mostSteps)
		if !f.settled {
			return
		}
		if !b.share(f, obs) {
			f.settled = false
			return
		}
		sigma := math.Sqrt(f.variance())
		pull, w := sigma/math.Sqrt(f.nudgeVariance()), f.weight
		if prior {
			w = sigma
		}
		if math.Abs(pull-m.pull) <= b.exact.weight*pull && math.Abs(w-f.weight) <= b.exact.weight*w {
			return
		}
		m.pull, f.weight = pull, w
	}
}

// weighAsBelieved minimises with readings and nudges weighed as they are
// believed to be off, and the prior on k1 by the variance that both have in
// common, to a fixed point; without nudges it is [workbench.weigh]. This is for
// finding a wrong one among them: were each kind weighed by what it shows, a
// single wrong cross would take the blame from itself to the reading beside it.
func (b *workbench) weighAsBelieved(f *fit, obs []observation, prior bool, belief int) {
	f.nudged.pull = believedSigma / f.nudged.eye
	if f.lens.free == 0 || !prior {
		f.weight = 0
		b.minimise(f, obs, mostSteps)
		return
	}
	if f.weight == 0 {
		f.weight = believedSigma
	}
	for range 40 {
		b.minimise(f, obs, mostSteps)
		w := math.Sqrt(f.common(belief))
		if math.Abs(w-f.weight) <= b.exact.weight*w {
			return
		}
		f.weight = w
	}
}

// common returns the moderated variance of a reading, per axis, where nudges
// are off as much beside readings as is believed; belief is in degrees of
// freedom.
func (f *fit) common(belief int) float64 {
	return (float64(belief)*believedSigma*believedSigma + f.rss + f.nudged.rss) / float64(belief+f.degrees())
}

// share finds how much each kind has to do with the parameters: the traces of
// its part in the normal matrix times the covariance. What the prior on k1
// fixes is divided among them. False means that nothing fixes the parameters.
func (b *workbench) share(f *fit, obs []observation) bool {
	if !b.covariance(f, obs) {
		return false
	}
	n := f.params()
	var jx, jy row
	var kind [2]float64
	for _, o := range obs {
		f.equation(o, &jx, &jy)
		k := 0
		if o.nudged {
			k = 1
		}
		kind[k] += quadratic(f.cov, &jx, n) + quadratic(f.cov, &jy, n)
	}
	all := float64(n) / (kind[0] + kind[1])
	f.nudged.byReadings = min(kind[0]*all, float64(2*f.n))
	f.nudged.byNudges = min(kind[1]*all, float64(2*f.nudged.n))
	return true
}

// mixedDegrees returns the degrees of freedom of the map's error where two
// variances, known with their own, make it up, each with its share
// (Satterthwaite, Biometrics Bulletin 2, 1946).
func (f *fit) mixedDegrees() float64 {
	n := float64(f.params())
	r, m := f.nudged.byReadings/n, f.nudged.byNudges/n
	return (r + m) * (r + m) / (r*r/f.believed() + m*m/f.nudgeBelieved())
}
