// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"lozenge/geometry"
)

// The limits of the rules. Good layouts have a strength of 0.18 to 0.37 and a
// growth of 1.0 to 1.6; a 3x3 grid without a corner grows errors by 2.3, four
// middles of sides and the centre by 3.0. At 20 degrees of tilt w lies within
// 0.78 to 1.22 of its value in the middle, at 30 degrees within 0.65 to 1.35.
const (
	leastStrength, weakStrength = 0.01, 0.05
	mostGrowth, largeGrowth     = 10.0, 4.0
	leastW, mostW               = 0.4, 2.5

	// A picture 1920 pixels across is 19 to 67 in wide on the mat.
	pixelsAcross        = 1920.0
	leastInchesPerPixel = 0.010
	mostInchesPerPixel  = 0.035
	fewTargetsChance    = 0.999    // of chi² below which readings are consistent
	looseSigma          = 1.0 / 16 // in: from 9 targets on, where a slip can be named, chi² is of readings as rough as this
	mostPromised        = 3.0 / 32 // in: a p95 above that is not good enough to cut by
	lensChance          = 0.99     // of F below which the lens does not show
	sameLine            = 1.0      // px: three targets so near a line are on it
	sameReadingsLine    = 1.0 / 32 // in: readings so near a line are on it
	leastRadialSlope    = 0.1      // of r(1 + k1 r²) at the corner, below which the picture folds
	hintTolerance       = 0.25     // in: so near a usual slip is that slip
)

// refuse says what makes a fit impossible and reports whether anything does.
func (c *session) refuse() bool {
	if len(c.readings) > MostReadings {
		c.say(TooManyReadings, Rejected, "there are %d readings, more than %d; leave some out", len(c.readings), MostReadings)
		return true
	}
	if len(c.nudges) > MostReadings {
		c.say(TooManyReadings, Rejected, "%d crosses were moved, more than %d; leave some out", len(c.nudges), MostReadings)
		return true
	}
	if err := c.screen.Validate(); err != nil {
		c.say(NotNumbers, Rejected, "%v", err)
		return true
	}
	for _, r := range c.readings {
		if !finite(r.U, r.V, r.X, r.Y) || !(r.Sigma >= 0 && r.Sigma <= mostSigma) || math.Abs(r.X) > mostInches || math.Abs(r.Y) > mostInches {
			c.say(NotNumbers, Rejected, "the reading of cross %d is not a place on a mat; write where it lands in inches or centimetres, such as 12 3/32", r.Point)
			return true
		}
	}
	if c.refuseNudges(); len(c.reasons) > 0 {
		return true
	}
	switch n := len(c.targets); {
	case n == 0:
		c.say(TooFewTargets, Rejected, "there is no reading; write for every cross where it lands on the mat")
		return true
	case n < 4:
		c.say(TooFewTargets, Rejected, "%d crosses are too few: 4 are the least, no three of them in a line, and 9 let a bad reading be found; read more crosses (further readings of one cross don't count)", n)
		return true
	}
	places := places(c.targets)
	var off []int
	for i, p := range places {
		if !c.screen.Holds(p.X, p.Y) {
			off = append(off, c.targets[i].Point)
		}
	}
	if off != nil {
		c.say(OffScreen, Rejected, "%s would stand off a screen of %v pixels; give the size that the crosses were made for with --screen, or correct u and v", Crosses(off), c.screen)
	}
	scale := float64(c.screen.Width) / pixelsAcross
	if on := onALine(places, sameLine*scale); on != nil {
		var points []int
		for _, i := range on {
			points = append(points, c.targets[i].Point)
		}
		c.say(TargetsOnALine, Rejected, "%s stand on one line, which leaves the rest of the mat open; read crosses near all four corners", Crosses(points))
	}
	if off == nil && len(c.reasons) == 0 {
		if _, read, _ := c.read(); !slices.ContainsFunc(read, func(p geometry.Point) bool { return p.Sub(read[0]).Len() > sameReadingsLine }) {
			c.say(ReadingsOnALine, Rejected, "all crosses were read in one place of the mat; write for every cross where it lands")
		} else if onALine(read, sameReadingsLine) != nil {
			c.say(ReadingsOnALine, Rejected, "the readings lie on one line of the mat though the crosses don't; check that x and y are where they belong, and read all crosses again")
		}
	}
	return len(c.reasons) > 0
}

