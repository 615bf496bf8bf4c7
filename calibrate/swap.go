// SPDX-License-Identifier: Apache-2.0

package calibrate

import "math"

// Exchanged readings: the fit is bad, and exchanging one pair makes it good.
const (
	swapTargets = 6    // from how many targets on it is looked for
	swapRMS     = 0.25 // in: worse than that the fit is bad, better it is good
	swapLead    = 0.5  // the best exchange must be better by this factor than the next
)

// An exchange is two lists of readings, as long as each other, whose places
// on the mat change places.
type exchange struct{ a, b []int }

func (c *session) exchanges() []exchange {
	var out []exchange
	for i := range c.readings {
		for j := i + 1; j < len(c.readings); j++ {
			if c.of[i] != c.of[j] {
				out = append(out, exchange{[]int{i}, []int{j}})
			}
		}
	}
	// A target read several times may have changed its number with another
	// one each time.
	readings := make([][]int, len(c.targets))
	for i, t := range c.of[:len(c.readings)] {
		readings[t] = append(readings[t], i)
	}
	for i, a := range readings {
		for _, b := range readings[i+1:] {
			if len(a) == len(b) && len(a) > 1 {
				out = append(out, exchange{a, b})
			}
		}
	}
	return out
}

// swap makes an exchange, or undoes it.
func (c *session) swap(e exchange) {
	for k, i := range e.a {
		j := e.b[k]
		a, b := &c.obs[i], &c.obs[j]
		a.x, a.y, b.x, b.y = b.x, b.y, a.x, a.y
	}
}

// findSwap looks for one pair of exchanged readings, keeps it exchanged and
// solved when found. The search is with the homography alone: it has to tell
// a tenth of an inch from many inches.
func (c *session) findSwap(solved bool) bool {
	if len(c.targets) < swapTargets || solved && !(c.fit.rms() > swapRMS) {
		return false
	}
	var best exchange
	first, second := math.Inf(1), math.Inf(1)
	for _, e := range c.exchanges() {
		c.swap(e)
		r := c.quickRMS()
		c.swap(e)
		if r < first {
			best, first, second = e, r, first
		} else if r < second {
			second = r
		}
	}
	if best.a == nil {
		return false
	}
	before := c.solution
	c.swap(best)
	if c.solve() && c.fit.rms() < swapRMS && c.fit.rms() < swapLead*second && c.nudgesFit() {
		c.swapped = [2]int{c.of[best.a[0]], c.of[best.b[0]]}
		for k, i := range best.a {
			c.swapAt = append(c.swapAt, i, best.b[k])
		}
		return true
	}
	c.swap(best)
	c.solution = before
	return false
}

// quickSteps is enough for the right exchange to be known by its rms. Wrong
// ones wander for long and stay bad.
const quickSteps = 8

// quickRMS returns about the rms of the homography, +Inf when there is none.
func (c *session) quickRMS() float64 {
	f, _, ok := c.flat(c.used(-1), quickSteps)
	if !ok || !finite(f.rss, f.nudged.rss) {
		return math.Inf(1)
	}
	return f.rms()
}
