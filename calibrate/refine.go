// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"lozenge/geometry"
)

// Nudge is a cross drawn by the solution so far at a crossing of the mat's grid
// and moved on the screen until it lay on it.
type Nudge struct {
	Point int     `json:"point"` // the number of the target it belongs to
	U     float64 `json:"u"`     // pixels, where the cross stood when it lay on the crossing
	V     float64 `json:"v"`
	X     float64 `json:"x"` // inches, the crossing on the mat
	Y     float64 `json:"y"`
}

// NudgedPoint is a row of the table of nudges. Expected places and residuals
// are in pixels, and NaN when no map fits or when it draws the crossing
// nowhere.
type NudgedPoint struct {
	Nudge
	ExpectedU, ExpectedV float64 // where the map draws the crossing
	// ResidualU and ResidualV are where the cross stood less the expected place;
	// Residual is their distance. For a suspect that is against the fit without
	// it.
	ResidualU, ResidualV, Residual float64
	// Deleted is the distance to the place expected from all others in the fit;
	// NaN when those don't say.
	Deleted float64
	Suspect bool
}

// Refine solves from readings and nudges together, each weighted by its own
// error: a reading is believed to be off by 1/32 in on the mat, a nudge by
// half a pixel on the screen (of a screen 1920 across, and by as much on the
// mat where there are more), both per axis, and both beliefs give way to what
// the residuals of each kind show. Without nudges it is [Solve].
//
// A nudge belongs to the target of its number, or is a target of its own where
// none with that number was read: nudges alone will do, from 4 targets on, 9
// for a bad one to be named. The order of judgement is that of Solve. A
// suspect reading or nudge is never dropped silently: it stays in Points or in
// Nudged, and a reason names it and what it should have been.
func Refine(readings []Reading, nudges []Nudge, s Screen, o Options) Result {
	return newSession(readings, nudges, s, o).run()
}

// addNudges adds the nudges to the observations, each to its target.
func (c *session) addNudges() {
	nan := math.NaN()
	for _, n := range c.nudges {
		at, nearest := -1, math.Inf(1)
		for i, t := range c.targets {
			if d := math.Hypot(t.U-n.U, t.V-n.V); t.Point == n.Point && d < nearest {
				at, nearest = i, d
			}
		}
		if at < 0 {
			at = len(c.targets)
			c.targets = append(c.targets, Target{n.Point, n.U, n.V})
		}
		c.of = append(c.of, at)
		px, py := c.screen.normal(n.U, n.V)
		c.obs = append(c.obs, observation{px, py, n.X - c.middle.X, n.Y - c.middle.Y, true, 0})
		c.deleted = append(c.deleted, geometry.Point{X: nan, Y: nan})
	}
}

// refuseNudges says what makes nudges useless.
func (c *session) refuseNudges() {
	var off []int
	for _, n := range c.nudges {
		if !finite(n.U, n.V, n.X, n.Y) || math.Abs(n.X) > mostInches || math.Abs(n.Y) > mostInches {
			c.say(NotNumbers, Rejected, "the cross that was moved for target %d is not a place on the mat and one on the screen; move it onto its crossing again", n.Point)
			return
		}
		if !c.screen.Holds(n.U, n.V) {
			off = append(off, n.Point)
		}
	}
	if off != nil {
		c.say(OffScreen, Rejected, "%s would have been moved off a screen of %v pixels; move them onto their crossings again, on the screen that the crosses were made for", Crosses(off), c.screen)
	}
}

// compareNudge fills in the row of nudge i.
func (c *session) compareNudge(i int) NudgedPoint {
	nan := math.NaN()
	p := NudgedPoint{Nudge: c.nudges[i], ExpectedU: nan, ExpectedV: nan, ResidualU: nan, ResidualV: nan, Residual: nan, Deleted: nan}
	i += len(c.readings)
	p.Suspect = c.suspect[i]
	if c.fit.cov == nil && c.promise == nil {
		return p
	}
	inverse := c.fit.inverse()
	px, py, ok := c.fit.back(&inverse, c.obs[i].x, c.obs[i].y)
	if !ok {
		return p
	}
	p.ExpectedU, p.ExpectedV = c.screen.pixels(px, py)
	p.ResidualU, p.ResidualV = p.U-p.ExpectedU, p.V-p.ExpectedV
	p.Residual = math.Hypot(p.ResidualU, p.ResidualV)
	p.Deleted = p.Residual
	if !p.Suspect {
		p.Deleted = c.deleted[i].Len() * c.screen.Radius()
	}
	return p
}

