// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
)

// Lens says what is done about the lens's radial distortion.
type Lens int

// LensAuto fits k1, k2 and the lens's middle from 9 targets on, held near 0 by
// what is known about home projectors. LensFit always fits k1, freely. LensOff
// fits nothing of it.
const (
	LensAuto Lens = iota
	LensFit
	LensOff
)

// String returns auto, fit or off.
func (l Lens) String() string { return [...]string{"auto", "fit", "off"}[l] }

// ParseLens undoes String.
func ParseLens(text string) (Lens, error) {
	for _, l := range []Lens{LensAuto, LensFit, LensOff} {
		if text == l.String() {
			return l, nil
		}
	}
	return 0, fmt.Errorf("%q says nothing about the lens; write auto, fit or off", text)
}

// Options for [Solve]. The zero value is the default.
type Options struct {
	Lens Lens
	Unit geometry.Unit // in which lengths in the reasons are written
}

// Result is what [Solve] found. Lengths are in inches.
type Result struct {
	Screen  Screen
	Lens    Lens  // as asked for
	Model   Model // as fitted; Flat when nothing was
	Verdict Verdict
	Reasons []Reason // never nil for a verdict other than OK; may hold notes

	// Homography takes (u, v, 1) in pixels to the mat, scaled so that its last
	// number is 1; for the model with a lens, (u, v) after the lens. Nil when
	// no map fits.
	Homography *[3][3]float64
	// K1 and K2 of the lens, on the radius over half the diagonal about Centre, in
	// pixels: 0 and the picture's middle where they are not fitted; NaN when no map
	// fits.
	K1, K2 float64
	Centre geometry.Point

	RMS   float64 // over the readings in the fit, in two dimensions; NaN when no map fits or none was read
	Max   float64 // the largest residual of those; NaN when no map fits or none was read
	Sigma float64 // of a reading, per axis, moderated by belief; NaN when no map fits

	NudgeRMS   float64 // over the nudges in the fit, in two dimensions, in pixels; NaN when there are none
	NudgeSigma float64 // of a nudge, per axis, moderated by belief, in pixels; NaN when there are none

	Expected ExpectedError // NaN when no map fits

	Points  []Point       // one a reading, in their order
	Nudged  []NudgedPoint // one a nudge, in their order
	Swapped *[2]int       // the numbers of two crosses whose readings were exchanged, or nil

	Targets    int     // distinct
	Used       int     // readings in the fit
	UsedNudges int     // nudges in the fit
	Strength   float64 // eighth over first singular value of the linear fit; NaN when unknown
	Growth     float64 // the largest error on the screen for readings off by 1; NaN when unknown
	IsMirrored bool    // the picture, seen with y up, is a mirror image

	// Map is nil when the calibration is rejected.
	Map *Map
}

// Point is a row of the table of readings. Expected places and residuals are
// NaN when no map fits.
type Point struct {
	Reading
	ExpectedX, ExpectedY float64
	// ResidualX and ResidualY are the reading as entered less the expected
	// place; Residual is their distance. For a suspect that is against the fit
	// without it.
	ResidualX, ResidualY, Residual float64
	// Deleted is the distance to the place expected from all other readings in
	// the fit; NaN when those don't say.
	Deleted float64
	Suspect bool
}

// mostInches bounds what is believed of a reading: no mat is 1000 in long.
const mostInches = 1000

// Solve finds the map from the screen to the mat that fits the readings best,
// and judges it. It always returns a whole Result; what can't be known is NaN
// or nil.
//
// The order is: number and place of the targets; two readings exchanged;
// readings that stand out; then the rest, judged on the fit without the
// suspects. A suspect is never dropped silently: it stays in Points, and a
// reason names it and what it should have been.
func Solve(readings []Reading, s Screen, o Options) Result {
	return newSession(readings, nil, s, o).run()
}

