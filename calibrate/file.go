// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"lozenge/geometry"
)

// FileKind and FileVersion stand at the head of every kept calibration.
const (
	FileKind    = "projector calibration"
	FileVersion = 2 // of version 1 the lens is centred and has no k2
)

// File is a calibration as it is kept, plain data for encoding/json. All
// numbers are finite. [File.Map] checks one that was read. The keys from taken on
// may be missing in version 1.
type File struct {
	Kind    string  `json:"kind"`
	Version int     `json:"version"`
	Screen  Screen  `json:"screen"`
	Verdict Verdict `json:"verdict"` // ok or suspect
	Model   Model   `json:"model"`
	// Homography takes (u, v, 1), after the lens, to the mat in inches, y up;
	// its last number is 1.
	Homography [3][3]float64 `json:"homography"`
	K1         float64       `json:"k1"`
	K2         float64       `json:"k2"`
	// Centre and R, in pixels, belong to k1 and k2: with r = |(u, v) - centre|/R,
	// (u, v) - centre times 1 + k1 r² + k2 r⁴ is what the lens does.
	Centre [2]float64 `json:"centre"`
	R      float64    `json:"r"`

	Sigma    float64      `json:"sigma"`    // of a reading, per axis, in
	Readings int          `json:"readings"` // in the fit; 0 when nudges alone made it
	Targets  [][2]float64 `json:"targets"`  // in the fit, distinct, in pixels
	// Covariance of the parameters for readings of variance 1: of the first
	// eight numbers of H row by row, for (u, v) less the centre over R and its
	// last number 1, and then of k1 if it is fitted. The model with a whole lens
	// has none: its error comes from what was taken.
	Covariance [][]float64 `json:"covariance,omitempty"`

	// Taken holds all readings as they were taken and Nudges all crosses that
	// were moved, suspect ones too: [Refine] makes the same calibration of them
	// again, or a better one with more.
	Taken  []Reading `json:"taken,omitempty"`
	Nudges []Nudge   `json:"nudges,omitempty"`
	// NudgeSigma is that of a nudge, per axis, in the screen's pixels, and Degrees
	// the degrees of freedom with which the map's error is known. Both are 0 when
	// no nudge is in the fit: then the readings say it.
	NudgeSigma float64 `json:"nudge_sigma,omitempty"`
	Degrees    float64 `json:"degrees,omitempty"`
	// Looks are second looks after which the map was moved, in their order.
	Looks []SecondLook `json:"second_looks,omitempty"`
	// Window is that of the page that showed the crosses; nil when there was none.
	Window *Window `json:"window,omitempty"`
}

// SecondLook is what was read or moved in a [Map.Check].
type SecondLook struct {
	Taken  []Reading `json:"taken,omitempty"`
	Nudges []Nudge   `json:"nudges,omitempty"`
}

// MostLooks is how many second looks a calibration takes; then it is made
// again.
const MostLooks = 5

// badFile returns a [*geometry.Error] about a key of a kept calibration.
func badFile(key, why string, args ...any) error {
	return geometry.Wrong(key, fmt.Sprintf(why, args...), "solve the readings again")
}

// File returns the calibration for keeping. The error says why there is
// nothing to keep: a rejected one is not kept.
func (r Result) File() (File, error) {
	if r.Map == nil || r.Homography == nil || r.Verdict == Rejected {
		return File{}, fmt.Errorf("a rejected calibration is not kept; do what the reasons say and solve again")
	}
	m := r.Map
	f := File{
		Kind: FileKind, Version: FileVersion, Screen: m.screen, Verdict: r.Verdict, Model: r.Model,
		Homography: *r.Homography, K1: r.K1, K2: r.K2, Centre: [2]float64{r.Centre.X, r.Centre.Y}, R: m.screen.Radius(),
		Sigma: r.Sigma, Readings: r.Used,
	}
	for _, t := range m.targets {
		f.Targets = append(f.Targets, [2]float64{t.X, t.Y})
	}
	for _, p := range r.Points {
		p.Line = 0
		f.Taken = append(f.Taken, p.Reading)
	}
	for _, p := range r.Nudged {
		f.Nudges = append(f.Nudges, p.Nudge)
	}
	if r.UsedNudges > 0 {
		f.NudgeSigma, f.Degrees = r.NudgeSigma, m.degrees
	}
	if m.promise != nil {
		f.Degrees = 0
		return f, f.Validate()
	}
	n := m.fit.params()
	for i := range n {
		f.Covariance = append(f.Covariance, append([]float64(nil), m.fit.cov[i*n:i*n+n]...))
	}
	return f, f.Validate()
}