// judge applies the rules to the fit.
func (c *session) judge() {
	folds := c.fit.folds(c.screen)
	c.judgeTargets(folds)
	c.judgeShape(folds)
	if folds {
		return // scale, residuals and notes mean nothing
	}
	c.judgeScale()
	c.judgeResiduals()
	c.notes()
}

// folds reports whether w changes its sign within the picture, or comes near.
func (f *fit) folds(s Screen) bool {
	return slices.ContainsFunc(s.bounds().Polygon(), func(p geometry.Point) bool {
		_, _, w := f.at(s.normal(p.X, p.Y))
		return !(w >= leastW && w <= mostW)
	})
}

func (c *session) judgeTargets(folds bool) {
	const spread = "; read crosses near all four corners"
	switch {
	case c.strength < leastStrength:
		c.say(WeakTargets, Rejected, "the crosses in the fit lie so nearly on a line that they fix no map%s", spread)
	case c.strength < weakStrength:
		c.say(WeakTargets, Suspect, "the crosses in the fit lie almost on a line%s", spread)
	}
	c.growth = growth(c.screen, &c.fit)
	g := c.growth
	// A fold makes errors grow without bound wherever the crosses stand; then
	// they are not to blame, unless they would be on a straight map too.
	if folds && c.straightGrowth() <= largeGrowth {
		return
	}
	switch {
	case !(g <= mostGrowth):
		c.say(LargeGrowth, Rejected, "the crosses stand too close together, or nearly on a line: in the worst corner of the picture an error of reading grows %s%s", times(g), spread)
	case g > largeGrowth:
		c.say(LargeGrowth, Suspect, "in the worst corner of the picture an error of reading grows %s%s", times(g), spread)
	}
}

// straightGrowth returns the growth that the crosses in use would have if the
// projector hung square above the mat.
func (c *session) straightGrowth() float64 {
	f := squareAbove(c.screen)
	f.nudged.believe(c.screen)
	obs := c.used(-1)
	for i := range obs {
		if o := &obs[i]; o.nudged {
			o.x, o.y, _ = f.at(o.px, o.py)
		}
	}
	if !c.bench.covariance(&f, obs) {
		return math.Inf(1)
	}
	return growth(c.screen, &f)
}

func (c *session) judgeShape(folds bool) {
	targets, read, points := c.read()
	three, turned := turnedOver(c.screen, targets, read)
	switch {
	case folds:
		c.say(Fold, Rejected, "on this map the picture would fold over or run out to nowhere: readings of two crosses are exchanged, or one is far off; read all crosses again, each under its own number")
	case turned:
		c.say(TurnedOver, Rejected, "%s run the other way round than the other crosses do: readings of two crosses are exchanged, or one is far off; read them again",
			Crosses([]int{points[three[0]], points[three[1]], points[three[2]]}))
	}
	if l := c.fit.lens; !l.shows() {
		c.say(LensFolds, Rejected, "the readings ask for a lens that no projector has (k1 = %.3f); read all crosses again, or solve with --lens off", l.values[0])
	}
}

func (c *session) judgeScale() {
	scale := pixelScale(&c.fit, c.screen)
	width := about(scale*pixelsAcross, c.options.Unit)
	switch {
	case !(scale >= leastInchesPerPixel):
		c.say(Scale, Rejected, "the picture would be only %s wide; check that the readings are in %s, and that --screen is the projector's own resolution", width, many(c.options.Unit))
	case scale > mostInchesPerPixel:
		c.say(Scale, Rejected, "the picture would be %s wide, more than any mat; were the readings taken in cm? Write them with their unit (46 cm), and check that --screen is the projector's own resolution", width)
	}
}

