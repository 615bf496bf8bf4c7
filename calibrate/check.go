// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/stat/distuv"

	"lozenge/geometry"
)

// Verdicts of a [Check].
const (
	Good    Verdict = "good"    // the calibration is as it was
	Shifted Verdict = "shifted" // all of it moved, and that is taken over
	Third   Verdict = "third"   // a third cross would tell
	Again   Verdict = "again"   // it has to be made again
)

// A Check is what two or three crosses say of a calibration after a bump, or
// the next day.
type Check struct {
	Verdict Verdict
	Reasons []string // plain sentences; the first says what to do
	// Shift and Turn are how the picture moved on the mat, in the middle of the
	// calibrated area, in inches and degrees counter-clockwise; NaN where the
	// crosses can't be believed.
	Shift geometry.Point
	Turn  float64
	// Before is the error that the calibration promised, Expected that of the map
	// to cut by: of the map as it was for Good, of the moved one else. NaN where
	// the crosses can't be believed.
	Before, Expected ExpectedError
	Crosses          []CheckedCross
	Map              *Map // to cut by; nil unless Good or Shifted
}

// A CheckedCross is a cross that was read or moved again. Where it was moved X
// and Y are the crossing, and Read where the calibration has the place to which
// it was moved.
type CheckedCross struct {
	Point int
	Want  geometry.Point // where the calibration has it, or the crossing, in
	Read  geometry.Point
	Off   float64 // their distance
}

// How much may be wrong with a calibration that is called good, or shifted.
const (
	goodGrowth, goodPromise       = 1.25, 1.0 / 32 // times what was promised, or inches
	thirdGrowth, thirdPromise     = 1.5, 3.0 / 64  // with three crosses
	shiftedGrowth, shiftedPromise = 2.0, 1.0 / 16  // with two; three may come to what any calibration may
	likelyMoved, surelyMoved      = 0.5, 0.9       // from what likelihood on a motion of three crosses, or of two, is taken over
	checkChance                   = 0.999          // of chi² below which the crosses go together
	mostByTwo                     = 0.5            // in, or degrees: beyond, two crosses don't tell a slide from a knock
	leastCheck, mostCheck         = 2, 3           // crosses
	leastApart                    = 0.4            // of the picture's width, between the first two
)

// CheckCrossings returns the crosses of a second look, each on a crossing of the
// mat's own grid: two far apart, and a third to one side of both. Fewer where
// the calibrated area has no such crossings.
func (m *Map) CheckCrossings(unit geometry.Unit) []Crossing {
	places := slices.Clone(m.targets)
	far := func(from ...geometry.Point) geometry.Point {
		return slices.MaxFunc(places, func(a, b geometry.Point) int {
			da, db := apart(from, a), apart(from, b)
			switch {
			case da > db*(1+1e-9):
				return 1
			case db > da*(1+1e-9):
				return -1
			}
			return 0
		})
	}
	first := slices.MinFunc(places, func(a, b geometry.Point) int { return int(math.Copysign(1, a.X+a.Y-b.X-b.Y)) })
	second := far(first)
	var out []Crossing
	for i, p := range []geometry.Point{first, second, far(first, second)} {
		if c := m.gridCrossing(Target{i + 1, p.X, p.Y}, unit.Inches(1), m.area); c.OnScreen {
			out = append(out, c)
		}
	}
	return out
}

// apart returns how far a place is from one, or from the line through two.
func apart(from []geometry.Point, p geometry.Point) float64 {
	d := p.Sub(from[0])
	if len(from) == 1 {
		return d.Len()
	}
	line := from[1].Sub(from[0])
	return math.Abs(line.Cross(d)) / line.Len()
}

