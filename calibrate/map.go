// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"lozenge/geometry"
)

// Model names what was fitted.
type Model string

// The models: a homography, and one after a lens with radial distortion.
const (
	Flat   Model = "H"
	Lensed Model = "H+k1"
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
}

// newMap returns the map of a fit whose mat coordinates are the mat's own.
// False means that it can't be turned round.
func newMap(s Screen, f fit, sigma, degrees float64, targets []geometry.Point) (*Map, bool) {
	m := &Map{screen: s, fit: f, sigma: sigma, degrees: degrees, targets: targets}
	h := f.h
	inv := [9]float64{
		h[4] - h[5]*h[7], h[2]*h[7] - h[1], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3], h[0] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	det := h[0]*inv[0] + h[1]*inv[3] + h[2]*inv[6]
	for i := range inv {
		m.inverse[i] = inv[i] / det
	}
	m.area = areaAround(s, targets)
	return m, finite(m.inverse[:]...) && len(m.area) >= 3
}

// Screen returns the size of the picture that the map is made for.
func (m *Map) Screen() Screen { return m.screen }

// Bends reports whether straight lines on the mat are curves on the screen,
// so that [Map.Polyline] subdivides them.
func (m *Map) Bends() bool { return m.fit.lens && m.fit.k1 != 0 }

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
	i := &m.inverse
	w := i[6]*x + i[7]*y + i[8] // 1/w of the model
	if !(w > 0) {
		return math.NaN(), math.NaN(), false
	}
	px, py, ok := m.unbend((i[0]*x+i[1]*y+i[2])/w, (i[3]*x+i[4]*y+i[5])/w)
	if !ok {
		return math.NaN(), math.NaN(), false
	}
	u, v = m.screen.pixels(px, py)
	return u, v, u >= -rim && v >= -rim && u <= float64(m.screen.Width)+rim && v <= float64(m.screen.Height)+rim
}

// rim is how far off the screen a place may seem by rounding, in pixels.
const rim = 1e-6

// unbend undoes the lens: Newton's iteration for r (1 + k1 r²) = s. For k1
// below 0 the left side has a largest value; what lies beyond it is reached
// by no light.
func (m *Map) unbend(qx, qy float64) (px, py float64, ok bool) {
	k := m.fit.k1
	s := math.Hypot(qx, qy)
	if k == 0 || s == 0 {
		return qx, qy, true
	}
	r := s
	if k < 0 {
		turn := 1 / math.Sqrt(-3*k)
		if s >= turn*2/3 {
			return 0, 0, false
		}
		// From 0 the iteration rises to the root without passing it.
		r = 0
	}
	for range 100 {
		step := (r*(1+k*r*r) - s) / (1 + 3*k*r*r)
		r -= step
		if math.Abs(step) <= 1e-16*r {
			break
		}
	}
	return qx * r / s, qy * r / s, true
}

// LocalError returns the distance, in inches, within which a line drawn at
// the place (x, y) of the mat lands 95 times in 100. It is NaN where the
// projector can't reach. Outside [Map.Area] it grows without being any use.
func (m *Map) LocalError(x, y float64) float64 {
	u, v, _ := m.ToScreen(x, y)
	return m.LocalErrorAt(u, v)
}

// LocalErrorAt is [Map.LocalError] for a place on the screen.
func (m *Map) LocalErrorAt(u, v float64) float64 {
	e := m.fit.spread(m.screen.normal(u, v))
	return m.sigma * math.Sqrt(e*exceededBy(0.05, m.degrees))
}

// Expected returns the error to expect over the calibrated area.
func (m *Map) Expected() ExpectedError { return m.expect() }

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