func (c *session) judgeResiduals() {
	n, dof := len(c.targets), c.fit.degrees()
	anew := "; read all crosses again"
	switch {
	case c.fit.nudged.n > 0:
		c.judgeBoth()
	case n >= 5 && n < lensTargets && dof > 0 &&
		c.fit.rss/(believedSigma*believedSigma) > (distuv.ChiSquared{K: float64(dof)}).Quantile(fewTargetsChance):
		c.say(Inconsistent, Suspect, "inconsistent: the readings don't fit together (%s off on average), and with %d crosses it can't be said which one is wrong%s", about(c.fit.rms(), c.options.Unit), n, anew)
	case n >= lensTargets && c.fit.rss/(looseSigma*looseSigma) > (distuv.ChiSquared{K: float64(dof)}).Quantile(fewTargetsChance):
		c.say(Inconsistent, Suspect, "inconsistent: the readings don't fit together (%s off on average, %s most); read all crosses again, these first", about(c.fit.rms(), c.options.Unit), Crosses(c.mostOff()))
	case c.pairStandsOut():
	case c.fit.rms() > swapRMS:
		c.say(Inconsistent, Suspect, "inconsistent: the readings don't fit together (%s off on average)%s", about(c.fit.rms(), c.options.Unit), anew)
	}
	if c.options.Lens != LensOff {
		return
	}
	obs := c.used(-1)
	f := c.fit
	if f.lensShows(obs) <= leastLens {
		return
	}
	f.lens = centredLens(true)
	c.bench.weigh(&f, obs, false)
	nu := float64(believedDegrees + f.degrees())
	if f.settled && (c.fit.rss+c.fit.nudged.rss-f.rss-f.nudged.rss)/f.variance() > (distuv.F{D1: 1, D2: nu}).Quantile(lensChance) {
		c.say(LensShows, Suspect, "the projector's lens bends lines (k1 = %.4f), which this map leaves out; solve with --lens auto", f.lens.values[0])
	}
}

// notes says what never changes the verdict.
func (c *session) notes() {
	if !c.lens && c.wantsLens() {
		c.say(LensUnknown, OK, "these crosses can't tell the lens from a tilt, so it is left out; a grid of 4x3 can")
	}
	if middleDeterminant(&c.fit) > 0 {
		c.say(Mirrored, OK, "the picture is mirrored, or y was read downwards: project some lettering, which must read normally on the mat, or else right-leaning pieces would come out left-leaning")
	}
	hidden := "; should opposite corners be exchanged, it looks like a mirrored picture and can't be found"
	switch n := len(c.targets); {
	case c.fit.nudged.n > 0:
		if !c.names() {
			c.say(NotNamed, OK, "with %d crosses a slip shows but can't be named; read or move 9 crosses or more", n)
		}
	case n == 4 && c.fit.degrees() == 0:
		c.say(Unchecked, OK, "4 readings always fit: a misread inch would not show%s. Read 9 crosses or more, and measure the check square", hidden)
	case n == 4:
		c.say(Unchecked, OK, "with 4 crosses a number misread each time would not show%s. Read 9 crosses or more, and measure the check square", hidden)
	case n == 5:
		c.say(NotNamed, OK, "with 5 crosses a bad reading shows but can't be named%s. Read 9 crosses or more", hidden)
	case n < namingTargets:
		c.say(NotNamed, OK, "with %d crosses a bad reading shows but can't be named; read 9 crosses or more", n)
	}
}

func (c *session) saySuspects() {
	u := c.options.Unit
	for i, s := range c.suspect {
		if !s {
			continue
		}
		if i >= len(c.readings) {
			c.sayNudge(i - len(c.readings))
			continue
		}
		o := c.obs[i]
		x, y, _ := c.fit.at(o.px, o.py)
		read := geometry.Point{X: o.x, Y: o.y}.Add(c.middle)
		want := geometry.Point{X: x, Y: y}.Add(c.middle)
		c.say(SuspectReading, Suspect, "cross %d: you entered %s, %s; the others say it should be %s, %s (%s off)%s. Measure it again; the map is made without this reading",
			c.readings[i].Point, WriteReading(read.X, u), WriteReading(read.Y, u), WriteReading(want.X, u), WriteReading(want.Y, u),
			length(read.Sub(want).Len(), u), slipHint(read, want, u))
	}
}

// slipHint names a usual slip that explains a reading.
func slipHint(read, want geometry.Point, u geometry.Unit) string {
	one := u.Inches(1)
	whole := func(d, other float64) bool {
		n := math.Round(d / one)
		return n != 0 && math.Abs(n) <= 12 && math.Abs(d-n*one) < hintTolerance/2*one && math.Abs(other) < hintTolerance/2
	}
	d := read.Sub(want)
	switch {
	case math.Abs(read.X-want.Y) < hintTolerance && math.Abs(read.Y-want.X) < hintTolerance:
		return ": x and y seem to have changed places"
	case whole(d.X, d.Y):
		return ": x seems to be off by whole " + many(u)
	case whole(d.Y, d.X):
		return ": y seems to be off by whole " + many(u)
	}
	return ""
}
