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

// A leftOut is what leaving one reading or nudge out tells. The residual of a
// nudge is on the normalised screen.
type leftOut struct {
	residual geometry.Point // of the reading, against the fit without it; NaN when unknown
	f        float64        // the moderated F statistic; 0 when unknown
	degrees  float64        // of freedom below it
}

// exceeds reports whether l stands out more than m: where both have the same
// degrees of freedom, by their F; else by how far it is beyond what chance does
// in a part of the cases.
func (l leftOut) exceeds(m leftOut, part float64) bool {
	if l.degrees == m.degrees {
		return l.f > m.f
	}
	return l.f*exceededBy(part, m.degrees) > m.f*exceededBy(part, l.degrees)
}

// leaveOut fits without observation i.
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
	if o.nudged {
		s := f.nudged.pull
		return leftOut{geometry.Point{X: rx / s, Y: ry / s}, t / 2 / (s * s * f.nudgeVariance()), f.nudgeBelieved()}
	}
	return leftOut{geometry.Point{X: rx, Y: ry}, t / 2 / f.variance(), f.believed()}
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

// leaveEachOut leaves everything in use out once and returns the one that
// stands out most, with whether that is by more than chance does.
func (c *session) leaveEachOut() (worst int, alarm bool) {
	worst = -1
	var most leftOut
	all := float64(len(c.used(-1)))
	for i := range c.obs {
		if c.suspect[i] {
			continue
		}
		l := c.leaveOut(i)
		c.deleted[i] = l.residual
		if l.f > 0 && (worst < 0 || l.exceeds(most, alarmRate/all)) {
			worst, most = i, l
		}
	}
	if worst < 0 {
		return worst, false
	}
	return worst, most.f > exceededBy(alarmRate/all, most.degrees)
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

// findSuspects takes the readings and nudges that stand out from the fit, the
// worst first, and solves again without them. It reports whether more stand
// out than may be taken out.
func (c *session) findSuspects() (more bool) {
	allowed := 0
	if len(c.targets) >= namingTargets {
		allowed = (len(c.targets) + c.nudgedTargets() - 7) / 2
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
