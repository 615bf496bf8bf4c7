// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"image"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// UsualCrosses are those of a sheet when nothing else is asked for.
var UsualCrosses = calibrate.Grid{Columns: 4, Rows: 3}

// Options say what the photo is of.
type Options struct {
	Screen  calibrate.Screen
	Crosses calibrate.Grid // the zero Grid is UsualCrosses
	// Step is the distance of the mat's printed lines, in inches; 0 is 1. Fine says
	// that weaker lines half way between whole ones count as well: 1/2 in where the
	// mat has whole inches too.
	Step float64
	Fine bool
	// Wide is how wide the picture is on the mat, in inches, within a tenth; 0: not
	// known. Where marks beside the lines are too small for the photo it tells grids
	// apart.
	Wide float64
}

// Cross is where one cross lies.
type Cross struct {
	Point int            // its number
	U, V  float64        // on the screen, in pixels
	X, Y  float64        // on the mat, in inches
	Sigma float64        // how far off that is, per axis, in inches: one standard deviation
	Photo geometry.Point // in the photo
}

// Found is what a photo shows.
type Found struct {
	Screen  calibrate.Screen
	Crosses []Cross // by number; one that can't be read is missing
	Missing []int   // numbers of those
	Spread  float64 // how far printed lines are off the fit, in pixels of the photo
	Seen    float64 // how many of the places looked at on lines show one: part of 1
	K1, K2  float64 // of the phone's lens, over half the diagonal
	Step    float64 // in inches
	ruling  *ruling
	turn    turn
}

// Readings returns the crosses as readings with their own errors.
func (f *Found) Readings() (out []calibrate.Reading) {
	for _, c := range f.Crosses {
		out = append(out, calibrate.Reading{Point: c.Point, U: c.U, V: c.V, X: c.X, Y: c.Y, Sigma: c.Sigma})
	}
	return out
}

const (
	workingSize = 1600 // pixels along the longer side, to look for lines and crosses
	leastNodes  = 80
	mostSeeds   = 8

	darkest    = 4.0  // shades: the standard deviation of a picture that shows nothing
	mostSpread = 0.6  // pixels
	leastSeen  = 0.75 // of places on lines between the crosses
	mostBent   = 0.02 // in: the mean of what is left in a part of the mat
	mostOff    = 0.02 // in: the root of the mean square of the crosses
	mostSigma  = 0.006
	mostTilted = 1.7
)

// Read finds the crosses in a photo. The error is a *[Refusal], or says that the
// options make no sense.
func Read(im *image.Gray, o Options) (*Found, error) {
	if o.Step == 0 {
		o.Step = 1
	}
	if o.Crosses == (calibrate.Grid{}) {
		o.Crosses = UsualCrosses
	}
	targets, err := calibrate.Targets(o.Screen, o.Crosses, 1)
	if err != nil {
		return nil, err
	}
	f, refused := read(im, o, targets)
	if refused != nil {
		return nil, refused
	}
	return f, nil
}

// flatten finds the printed lines and lays the mat flat by them.
func flatten(im *image.Gray, o Options) (*ruling, *flat, *Refusal) {
	if im.Bounds().Dx() < 200 || im.Bounds().Dy() < 200 {
		return nil, nil, refuse(NoLines, "the picture is only %d x %d pixels, too small to show a mat; send the photo as the phone took it", im.Bounds().Dx(), im.Bounds().Dy())
	}
	full := grey(im)
	small, shrink := full.shrunk(workingSize)
	if dark(small) {
		return nil, nil, refuse(Dark, "the photo shows nothing but one shade; turn the lights on, take the cover off the lens and take it again")
	}
	r, refused := rule(full, small, shrink, o)
	if refused != nil {
		return nil, nil, refused
	}
	r.small, r.shrink = small, shrink
	return r, r.lay(), nil
}

func read(im *image.Gray, o Options, targets []calibrate.Target) (*Found, *Refusal) {
	r, f, refused := flatten(im, o)
	if refused != nil {
		return nil, refused
	}
	c := f.candidates()
	l, ok := layOut(c, r.step, o.Screen, targets, o.Crosses)
	if !ok {
		return nil, r.noCrosses(o, targets)
	}
	a := &arms{ruling: r, screen: o.Screen, unit: float64(min(o.Screen.Width, o.Screen.Height)) / 1080}
	crosses := a.readAll(l, c, targets, o.Crosses)
	if len(crosses) < leastCrosses(len(targets)) {
		return nil, refuse(NoCross, "only %d of %d crosses can be read in the photo; take it so that all of them are in it and none lies under fabric, a ruler or glare, hold still, and come nearer", len(crosses), len(targets))
	}
	return a.judge(crosses, targets, o)
}