// sayNudge says what a suspect nudge should have been.
func (c *session) sayNudge(i int) {
	u := c.options.Unit
	p := c.compareNudge(i)
	at := WriteReading(p.X, u) + ", " + WriteReading(p.Y, u)
	if math.IsNaN(p.Residual) {
		c.say(SuspectNudge, Suspect, "the cross on %s (target %d) stands where no other reading and no other cross would have it; move it onto its crossing again. The map is made without it", at, p.Point)
		return
	}
	hint := "perhaps it was laid on the wrong crossing"
	if x, y, ok := c.laidOn(p.Nudge); ok {
		hint += fmt.Sprintf(": it seems to lie on %s, %s", WriteReading(x, u), WriteReading(y, u))
	}
	c.say(SuspectNudge, Suspect, "the cross on %s (target %d) stands %s, as all others say; %s. Move it onto its crossing again; the map is made without it",
		at, p.Point, direction(p.ResidualU, p.ResidualV), hint)
}

// laidOn returns the crossing on which a cross seems to lie that should lie on
// another one.
func (c *session) laidOn(n Nudge) (x, y float64, ok bool) {
	x, y, _ = c.fit.at(c.screen.normal(n.U, n.V))
	x, y = x+c.middle.X, y+c.middle.Y
	one := c.options.Unit.Inches(1)
	wx, wy := math.Round(x/one)*one, math.Round(y/one)*one
	if math.Hypot(wx-x, wy-y) > hintTolerance*one || math.Hypot(wx-n.X, wy-n.Y) < one/2 {
		return 0, 0, false
	}
	return wx, wy, true
}

// direction writes "53 pixels too far to the right and 7.5 pixels too high" for
// a place off by (u, v), with v down; what is under a tenth of the whole is
// left out.
func direction(u, v float64) string {
	off := func(v float64, below, above string) string {
		digits := 0
		if math.Abs(v) < 9.95 {
			digits = 1
		}
		if v < 0 {
			above = below
		}
		return fmt.Sprintf("%.*f pixels too %s", digits, math.Abs(v), above)
	}
	across, along := off(u, "far to the left", "far to the right"), off(v, "high", "low")
	least := math.Hypot(u, v) / 10
	switch {
	case math.Abs(v) < least:
		return across
	case math.Abs(u) < least:
		return along
	}
	return across + " and " + along
}

// nudgeRMS returns the root mean square distance on the screen between nudges
// and fit, in pixels.
func (c *session) nudgeRMS() float64 {
	m := &c.fit.nudged
	return math.Sqrt(m.rss/float64(m.n)) / m.pull * c.screen.Radius()
}

// nudgeRMSLimit is the [swapRMS] of nudges: 0.25 in is 13 pixels on a picture
// 36 in wide, and far more than any eye is off by.
const nudgeRMSLimit = 8.0

// nudgesFit reports whether no nudge is in the fit or they fit together.
func (c *session) nudgesFit() bool {
	return c.fit.nudged.n == 0 || c.nudgeRMS() <= nudgeRMSLimit*c.screen.finer()
}

// judgeBoth says whether readings and nudges fit together.
func (c *session) judgeBoth() {
	f, n := &c.fit, len(c.targets)
	sum := f.rss/(believedSigma*believedSigma) + f.nudged.rss/(f.nudged.pull*f.nudged.pull*f.nudged.eye*f.nudged.eye)
	off := fmt.Sprintf("moved crosses %.1f pixels off on average", c.nudgeRMS())
	if f.n > 0 {
		off = fmt.Sprintf("readings %s off on average, %s", about(f.rms(), c.options.Unit), off)
	}
	switch {
	case !c.names() && f.degrees() > 0 && sum > (distuv.ChiSquared{K: float64(f.degrees())}).Quantile(fewTargetsChance):
		c.say(Inconsistent, Suspect, "inconsistent: readings and moved crosses don't fit together (%s), and with %d crosses it can't be said which one is wrong; read all crosses again, and move each onto its crossing again", off, n)
	case f.rms() > swapRMS || !c.nudgesFit():
		c.say(Inconsistent, Suspect, "inconsistent: readings and moved crosses don't fit together (%s); read all crosses again, and move each onto its crossing again", off)
	}
}