// fit returns the file's numbers on the normalised screen.
func (f File) fit() fit {
	h := f.Homography
	c := f.Screen.Centre()
	var n [9]float64
	for i := range 3 {
		n[3*i], n[3*i+1] = h[i][0]*f.R, h[i][1]*f.R
		n[3*i+2] = h[i][0]*c.X + h[i][1]*c.Y + h[i][2]
	}
	out := fit{lens: centredLens(f.Model == Lensed), n: f.Readings}
	if f.Model == Whole {
		out.lens = wholeLens(f.Screen, 0)
	}
	out.lens.values = [lensParams]float64{f.K1, f.K2, (f.Centre[0] - c.X) / f.R, (f.Centre[1] - c.Y) / f.R}
	for i := range out.h {
		out.h[i] = n[i] / n[8]
	}
	for _, row := range f.Covariance {
		out.cov = append(out.cov, row...)
	}
	return out
}

// places returns the targets.
func (f File) places() []geometry.Point {
	var out []geometry.Point
	for _, t := range f.Targets {
		out = append(out, geometry.Point{X: t[0], Y: t[1]})
	}
	return out
}

// Validate returns a [*geometry.Error] when the file is not what [Result.File]
// makes: it was damaged, or changed by hand.
func (f File) Validate() error {
	params := map[Model]int{Flat: 8, Lensed: 9, Whole: 8 + lensParams}[f.Model]
	c, n := f.Screen.Centre(), len(f.Targets)
	switch screen := f.Screen.Validate(); {
	case f.Kind != FileKind:
		return badFile("kind", "it is not %q", FileKind)
	case f.Version < 1 || f.Version > FileVersion:
		return badFile("version", "%d is not known here, only 1 to %d", f.Version, FileVersion)
	case screen != nil:
		return badFile("screen", "%v", screen)
	case f.Verdict != OK && f.Verdict != Suspect:
		return badFile("verdict", "it is neither ok nor suspect")
	case params == 0:
		return badFile("model", "it is neither %s nor %s nor %s", Flat, Lensed, Whole)
	case f.Model == Flat && f.K1 != 0:
		return badFile("k1", "it must be 0 for model %s", Flat)
	case f.Model != Whole && f.K2 != 0:
		return badFile("k2", "it must be 0 for model %s", f.Model)
	case f.Model != Whole && f.Centre != [2]float64{c.X, c.Y}:
		return badFile("centre", "it is not the middle of a screen of %v", f.Screen)
	case !(math.Abs(f.Centre[0]-c.X) <= float64(f.Screen.Width)) || !(math.Abs(f.Centre[1]-c.Y) <= float64(f.Screen.Height)):
		return badFile("centre", "no lens has its middle so far off a picture of %v", f.Screen)
	case !(math.Abs(f.R-f.Screen.Radius()) <= 1e-9*f.R):
		return badFile("r", "it is not half the diagonal of a screen of %v", f.Screen)
	case n < 4 || n > MostReadings:
		return badFile("targets", "there are %d, not 4 to %d", n, MostReadings)
	case f.Readings < 0 || f.Readings > MostReadings || f.seen() < n || 2*f.seen() < params:
		return badFile("readings", "%d do not go with %d targets", f.Readings, n)
	}
	for i, t := range f.Targets {
		if !f.Screen.Holds(t[0], t[1]) {
			return badFile("targets", "number %d of them is off the screen", i+1)
		}
	}
	if onALine(f.places(), sameLine) != nil {
		return badFile("targets", "they stand on a line")
	}
	if !(f.Sigma > 0 && f.Sigma <= mostSigma) {
		return badFile("sigma", "%v in is not the error of a reading", f.Sigma)
	}
	if err := f.validateTaken(); err != nil {
		return err
	}
	if l := f.fit().lens; !l.shows() {
		return badFile("k1", "no lens bends like %v and %v (k2)", f.K1, f.K2)
	}
	if err := f.validateHomography(); err != nil {
		return err
	}
	if f.Model == Whole {
		return nil
	}
	return f.validateCovariance(params)
}

// seen returns how many readings and nudges may be in the fit.
func (f File) seen() int {
	if f.NudgeSigma == 0 {
		return f.Readings
	}
	return f.Readings + len(f.Nudges)
}