// dark reports whether a picture shows nothing.
func dark(p *plane) bool {
	values := make([]float64, 0, len(p.v)/16)
	for k := 0; k < len(p.v); k += 16 {
		values = append(values, float64(p.v[k]))
	}
	return stat.StdDev(values, nil) < darkest
}

// rule finds the printed lines.
func rule(full, small *plane, shrink float64, o Options) (*ruling, *Refusal) {
	e := small.evened(12)
	var best []*node
	var sign float64
	for k, s := range seeds(e) {
		if k == mostSeeds || len(best) > 8*leastNodes {
			break
		}
		if found := grow(e, s); len(found) > len(best) {
			best, sign = found, float64(s.sign)
		}
	}
	none := refuse(NoLines, "no printed grid was found in the photo, or too little of it; take it with the lights on and the flash off, the whole picture of crosses in it, in focus and held still, from not too far to the side")
	r := &ruling{full: full, camera: newCamera(full.w, full.h), sign: sign, step: o.Step}
	if len(best) < leastNodes || !r.start(best, shrink) {
		return nil, none
	}
	r.wholeLines(o.Fine)
	if !r.trace() {
		return nil, none
	}
	if r.spread > mostSpread {
		return nil, refuse(Unsharp, "the printed lines are off by %.1f pixels in the photo, too much to measure by: it is blurred, noisy, or the mat does not lie flat; lay the mat flat, turn up the lights, hold still and take it again", r.spread)
	}
	sx, sy, tx, ty := r.camera.slope(r.camera.cx, r.camera.cy)
	sum, diff := math.Hypot(sx+ty, sy-tx), math.Hypot(sx-ty, sy+tx)
	if sum+diff > mostTilted*math.Abs(sum-diff) {
		return nil, refuse(Unfit, "the printed lines don't look like squares: take the photo from higher above, less from the side")
	}
	return r, nil
}

// start fits the camera to the nodes.
func (r *ruling) start(found []*node, shrink float64) bool {
	var photo, lines [][2]float64
	marks := make([]mark, 0, 2*len(found))
	r.from, r.to = [2]int{found[0].i, found[0].j}, [2]int{found[0].i, found[0].j}
	for _, n := range found {
		x, y := n.x*shrink, n.y*shrink
		photo = append(photo, [2]float64{(x - r.camera.cx) / r.camera.radius, (y - r.camera.cy) / r.camera.radius})
		lines = append(lines, [2]float64{float64(n.i), float64(n.j)})
		marks = append(marks, mark{x: x, y: y, axis: 0, value: float64(n.i)}, mark{x: x, y: y, axis: 1, value: float64(n.j)})
		for k, v := range [2]int{n.i, n.j} {
			r.from[k], r.to[k] = min(r.from[k], v), max(r.to[k], v)
		}
	}
	h, ok := through(photo, lines)
	if !ok {
		return false
	}
	copy(r.camera.p[:8], h[:8])
	if _, ok = r.camera.straighten(marks, 8); !ok {
		return false
	}
	r.spread, ok = r.camera.straighten(marks, cameraN)
	return ok
}

// noCrosses says why no crosses are found; perhaps the grid is another one.
func (r *ruling) noCrosses(o Options, targets []calibrate.Target) *Refusal {
	var would []string
	for _, other := range grids {
		if other.step == o.Step {
			continue
		}
		r.step = other.step
		if _, ok := layOut(r.lay().candidates(), other.step, o.Screen, targets, o.Crosses); ok {
			would = append(would, other.name)
		}
	}
	if would != nil {
		return refuse(WrongGrid, "the crosses don't fit a picture of %v pixels on a mat with lines that far apart; they would with --grid %s", o.Screen, strings.Join(would, " or "))
	}
	return refuse(NoCross, "the mat's grid is in the photo, but not the %d crosses; show the sheet of 'lozenge calibrate target --for photo' over the whole screen, dim the lights a little, and take the photo so that all crosses are in it", len(targets))
}