// Check says what readings and moved crosses, two or three altogether, tell of
// the calibration: whether it is as good as it was, or moved as a whole.
func (m *Map) Check(readings []Reading, nudges []Nudge, u geometry.Unit) Check {
	nan := math.NaN()
	c := Check{
		Verdict: Again, Shift: geometry.Point{X: nan, Y: nan}, Turn: nan,
		Before: m.Expected(), Expected: unknownError(),
	}
	say := func(v Verdict, format string, args ...any) {
		c.Verdict = v
		c.Reasons = append([]string{fmt.Sprintf(format, args...)}, c.Reasons...)
	}
	for _, r := range readings {
		x, y := m.ToMat(r.U, r.V)
		c.add(r.Point, geometry.Point{X: x, Y: y}, geometry.Point{X: r.X, Y: r.Y})
	}
	for _, n := range nudges {
		x, y := m.ToMat(n.U, n.V)
		c.add(n.Point, geometry.Point{X: n.X, Y: n.Y}, geometry.Point{X: x, Y: y})
	}
	if why := m.unfit(readings, nudges); why != "" {
		say(Again, "%s", why)
		return c
	}
	p := m.since(readings, nudges)
	theta, moved, misfit := p.moved.expected()
	k := len(c.Crosses)
	if misfit > (distuv.ChiSquared{K: float64(2 * k)}).Quantile(checkChance) {
		say(Again, "these crosses don't go together as they did: one of them is misread, or more than a bump happened; look at them once more, and calibrate again if it stays so")
		return c
	}
	middle := m.matPoint(m.screen.Centre())
	foot, height := m.fit.hanging(m.screen)
	at := slantedPlace{middle, middle.Sub(foot).Mul(1 / height)}
	c.Shift = theta.carry(at, height).Sub(middle)
	c.Turn = theta[2] / height * 180 / math.Pi
	stays := *m
	stays.promise = p
	now := stays.Expected()
	good, limit := max(goodGrowth*c.Before.P95, goodPromise), max(shiftedGrowth*c.Before.P95, shiftedPromise)
	if k == mostCheck {
		good, limit = max(thirdGrowth*c.Before.P95, thirdPromise), mostPromised
	}
	good, limit = min(good, mostPromised), min(limit, mostPromised)
	if now.P95 <= good {
		c.Map, c.Expected = &stays, now
		say(Good, "still good: go on as before")
		return c
	}
	next, ok := m.moved(p, theta)
	if ok {
		c.Expected = next.Expected()
	}
	c.Reasons = append(c.Reasons, fmt.Sprintf("the picture moved by %s on the mat and turned by %.2f degrees; with the likeliest motion taken out 19 of 20 places lie within %.3f in", length(c.Shift.Len(), u), math.Round(c.Turn*100)/100+0, c.Expected.P95))
	switch {
	case ok && c.Expected.P95 <= limit && (k == mostCheck && moved >= likelyMoved || moved >= surelyMoved && c.Shift.Len() <= mostByTwo && math.Abs(c.Turn) <= mostByTwo):
		c.Map = next
		say(Shifted, "it has moved as a whole, and the lines move with it: go on with the calibration as it is now, and measure the check square")
	case ok && k < mostCheck && m.thirdTells(p, theta, u):
		say(Third, "it has moved, and two crosses don't tell enough: read or move the third cross, and these two will do with it")
	default:
		say(Again, "it has moved by more than these crosses can set right: calibrate again")
	}
	return c
}

func (c *Check) add(point int, want, read geometry.Point) {
	c.Crosses = append(c.Crosses, CheckedCross{point, want, read, read.Sub(want).Len()})
}

// unfit says why crosses tell nothing.
func (m *Map) unfit(readings []Reading, nudges []Nudge) string {
	var at []geometry.Point
	for _, r := range readings {
		if !finite(r.U, r.V, r.X, r.Y) || math.Abs(r.X) > mostInches || math.Abs(r.Y) > mostInches || !m.screen.Holds(r.U, r.V) {
			return fmt.Sprintf("the reading of cross %d is no place on the mat and on a screen of %v pixels; read it again", r.Point, m.screen)
		}
		at = append(at, geometry.Point{X: r.U, Y: r.V})
	}
	for _, n := range nudges {
		if !finite(n.U, n.V, n.X, n.Y) || math.Abs(n.X) > mostInches || math.Abs(n.Y) > mostInches || !m.screen.Holds(n.U, n.V) {
			return fmt.Sprintf("cross %d was moved off the mat or a screen of %v pixels; move it again", n.Point, m.screen)
		}
		at = append(at, geometry.Point{X: n.U, Y: n.V})
	}
	switch {
	case len(at) < leastCheck || len(at) > mostCheck:
		return fmt.Sprintf("a second look takes two crosses or three, not %d; with more, calibrate again", len(at))
	case at[0].Sub(at[1]).Len() < leastApart*float64(m.screen.Width):
		return "the first two crosses stand too close together to tell a turn; take two near opposite corners"
	}
	return ""
}

