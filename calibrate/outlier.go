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
	// alarmRate is how often a flawless table is suspected; shared among the
	// readings (Bonferroni; Ellenberg, Biometrics 1976).
	alarmRate = 0.01
	// unknownGrowth is how much larger than a reading's own error the
	// prediction of a reading left out may be and still say something: the
	// limit that also rejects a whole table.
	unknownGrowth = mostGrowth
)

// A leftOut is what leaving one reading out tells.
type leftOut struct {
	residual geometry.Point // of the reading, against the fit without it; NaN when unknown
	f        float64        // the moderated F statistic; 0 when unknown
}

// leaveOut fits without reading i.
func (c *session) leaveOut(i int) leftOut {
	unknown := leftOut{residual: geometry.Point{X: math.NaN(), Y: math.NaN()}}
	obs := c.used(i)
	f := c.fit
	if 2*len(obs) < f.params() {
		return unknown
	}
	c.bench.weigh(&f, obs, c.prior())
	if !f.settled || !c.bench.covariance(&f, obs) {
		return unknown
	}
	o := c.obs[i]
	var jx, jy [9]float64
	x, y := f.rows(o.px, o.py, &jx, &jy)
	n := f.params()
	xx, yy := quadratic(f.cov, &jx, n), quadratic(f.cov, &jy, n)
	if !(xx+yy < unknownGrowth*unknownGrowth) {
		return unknown
	}
	xy := bilinear(f.cov, &jx, &jy, n)
	// r' S^-1 r with S = 1 + J C J'.
	sx, sy := 1+xx, 1+yy
	rx, ry := o.x-x, o.y-y
	t := (rx*rx*sy - 2*rx*ry*xy + ry*ry*sx) / (sx*sy - xy*xy)
	return leftOut{geometry.Point{X: rx, Y: ry}, t / 2 / f.variance()}
}

// bilinear returns a' C b for the n x n matrix C.
func bilinear(c []float64, a, b *[9]float64, n int) float64 {
	sum := 0.0
	for r := range n {
		for s, v := range c[r*n : r*n+n] {
			sum += a[r] * v * b[s]
		}
	}
	return sum
}

// leaveEachOut leaves every reading in use out once and returns the one that
// stands out most, with whether that is by more than chance does.
func (c *session) leaveEachOut() (worst int, alarm bool) {
	n := 0
	worst = -1
	most := 0.0
	for i := range c.obs {
		if c.suspect[i] {
			continue
		}
		n++
		l := c.leaveOut(i)
		c.deleted[i] = l.residual
		if l.f > most {
			worst, most = i, l.f
		}
	}
	if worst < 0 {
		return worst, false
	}
	nu := float64(believedDegrees + 2*(n-1) - c.fit.params())
	return worst, most > exceededBy(alarmRate/float64(n), nu)
}

// findSuspects takes the readings that stand out from the fit, the worst
// first, and solves again without them. It reports whether more stand out
// than may be taken out.
func (c *session) findSuspects() (more bool) {
	allowed := 0
	if len(c.targets) >= namingTargets {
		allowed = (len(c.targets) - 7) / 2
	}
	for found := 0; ; found++ {
		worst, alarm := c.leaveEachOut()
		if !alarm || len(c.targets) < namingTargets {
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
