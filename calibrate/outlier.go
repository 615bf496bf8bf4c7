// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// Leave-one-out: each reading is compared with the fit of all others. The
// ordinary residuals won't do, for a bad corner draws the fit towards itself.
const (
	// namingTargets is from how many targets on a bad reading can be named.
	// With 6 it is a good one in 29 of 100 cases.
	namingTargets = 9
	// namingTargetsMoved is from how many on it can where so many of them have a
	// nudge too that both together are namingBoth. With 6 and 4 it is a good one
	// in 2 of 100 cases, with 6 and 3 in 5.
	namingTargetsMoved = 6
	namingBoth         = 10
	// alarmRate is how often a flawless table is suspected; shared among the
	// readings (Bonferroni; Ellenberg, Biometrics 1976).
	alarmRate = 0.01
	// unknownGrowth is how much larger than a reading's own error the
	// prediction of a reading left out may be and still say something: the
	// limit that also rejects a whole table.
	unknownGrowth = mostGrowth
)

// A leftOut is what leaving one reading or nudge out tells. The residual of a
// nudge is on the normalised screen.
type leftOut struct {
	residual geometry.Point // of the reading, against the fit without it; NaN when unknown
	f        float64        // the moderated F statistic; 0 when unknown
	degrees  float64        // of freedom below it
}

// leaveOut fits without observation i, with readings and nudges weighed as
// they are believed to be off or, for own, as they show themselves, and the
// variance taken from its own kind alone.
func (c *session) leaveOut(i int, own bool) leftOut {
	unknown := leftOut{residual: geometry.Point{X: math.NaN(), Y: math.NaN()}}
	obs := c.used(i)
	f := c.fit
	if 2*len(obs) < f.params() {
		return unknown
	}
	f.leave(c.obs[i])
	c.bench.exact = ofLeftOut
	defer func() { c.bench.exact = ofMap }()
	if own {
		c.bench.weigh(&f, obs, c.prior())
	} else {
		c.bench.weighAsBelieved(&f, obs, c.prior(), c.belief())
	}
	if !f.settled || !c.bench.covariance(&f, obs) {
		return unknown
	}
	o := c.obs[i]
	var jx, jy row
	rx, ry := f.equation(o, &jx, &jy)
	n := f.params()
	xx, yy := quadratic(f.cov, &jx, n), quadratic(f.cov, &jy, n)
	if !(xx+yy < unknownGrowth*unknownGrowth) {
		return unknown
	}
	xy := bilinear(f.cov, &jx, &jy, n)
	// r' S^-1 r with S = 1 + J C J'.
	sx, sy := 1+xx, 1+yy
	t := (rx*rx*sy - 2*rx*ry*xy + ry*ry*sx) / (sx*sy - xy*xy)
	out := leftOut{residual: geometry.Point{X: rx, Y: ry}}
	variance := f.common(c.belief())
	out.degrees = float64(c.belief() + f.degrees())
	if s := f.nudged.pull; o.nudged {
		out.residual = out.residual.Mul(1 / s)
		if own {
			variance, out.degrees = s*s*f.nudgeVariance(), f.nudgeBelieved()
		}
	} else if own {
		variance, out.degrees = f.variance(), f.believed()
	}
	out.f = t / 2 / variance
	return out
}

// leave goes to where the fit comes near enough when an observation is left
// out: the minimum of the linear model (Cook and Weisberg, Residuals and
// Influence in Regression, 1982).
func (f *fit) leave(o observation) {
	var jx, jy row
	rx, ry := f.equation(o, &jx, &jy)
	n := f.params()
	// h = 1 - J C J'
	xx, xy, yy := 1-quadratic(f.cov, &jx, n), -bilinear(f.cov, &jx, &jy, n), 1-quadratic(f.cov, &jy, n)
	det := xx*yy - xy*xy
	if !(det > 1.0/mostGrowth) {
		return // the others hardly fix it
	}
	rx, ry = (yy*rx-xy*ry)/det, (xx*ry-xy*rx)/det
	for i := range n {
		d := 0.0
		for j, v := range f.cov[i*n : i*n+n] {
			d += v * (jx[j]*rx + jy[j]*ry)
		}
		f.add(i, -d)
	}
}