func (c *session) run() Result {
	if c.refuse() {
		return c.result(false)
	}
	solved := c.solve()
	switch {
	case c.findSwap(solved):
		c.say(SwappedReadings, Suspect, "the readings of crosses %d and %d are exchanged: the map is made as if they were the other way round; correct the table and solve again",
			c.targets[c.swapped[0]].Point, c.targets[c.swapped[1]].Point)
	case (!solved || c.fails()) && c.findLone():
	case !solved && c.findStrays():
	case !solved && len(c.nudges) > 0:
		c.say(NoMapFits, Rejected, "no map fits these readings and moved crosses: two readings may be exchanged, or one of all is far off; read all crosses again, each under its own number, and move each onto its crossing again")
		return c.result(false)
	case !solved:
		c.say(NoMapFits, Rejected, "no map fits these readings: two of them may be exchanged, or one is far off; read all crosses again, each under its own number")
		return c.result(false)
	}
	if c.findSuspects() && !c.findLone() {
		what := "read all crosses again"
		if len(c.nudges) > 0 {
			what += ", and move each onto its crossing again"
		}
		c.say(MoreSuspects, Suspect, "more readings stand out than can be told from the good ones; %s", what)
	}
	c.judge()
	c.finish()
	c.saySuspects()
	slices.SortStableFunc(c.reasons, func(a, b Reason) int { return cmp.Compare(b.Verdict.rank(), a.Verdict.rank()) })
	return c.result(true)
}

// finish fits the whole lens, after slips were judged without, and makes the
// map.
func (c *session) finish() {
	c.expected = unknownError()
	sigma, degrees := math.Sqrt(c.fit.variance()), believedIn(len(c.targets), &c.fit)
	// Readings that don't fit together would bend any lens to their will.
	apart := slices.ContainsFunc(c.reasons, func(r Reason) bool { return r.Rule == Inconsistent })
	if c.lens && c.options.Lens == LensAuto && !apart && !c.fit.folds(c.screen) {
		p, ok := promised(c.screen, c.fit, c.used(-1), c.inUse(), c.bench)
		if ok && !p.fit.folds(c.screen) && p.fit.lens.shows() {
			c.promise, c.fit, sigma = p, p.fit, p.sigma
		} else {
			c.say(LensInPart, Suspect, "no lens that is known to bend so fits these readings: only k1 is fitted, and lines may be farther off than is told here; read all crosses again")
		}
	}
	used, _, _ := c.read()
	m, ok := newMap(c.screen, c.onMat(), sigma, degrees, used)
	if !ok {
		return
	}
	m.promise = c.promise
	c.made, c.expected = m, m.Expected()
	if c.promise == nil {
		return
	}
	if c.promise.uneven > patternShows {
		c.say(Pattern, OK, "the misfit has a pattern: lens, or a mat that is not flat; it is part of the error to expect")
	}
	if !(c.expected.P95 > mostPromised) {
		return
	}
	c.say(TooRough, Suspect, "1 of 20 lines may land more than %s off, which is too much to cut by; read all crosses again to 1/32 in or half a millimetre, or more crosses", about(mostPromised, c.options.Unit))
}

// inUse returns the readings in the fit.
func (c *session) inUse() (out []Reading) {
	for i, r := range c.readings {
		if !c.suspect[i] {
			out = append(out, r)
		}
	}
	return out
}

func (c *session) say(rule Rule, v Verdict, format string, args ...any) {
	c.reasons = append(c.reasons, Reason{rule, v, fmt.Sprintf(format, args...)})
}

