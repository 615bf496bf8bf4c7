// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// Model names what was fitted.
type Model string

// The models: a homography, one after a lens with radial distortion, and one
// after a lens with two terms of it and a middle of its own.
const (
	Flat   Model = "H"
	Lensed Model = "H+k1"
	Whole  Model = "H+k1+k2+centre"
)

// Map goes between the screen (pixels, v down) and the mat (inches, y up).
// The zero Map is of no use; [Solve] and [File.Map] return Maps.
type Map struct {
	screen  Screen
	fit     fit              // normalised screen to mat, with the covariance
	inverse [9]float64       // mat to q
	sigma   float64          // of a reading, per axis, in
	degrees float64          // of freedom that sigma is known with; may be +Inf
	targets []geometry.Point // in the fit, in pixels
	area    geometry.Polygon
	promise *promise // nil where only H, or H and k1, is fitted
}

// newMap returns the map of a fit whose mat coordinates are the mat's own.
// False means that it can't be turned round.
func newMap(s Screen, f fit, sigma, degrees float64, targets []geometry.Point) (*Map, bool) {
	m := &Map{screen: s, fit: f, sigma: sigma, degrees: degrees, targets: targets}
	m.inverse = f.inverse()
	m.area = areaAround(s, targets)
	return m, finite(m.inverse[:]...) && len(m.area) >= 3
}

// Screen returns the size of the picture that the map is made for.
func (m *Map) Screen() Screen { return m.screen }

// Bends reports whether straight lines on the mat are curves on the screen,
// so that [Map.Polyline] subdivides them.
func (m *Map) Bends() bool { return m.fit.lens.bends() }

// ToMat returns the place on the mat, in inches, that the pixel coordinates
// (u, v) light up.
func (m *Map) ToMat(u, v float64) (x, y float64) {
	x, y, _ = m.fit.at(m.screen.normal(u, v))
	return x, y
}

// ToScreen returns the pixel coordinates that light up a place on the mat. ok
// is false when the projector can't reach it: it lies off the screen, or
// behind the plane in which the projector sees the mat edge on. u and v are
// then NaN, or where the place would be if the screen were larger.
func (m *Map) ToScreen(x, y float64) (u, v float64, ok bool) {
	px, py, ok := m.fit.back(&m.inverse, x, y)
	if !ok {
		return math.NaN(), math.NaN(), false
	}
	u, v = m.screen.pixels(px, py)
	return u, v, u >= -rim && v >= -rim && u <= float64(m.screen.Width)+rim && v <= float64(m.screen.Height)+rim
}

// rim is how far off the screen a place may seem by rounding, in pixels.
const rim = 1e-6

// LocalError returns the distance, in inches, within which a line drawn at
// the place (x, y) of the mat lands 95 times in 100. It is NaN where the
// projector can't reach. Outside [Map.Area] it grows without being any use.
func (m *Map) LocalError(x, y float64) float64 {
	u, v, _ := m.ToScreen(x, y)
	return m.LocalErrorAt(u, v)
}

// LocalErrorAt is [Map.LocalError] for a place on the screen.
func (m *Map) LocalErrorAt(u, v float64) float64 {
	if !finite(u, v) {
		return math.NaN()
	}
	return m.LocalErrorsAt([]geometry.Point{{X: u, Y: v}})[0]
}

// LocalErrorsAt is LocalErrorAt for many places at once, which is quicker.
func (m *Map) LocalErrorsAt(places []geometry.Point) []float64 {
	var at []geometry.Point
	for _, p := range places {
		x, y := m.screen.normal(p.X, p.Y)
		at = append(at, geometry.Point{X: x, Y: y})
	}
	if m.promise != nil {
		return m.promise.locals(at)
	}
	var out []float64
	for _, p := range at {
		out = append(out, m.sigma*math.Sqrt(m.fit.spread(p.X, p.Y)*exceededBy(0.05, m.degrees)))
	}
	return out
}

// Mirrored reports whether the picture comes out as a mirror image on the
// mat, y up: the determinant of the derivative is positive in the middle of
// the screen. Lettering shows whether y was only read downwards.
func (m *Map) Mirrored() bool { return middleDeterminant(&m.fit) > 0 }

// middleDeterminant is the determinant of the derivative of the mat by the
// normalised screen in its middle, in². Its root is the scale there.
func middleDeterminant(f *fit) float64 {
	h := f.h
	return (h[0]-h[2]*h[6])*(h[4]-h[5]*h[7]) - (h[1]-h[2]*h[7])*(h[3]-h[5]*h[6])
}