// belief returns the degrees of freedom that the beliefs about what was read
// and what was moved are worth.
func (c *session) belief() int {
	n := 0
	if len(c.readings) > 0 {
		n += believedDegrees
	}
	if len(c.nudges) > 0 {
		n += nudgeDegrees
	}
	return n
}

// bilinear returns a' C b for the n x n matrix C.
func bilinear(c []float64, a, b *row, n int) float64 {
	sum := 0.0
	for r := range n {
		for s, v := range c[r*n : r*n+n] {
			sum += a[r] * v * b[s]
		}
	}
	return sum
}

// leaveEachOut leaves everything in use out once and returns the one that
// stands out most, with whether that is by more than chance does.
func (c *session) leaveEachOut() (worst int, alarm bool) {
	all := float64(len(c.used(-1)))
	worst = -1
	most := 0.0
	for i := range c.obs {
		if c.suspect[i] {
			continue
		}
		l := c.leaveOut(i, false)
		c.deleted[i] = l.residual
		if l.f > most && l.f > exceededBy(alarmRate/all, l.degrees) && c.isWorse(i, l, alarmRate/all) {
			worst, most = i, l.f
		}
	}
	return worst, worst >= 0
}

// Beyond these a reading or a nudge is no matter of a hand that is less sure
// than believed.
const (
	grossReading = 0.5  // in
	grossNudge   = 13.0 // pixels of a screen 1920 across: 1/4 in on a picture 36 in wide
)

// isWorse reports whether what stands out beside what is believed does so
// beside others of its kind too, or is a gross mistake. Without the question a
// hand that is off by 1.5 pixels each time would have a cross named in half of
// all cases, and the crosses left in would be those that agree by chance.
func (c *session) isWorse(i int, l leftOut, part float64) bool {
	if len(c.nudges) == 0 {
		return true
	}
	gross := grossReading
	if c.obs[i].nudged {
		gross = grossNudge * c.screen.finer() / c.screen.Radius()
	}
	if l.residual.Len() > gross {
		return true
	}
	own := c.leaveOut(i, true)
	return own.f > exceededBy(part, own.degrees)
}

// nudgedTargets returns how many of the targets that were read have a nudge
// too: it is independent of the reading, as that of another target would be.
func (c *session) nudgedTargets() int {
	kinds := make([][2]bool, len(c.targets))
	for i, t := range c.of {
		if c.obs[i].nudged {
			kinds[t][1] = true
		} else {
			kinds[t][0] = true
		}
	}
	n := 0
	for _, k := range kinds {
		if k[0] && k[1] {
			n++
		}
	}
	return n
}

// names reports whether a bad reading or nudge can be named.
func (c *session) names() bool {
	n := len(c.targets)
	return n >= namingTargets || n >= namingTargetsMoved && n+c.nudgedTargets() >= namingBoth
}

// allowed returns how many readings and nudges may be taken out.
func (c *session) allowed() int {
	if !c.names() {
		return 0
	}
	return (len(c.targets) + c.nudgedTargets() - 7) / 2
}

// findSuspects takes the readings and nudges that stand out from the fit, the
// worst first, and solves again without them. It reports whether more stand
// out than may be taken out.
func (c *session) findSuspects() (more bool) {
	allowed := c.allowed()
	found := 0
	for _, s := range c.suspect { // strays
		if s {
			found++
		}
	}
	for ; ; found++ {
		worst, alarm := c.leaveEachOut()
		if !alarm || !c.names() {
			return false
		}
		if found == allowed {
			return true
		}
		before := c.solution
		c.suspect[worst] = true
		if !c.solve() {
			c.suspect[worst] = false
			c.solution = before
			return true
		}
	}
}