// since returns what is known of the errors with the crosses seen.
func (m *Map) since(readings []Reading, nudges []Nudge) *promise {
	before := m.promise
	if before == nil {
		before = m.plainPromise()
	}
	var obs []observation
	seen := &motion{before: before}
	see := func(u, v, dx, dy float64, nudged bool) {
		px, py := m.screen.normal(u, v)
		seen.at = append(seen.at, geometry.Point{X: px, Y: py})
		seen.off = append(seen.off, dx, dy)
		obs = append(obs, observation{px: px, py: py, nudged: nudged})
	}
	for _, r := range readings {
		x, y := m.ToMat(r.U, r.V)
		see(r.U, r.V, r.X-x, r.Y-y, false)
	}
	for _, n := range nudges {
		x, y := m.ToMat(n.U, n.V)
		see(n.U, n.V, n.X-x, n.Y-y, true)
	}
	middle, _, _ := hand(readings)
	ownErrors(obs, readings, middle)
	var eyes nudged
	eyes.believe(m.screen)
	p := &promise{screen: m.screen, fit: before.fit, sigma: before.sigma, eye: before.eye, moved: seen}
	read, eye := p.apart(obs)
	seen.noise = covariance(read, eye, square(2*len(obs), 2*len(obs)), middle, eyes.eye, 0)
	p.foot, p.height = p.fit.hanging(p.screen)
	return p
}

// plainPromise is what a covariance alone says.
func (m *Map) plainPromise() *promise {
	p := &promise{screen: m.screen, fit: m.fit, sigma: m.sigma}
	p.foot, p.height = p.fit.hanging(m.screen)
	n := m.fit.params()
	cov := slices.Clone(m.fit.cov)
	blas64.Scal(m.sigma*m.sigma, vector(cov))
	t, _ := lapack64.Potrf(blas64.Symmetric{N: n, Stride: n, Data: cov, Uplo: blas.Lower})
	p.plain = &t
	return p
}

// moved returns the map after a motion, with what is then known of its errors.
func (m *Map) moved(p *promise, w way) (*Map, bool) {
	seen := *p.moved
	seen.taken = w
	next := *p
	next.moved = &seen
	before := seen.before
	next.fit = before.fit.carried(w, before.foot, before.height)
	next.foot, next.height = next.fit.hanging(m.screen)
	foot, height := m.fit.hanging(m.screen)
	out, ok := newMap(m.screen, m.fit.carried(w, foot, height), m.sigma, m.degrees, m.targets)
	if ok {
		out.promise = &next
	}
	return out, ok && !out.fit.folds(m.screen)
}

// thirdTells reports whether a third cross, lying where the first two have it,
// would tell enough.
func (m *Map) thirdTells(p *promise, w way, u geometry.Unit) bool {
	crossings := m.CheckCrossings(u)
	if len(crossings) < mostCheck {
		return false
	}
	next, _ := m.moved(p, w)
	at := crossings[mostCheck-1]
	x, y := m.ToMat(at.U, at.V)
	nx, ny := next.ToMat(at.U, at.V)
	seen := *p.moved
	px, py := m.screen.normal(at.U, at.V)
	seen.at = append(slices.Clone(seen.at), geometry.Point{X: px, Y: py})
	seen.off = append(slices.Clone(seen.off), nx-x, ny-y)
	k := seen.noise.Rows
	noise := square(k+2, k+2)
	for i := range k {
		copy(noise.Data[i*(k+2):], seen.noise.Data[i*k:i*k+k])
	}
	// As exact as the second one.
	for i := range 2 {
		for j := range 2 {
			noise.Data[(k+i)*(k+2)+k+j] = seen.noise.Data[(k-2+i)*k+k-2+j]
		}
	}
	seen.noise = noise
	with := *p
	with.moved = &seen
	theta, _, _ := seen.expected()
	then, ok := m.moved(&with, theta)
	return ok && then.Expected().P95 <= mostPromised
}