// validateTaken looks at the keys that may be missing.
func (f File) validateTaken() error {
	switch n := len(f.Taken); {
	case n > MostReadings:
		return badFile("taken", "there are %d, more than %d", n, MostReadings)
	case (n > 0 || f.Model == Whole) && n < f.Readings:
		return badFile("taken", "there are %d, and %d readings made the map", n, f.Readings)
	case len(f.Nudges) > MostReadings:
		return badFile("nudges", "there are %d, more than %d", len(f.Nudges), MostReadings)
	}
	wrong := func(u, v, x, y float64) bool {
		return !finite(u, v, x, y) || math.Abs(x) > mostInches || math.Abs(y) > mostInches || !f.Screen.Holds(u, v)
	}
	for i, r := range f.Taken {
		if wrong(r.U, r.V, r.X, r.Y) {
			return badFile("taken", "number %d of them is off the screen or the mat", i+1)
		}
		if !(r.Sigma >= 0 && r.Sigma <= mostSigma) {
			return badFile("taken", "%v in is not the error of number %d of them", r.Sigma, i+1)
		}
	}
	for i, n := range f.Nudges {
		if wrong(n.U, n.V, n.X, n.Y) {
			return badFile("nudges", "number %d of them is off the screen or the mat", i+1)
		}
	}
	switch {
	case f.Degrees == 0 && f.NudgeSigma == 0:
	case len(f.Nudges) == 0:
		return badFile("nudges", "there are none, and they made the map")
	case f.Model == Whole && f.Degrees != 0:
		return badFile("degrees", "model %s has none", f.Model)
	case !(f.NudgeSigma > 0 && f.NudgeSigma <= mostPixels):
		return badFile("nudge_sigma", "%v pixels is not the error of a moved cross", f.NudgeSigma)
	case f.Model != Whole && !(f.Degrees >= 1 && f.Degrees <= 2*(believedDegrees+2*MostReadings)):
		return badFile("degrees", "%v can't be", f.Degrees)
	}
	switch n := len(f.Looks); {
	case n > MostLooks:
		return badFile("second_looks", "there are %d, more than %d", n, MostLooks)
	case n > 0 && f.Version < 2:
		return badFile("second_looks", "version %d has none", f.Version)
	}
	if f.Window != nil {
		return f.Window.Validate()
	}
	return nil
}

// Moved returns the file with the map of a second look that found it shifted.
func (f File) Moved(c Check, look SecondLook) (File, error) {
	if c.Verdict != Shifted || len(f.Looks) >= MostLooks || f.Version < 2 {
		return File{}, fmt.Errorf("this calibration can't be moved; calibrate again")
	}
	h := c.Map.fit.pixels(f.Screen)
	if h == nil {
		return File{}, fmt.Errorf("the moved map can't be kept; calibrate again")
	}
	f.Homography = *h
	f.Looks = append(slices.Clone(f.Looks), look)
	return f, f.Validate()
}

const (
	mostLens  = 1.0  // k1 of no lens that shows a picture
	mostSigma = 10.0 // in; readings so bad fix nothing
)

func (f File) validateHomography() error {
	for _, row := range f.Homography {
		if !finite(row[:]...) {
			return badFile("homography", "it holds a number that is not finite")
		}
	}
	if math.Abs(f.Homography[2][2]-1) > 1e-9 {
		return badFile("homography", "its last number is not 1")
	}
	flat := f
	flat.Covariance = nil
	m := flat.fit()
	if !finite(m.h[:]...) || m.folds(f.Screen) {
		return badFile("homography", "the picture would fold over")
	}
	if s := pixelScale(&m, f.Screen); !(s >= leastInchesPerPixel && s <= mostInchesPerPixel) {
		return badFile("homography", "the picture would be %.3g in wide", s*pixelsAcross)
	}
	if x, y, _ := m.at(0, 0); !(math.Abs(x) <= 2*mostInches && math.Abs(y) <= 2*mostInches) {
		return badFile("homography", "the picture would lie far off any mat")
	}
	return nil
}

func (f File) validateCovariance(params int) error {
	if len(f.Covariance) != params {
		return badFile("covariance", "it has %d rows, not %d", len(f.Covariance), params)
	}
	a := mat.NewSymDense(params, nil)
	for i, row := range f.Covariance {
		if len(row) != params {
			return badFile("covariance", "row %d has %d numbers, not %d", i+1, len(row), params)
		}
		if !finite(row...) || !(row[i] > 0) {
			return badFile("covariance", "row %d holds a number that can't be", i+1)
		}
		for j := range i {
			if scale := math.Sqrt(row[i] * f.Covariance[j][j]); !(math.Abs(row[j]-f.Covariance[j][i]) <= 1e-9*scale) {
				return badFile("covariance", "numbers %d of row %d and %d of row %d differ", j+1, i+1, i+1, j+1)
			}
		}
	}
	for i := range params {
		for j := i; j < params; j++ {
			a.SetSym(i, j, f.Covariance[i][j]/math.Sqrt(f.Covariance[i][i]*f.Covariance[j][j]))
		}
	}
	if !new(mat.Cholesky).Factorize(a) {
		return badFile("covariance", "no readings give such a one")
	}
	whole := f.fit()
	if g := growth(f.Screen, &whole); !(g <= mostGrowth) {
		return badFile("covariance", "errors of reading grow too much")
	}
	return nil
}

