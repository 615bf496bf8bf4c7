// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// What the model can't follow, an uneven mat above all, is a random field over
// the mat: a height, of a size that is not known, on the slant of the light.
// Heights so many inches apart are alike as half a bell of each of these
// widths says.
const (
	shortWaves = 3.0 // in
	longWaves  = 7.0 // in
	upright    = 0.02
	usualThrow = 1.5 // the projector's height in widths of its picture
)

// misfitSizes are the heights, in inches, that the field may have, and how much
// each is believed. None is 0: with 9 to 25 crosses residuals can't show that
// nothing is wrong between them.
var misfitSizes = []misfitSize{{0.008, 0.1}, {0.02, 0.2}, {0.035, 0.3}, {0.055, 0.25}, {0.08, 0.1}, {0.12, 0.05}}

type misfitSize struct{ size, believed float64 }

// fineSizes are those for crosses in a photo. They are so exact that residuals
// show an uneven mat, and a flat one must be possible.
var fineSizes = []misfitSize{{0.001, 0.15}, {0.0025, 0.2}, {0.005, 0.2}, {0.01, 0.15}, {0.02, 0.1}, {0.035, 0.1}, {0.055, 0.05}, {0.08, 0.03}, {0.12, 0.02}}

// movedSizes are those where crosses were moved too, to half a pixel, and how
// much each is believed with few and with all of them moved: more exact than
// typed readings, less so than a photo. With all of them moved most of what is
// believed lies at either end, which TestSimulationMoved bears out: what lies
// between would make a flat mat look worse and an uneven one better than they are.
var movedSizes = []struct{ size, few, all float64 }{
	{0.003, 0.05, 0.1}, {0.015, 0.22, 0.16}, {0.03, 0.33, 0.15}, {0.055, 0.25, 0.29}, {0.08, 0.1, 0.2}, {0.12, 0.05, 0.1},
}

// sizesMoved returns the sizes where a part of the crosses was moved. What one or
// two show is little.
func sizesMoved(part float64) (out []misfitSize) {
	for _, m := range movedSizes {
		out = append(out, misfitSize{m.size, m.few + part*part*(m.all-m.few)})
	}
	return out
}

// patternSize is the height from which on a misfit is no matter of reading.
const patternSize = 0.055

// patternShows is how likely such a misfit must be to be spoken of.
const patternShows = 0.8

// alike returns how much heights are alike that are so far apart.
func alike(a, b geometry.Point) float64 {
	d := b.Sub(a)
	d2 := d.Dot(d)
	return (math.Exp(-d2/(2*shortWaves*shortWaves)) + math.Exp(-d2/(2*longWaves*longWaves))) / 2
}

// A slantedPlace is a place on the mat and how far, to each side, light strays
// there for a height of 1.
type slantedPlace struct{ at, slant geometry.Point }

// together returns the covariance of the field at two places, for a height of
// 1 in.
func (p slantedPlace) together(o slantedPlace) (xx, xy, yx, yy float64) {
	k := alike(p.at, o.at)
	return k * (p.slant.X*o.slant.X + upright), k * p.slant.X * o.slant.Y,
		k * p.slant.Y * o.slant.X, k * (p.slant.Y*o.slant.Y + upright)
}

// hanging returns where the projector hangs: its foot on the mat and its height
// above it, from the homography and a usual throw (Hartley and Zisserman,
// Multiple View Geometry, section 8.1: the columns of the inverse are two axes
// of the mat and its origin as the projector sees them).
func (f *fit) hanging(s Screen) (foot geometry.Point, height float64) {
	inverse := f.inverse()
	focal := usualThrow * float64(s.Width) / s.Radius()
	var axis [3][3]float64 // the columns
	for c := range 3 {
		axis[c] = [3]float64{inverse[c] / focal, inverse[3+c] / focal, inverse[6+c]}
	}
	dot := func(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	// The projector is where a x + b y + n z + t is 0, with n square to both axes.
	a, b, t := axis[0], axis[1], axis[2]
	n := [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	aa, ab, bb, nn := dot(a, a), dot(a, b), dot(b, b), dot(n, n) // nn = aa bb - ab²
	foot = geometry.Point{X: (ab*dot(b, t) - bb*dot(a, t)) / nn, Y: (ab*dot(a, t) - aa*dot(b, t)) / nn}
	return foot, math.Abs(dot(n, t)) * math.Pow(nn, -0.75)
}