// result puts everything together.
func (c *session) result(solved bool) Result {
	nan := math.NaN()
	r := Result{
		Screen: c.screen, Lens: c.options.Lens, Model: Flat, Reasons: c.reasons,
		K1: nan, K2: nan, Centre: geometry.Point{X: nan, Y: nan}, RMS: nan, Max: nan, Sigma: nan, NudgeRMS: nan, NudgeSigma: nan, Expected: unknownError(),
		Targets: len(c.targets), Strength: nan, Growth: nan,
	}
	for _, reason := range c.reasons {
		r.Verdict = worse(r.Verdict, reason.Verdict)
	}
	r.Verdict = worse(r.Verdict, OK)
	if len(c.swapAt) > 0 {
		r.Swapped = &[2]int{c.targets[c.swapped[0]].Point, c.targets[c.swapped[1]].Point}
	}
	for i, reading := range c.readings {
		p := Point{Reading: reading, ExpectedX: nan, ExpectedY: nan, ResidualX: nan, ResidualY: nan, Residual: nan, Deleted: nan}
		p.Suspect = c.suspect[i] || slices.Contains(c.swapAt, i)
		if !c.suspect[i] {
			r.Used++
		}
		if solved {
			c.compare(&p, i)
			if !c.suspect[i] {
				o := c.obs[i]
				x, y, _ := c.fit.at(o.px, o.py)
				if off := math.Hypot(o.x-x, o.y-y); !(off <= r.Max) { // NaN too
					r.Max = off
				}
			}
		}
		r.Points = append(r.Points, p)
	}
	for i := range c.nudges {
		p := c.compareNudge(i)
		if !p.Suspect {
			r.UsedNudges++
		}
		r.Nudged = append(r.Nudged, p)
	}
	if !solved {
		return r
	}
	if c.lens {
		r.Model = Lensed
	}
	l := c.fit.lens.values
	r.K1, r.K2, r.Centre = l[0], l[1], c.screen.Centre().Add(geometry.Point{X: l[2], Y: l[3]}.Mul(c.screen.Radius()))
	r.RMS, r.Sigma = c.fit.rms(), math.Sqrt(c.fit.variance())
	r.Strength, r.Growth = c.strength, c.growth
	if r.UsedNudges > 0 {
		r.NudgeRMS, r.NudgeSigma = c.nudgeRMS(), math.Sqrt(c.fit.nudgeVariance())*c.screen.Radius()
	}
	if p := c.promise; p != nil {
		r.Model, r.Sigma = Whole, p.sigma
		if r.UsedNudges > 0 {
			r.NudgeSigma = p.eye * c.screen.Radius()
		}
	}
	r.IsMirrored = middleDeterminant(&c.fit) > 0
	r.Homography = c.homography()
	r.Expected = c.expected
	if r.Verdict != Rejected {
		r.Map = c.made
	}
	return r
}

// compare fills in the row of reading i.
func (c *session) compare(p *Point, i int) {
	o := c.obs[i]
	x, y, _ := c.fit.at(o.px, o.py)
	p.ExpectedX, p.ExpectedY = x+c.middle.X, y+c.middle.Y
	// As entered, not as exchanged.
	dx, dy := o.x-x, o.y-y
	var shift geometry.Point
	if slices.Contains(c.swapAt, i) {
		shift = geometry.Point{X: p.X - c.middle.X - o.x, Y: p.Y - c.middle.Y - o.y}
	}
	p.ResidualX, p.ResidualY = dx+shift.X, dy+shift.Y
	p.Residual = math.Hypot(p.ResidualX, p.ResidualY)
	if c.suspect[i] {
		p.Deleted = p.Residual
	} else {
		p.Deleted = c.deleted[i].Add(shift).Len()
	}
}

// onMat returns the fit in the mat's own coordinates, covariance and all.
func (c *session) onMat() fit {
	f := c.fit
	for r, m := range [2]float64{c.middle.X, c.middle.Y} {
		f.h[3*r] += m * f.h[6]
		f.h[3*r+1] += m * f.h[7]
		f.h[3*r+2] += m
	}
	if f.cov == nil {
		return f
	}
	n := f.params()
	// The parameters change linearly, h0 by m h6 and so on: C becomes A C A'.
	f.cov = append([]float64(nil), f.cov...)
	for r, m := range [2]float64{c.middle.X, c.middle.Y} {
		for k := range 2 {
			to, from := 3*r+k, 6+k
			for j := range n {
				f.cov[to*n+j] += m * f.cov[from*n+j]
			}
			for j := range n {
				f.cov[j*n+to] += m * f.cov[j*n+from]
			}
		}
	}
	return f
}

// homography returns that of the fit in the mat's own coordinates.
func (c *session) homography() *[3][3]float64 {
	f := c.onMat()
	return f.pixels(c.screen)
}

// pixels returns H for pixels, h33 = 1, or nil where h33 is 0.
func (f *fit) pixels(s Screen) *[3][3]float64 {
	h := f.h
	m, r := s.Centre(), s.Radius()
	n := [9]float64{h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1}
	var out [3][3]float64
	for i := range 3 {
		a, b := n[3*i]/r, n[3*i+1]/r
		out[i] = [3]float64{a, b, n[3*i+2] - a*m.X - b*m.Y}
	}
	w := out[2][2]
	for i := range 3 {
		for j := range 3 {
			out[i][j] /= w
		}
		if !finite(out[i][:]...) {
			return nil
		}
	}
	return &out
}