// pixelScale returns the inches to a pixel in the middle of the screen, as
// for a screen 1920 pixels across.
func pixelScale(f *fit, s Screen) float64 {
	return math.Sqrt(math.Abs(middleDeterminant(f))) / s.Radius() * float64(s.Width) / pixelsAcross
}

// agreement is how near, in inches, the map of a file comes to that of the
// readings that stand in it, and, relative to what they give, each other number.
const agreement = 1e-6

// solveAgain returns the map of what was read and moved, or an error where the
// file does not tell the same of it.
func (f File) solveAgain() (*Map, error) {
	if len(f.Taken)+len(f.Nudges) == 0 {
		return nil, badFile("taken", "no readings stand in it")
	}
	lens := map[Model]Lens{Flat: LensOff, Lensed: LensFit, Whole: LensAuto}[f.Model]
	r := Refine(f.Taken, f.Nudges, f.Screen, Options{Lens: lens})
	found, err := r.File()
	if err != nil || found.Model != f.Model {
		return nil, badFile("taken", "no such map comes from these readings")
	}
	if f.Verdict != found.Verdict {
		return nil, badFile("verdict", "the readings give another: %s, not %s", found.Verdict, f.Verdict)
	}
	m := r.Map
	for i, look := range f.Looks {
		c := m.Check(look.Taken, look.Nudges, geometry.Inch)
		if c.Verdict != Shifted {
			return nil, badFile("second_looks", "number %d of them moves no map", i+1)
		}
		m = c.Map
	}
	said := f.fit()
	for i, p := range f.Screen.bounds().Polygon() {
		x, y := m.ToMat(p.X, p.Y)
		fx, fy, _ := said.at(f.Screen.normal(p.X, p.Y))
		if !(math.Hypot(x-fx, y-fy) <= agreement) {
			return nil, badFile("homography", "corner %d of the picture is not where the readings put it: %.3g in off", i+1, math.Hypot(x-fx, y-fy))
		}
	}
	says, finds := f.told(), found.told()
	for i, s := range says {
		if i >= len(finds) || s.key != finds[i].key || !(math.Abs(s.value-finds[i].value) <= agreement*(s.scale+math.Abs(finds[i].value))) {
			return nil, badFile(s.key, "the readings give another than %v", s.value)
		}
	}
	return m, nil
}

// told is a number in a file and how large it may be off.
type told struct {
	key          string
	value, scale float64
}

// told returns the numbers that come of the readings, apart from the homography.
func (f File) told() []told {
	out := []told{
		{"k1", f.K1, 1}, {"k2", f.K2, 1}, {"centre", f.Centre[0], 1}, {"centre", f.Centre[1], 1},
		{"sigma", f.Sigma, 0}, {"readings", float64(f.Readings), 0}, {"nudge_sigma", f.NudgeSigma, 0}, {"degrees", f.Degrees, 0},
		{"targets", float64(len(f.Targets)), 0},
	}
	for _, t := range f.Targets {
		out = append(out, told{"targets", t[0], 1}, told{"targets", t[1], 1})
	}
	for i, row := range f.Covariance {
		for j, v := range row {
			out = append(out, told{"covariance", v, math.Sqrt(f.Covariance[i][i] * f.Covariance[j][j])})
		}
	}
	return out
}

// Map validates the file and returns its map. A file is believed only while it
// tells what the readings and moved crosses in it give; one of version 1, which may
// have none and was solved in another way, as it is.
func (f File) Map() (*Map, error) {
	if err := f.Validate(); err != nil {
		return nil, err
	}
	if f.Version > 1 {
		return f.solveAgain()
	}
	m := f.fit()
	degrees := f.Degrees
	if degrees == 0 {
		degrees = believedIn(len(f.Targets), &m)
	}
	out, ok := newMap(f.Screen, m, f.Sigma, degrees, f.places())
	if !ok {
		return nil, badFile("homography", "it can't be turned round")
	}
	return out, nil
}

// Fits returns an error when the calibration was made for a picture of
// another size than s, for then it is good for nothing.
func (f File) Fits(s Screen) error {
	if f.Screen == s {
		return nil
	}
	return fmt.Errorf("this calibration was made for a screen of %v pixels, not %v; set the projector and the computer to %v, or calibrate again for %v", f.Screen, s, f.Screen, s)
}
