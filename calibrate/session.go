// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// A session is one Solve under way.
type session struct {
	screen   Screen
	options  Options
	readings []Reading
	nudges   []Nudge
	bench    *workbench

	targets []Target // distinct, in the order in which they are first read
	of      []int    // target of each observation

	middle  geometry.Point // of all on the mat; obs are relative to it
	obs     []observation  // the readings, exchanged after a swap was found, then the nudges
	suspect []bool         // left out of the fit
	swapped [2]int         // targets; equal when none
	swapAt  []int          // the readings that were exchanged, in pairs

	solution
	growth   float64 // of the fit by which slips are judged
	made     *Map    // nil when it can't be turned round
	expected ExpectedError
	deleted  []geometry.Point // a reading's in inches, a nudge's on the normalised screen
	reasons  []Reason
}

// A solution is a fit to the readings in use.
type solution struct {
	fit      fit
	lens     bool     // k1 is fitted
	strength float64  // of the linear fit
	promise  *promise // nil where only H, or H and k1, is fitted
}

func newSession(readings []Reading, nudges []Nudge, s Screen, o Options) *session {
	c := &session{screen: s, options: o, readings: readings, nudges: nudges, bench: newWorkbench()}
	all := float64(len(readings) + len(nudges))
	at := map[geometry.Point]int{}
	for _, r := range readings {
		p := geometry.Point{X: r.U, Y: r.V}
		i, known := at[p]
		if !known {
			i = len(c.targets)
			at[p] = i
			c.targets = append(c.targets, Target{r.Point, r.U, r.V})
		}
		c.of = append(c.of, i)
		c.middle = c.middle.Add(geometry.Point{X: r.X, Y: r.Y}.Mul(1 / all))
	}
	for _, n := range nudges {
		c.middle = c.middle.Add(geometry.Point{X: n.X, Y: n.Y}.Mul(1 / all))
	}
	nan := math.NaN()
	for _, r := range readings {
		px, py := s.normal(r.U, r.V)
		c.obs = append(c.obs, observation{px, py, r.X - c.middle.X, r.Y - c.middle.Y, false, 0})
		c.deleted = append(c.deleted, geometry.Point{X: nan, Y: nan})
	}
	c.addNudges()
	c.suspect = make([]bool, len(c.obs))
	return c
}

// read returns, for each target that has a reading in use, its place and the
// mean of those readings, on the mat; for one that has only a nudge in use,
// where the cross stood and the crossing on which it lay.
func (c *session) read() (targets, mean []geometry.Point, points []int) {
	sum := make([]geometry.Point, len(c.targets))
	count := make([]int, len(c.targets))
	moved := make([]int, len(c.targets)) // the first nudge in use, plus 1
	for i, o := range c.obs {
		switch {
		case c.suspect[i]:
		case o.nudged:
			if t := c.of[i]; moved[t] == 0 {
				moved[t] = i + 1
			}
		default:
			sum[c.of[i]] = sum[c.of[i]].Add(geometry.Point{X: o.x, Y: o.y})
			count[c.of[i]]++
		}
	}
	for i, t := range c.targets {
		if count[i] > 0 {
			targets = append(targets, geometry.Point{X: t.U, Y: t.V})
			mean = append(mean, sum[i].Mul(1/float64(count[i])))
			points = append(points, t.Point)
		} else if n := moved[i] - 1; n >= 0 {
			targets = append(targets, geometry.Point{X: c.nudges[n-len(c.readings)].U, Y: c.nudges[n-len(c.readings)].V})
			mean = append(mean, geometry.Point{X: c.obs[n].x, Y: c.obs[n].y})
			points = append(points, t.Point)
		}
	}
	return targets, mean, points
}

// used returns the observations in the fit, without the one at index leave
// (or with all, for -1). It is good until the next call.
func (c *session) used(leave int) []observation {
	c.bench.rest = c.bench.rest[:0]
	for i, o := range c.obs {
		if !c.suspect[i] && i != leave {
			c.bench.rest = append(c.bench.rest, o)
		}
	}
	return c.bench.rest
}

// leastLens is the least of [fit.lensShows] with which k1 is fitted. A 3x3
// grid has 0.096, four corners and the middle 0.
const leastLens = 1e-3

// prior reports whether k1 is held near 0.
func (c *session) prior() bool { return c.options.Lens == LensAuto }

// solve fits the model to the observations in use: linear fit, homography,
// and from there the lens where it is wanted and shows. False means that no
// map fits.
func (c *session) solve() bool {
	obs := c.used(-1)
	f, strength, ok := c.flat(obs, mostSteps)
	c.strength = strength
	if !ok || !f.settled {
		return false
	}
	c.lens = c.wantsLens() && f.lensShows(obs) > leastLens
	if c.lens || f.nudged.n > 0 {
		flat := f
		f.lens = centredLens(c.lens)
		c.bench.weigh(&f, obs, c.prior())
		if !f.settled && c.lens && f.nudged.n > 0 {
			// A cross moved to somewhere else can ask for a lens that shows it
			// nowhere; without a lens it can still be found.
			f, c.lens = flat, false
			c.bench.weigh(&f, obs, false)
		}
		if !f.settled {
			return false
		}
	}
	c.fit = f
	return c.bench.covariance(&c.fit, obs) && finite(c.fit.cov...) && finite(c.fit.rss)
}

// flat fits a homography in so many steps at most, from the linear fit, whose
// strength it returns too; ok is false where there is no linear fit.
func (c *session) flat(obs []observation, steps int) (f fit, strength float64, ok bool) {
	start, ok := startAt(obs)
	if ok {
		f, ok = start.fit()
	}
	if ok {
		f.nudged.believe(c.screen)
		c.bench.minimise(&f, obs, steps)
	}
	return f, start.strength, ok
}

// From how many targets on the lens is fitted by default: with fewer it costs
// more than it gains, and nudges, which are more exact, make it pay sooner.
const (
	lensTargets      = 9
	lensTargetsMoved = 6
)

func (c *session) wantsLens() bool {
	n := len(c.targets)
	return c.options.Lens == LensFit || c.options.Lens == LensAuto && (n >= lensTargets || len(c.nudges) > 0 && n >= lensTargetsMoved)
}
