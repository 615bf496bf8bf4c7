// SPDX-License-Identifier: Apache-2.0

package scene

import "math"

// An eye is the camera, ready for rays.
type eye struct {
	s      *Scene
	h      [9]float64 // places before the lens, over half the diagonal, to the mat
	radius float64
	lens   [lensSteps + 2]float64 // how much nearer to its middle a place is before the lens, by r²
}

// The table of the lens: its error is far below a thousandth of a pixel.
const (
	lensSteps = 2048
	lensUpTo  = 1.5
)

func (s *Scene) eye() *eye {
	c := &eye{s: s, radius: math.Hypot(float64(s.Width), float64(s.Height)) / 2}
	focal := s.Distance / s.Across * float64(s.Width) / c.radius
	axes := [3][3]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}} // right, down, forward
	for i := range axes {
		for axis, angle := range [3]float64{s.TiltX, s.TiltY, s.Turn} {
			axes[i] = turned(axes[i], axis, angle*math.Pi/180)
		}
	}
	// The middle of the photo sees (LookX, LookY), Distance away. A ray through
	// (x, y) goes along right x + down y + forward focal, until its height is 0.
	f := axes[2]
	at := [3]float64{s.LookX - f[0]*s.Distance, s.LookY - f[1]*s.Distance, -f[2] * s.Distance}
	for k, part := range [3]float64{1, 1, focal} {
		up := axes[k][2] * part
		c.h[k] = at[0]*up - at[2]*axes[k][0]*part
		c.h[3+k] = at[1]*up - at[2]*axes[k][1]*part
		c.h[6+k] = up
	}
	for i := range c.lens {
		c.lens[i] = s.beforeLens(math.Sqrt(lensUpTo * float64(i) / lensSteps))
	}
	return c
}

func turned(v [3]float64, axis int, angle float64) [3]float64 {
	sin, cos := math.Sincos(angle)
	i, j := (axis+1)%3, (axis+2)%3
	v[i], v[j] = cos*v[i]-sin*v[j], sin*v[i]+cos*v[j]
	return v
}

// beforeLens returns how far from the lens's middle, as a part of r, a place was
// before the lens that is r from it now.
func (s *Scene) beforeLens(r float64) float64 {
	if r == 0 {
		return 1
	}
	q := r
	for range 12 {
		q2 := q * q
		q -= (q*(1+q2*(s.K1+q2*s.K2)) - r) / (1 + q2*(3*s.K1+q2*5*s.K2))
	}
	return q / r
}

// ToMat returns where the mat is seen at a place of the photo, whole numbers
// between pixels.
func (s *Scene) ToMat(x, y float64) (mx, my float64) { return s.eye().toMat(x, y) }

func (c *eye) toMat(x, y float64) (mx, my float64) {
	s := c.s
	dx, dy := (x-float64(s.Width)/2)/c.radius-s.CentreX, (y-float64(s.Height)/2)/c.radius-s.CentreY
	r := min((dx*dx+dy*dy)*(lensSteps/lensUpTo), lensSteps)
	k := int(r)
	g := c.lens[k] + (r-float64(k))*(c.lens[k+1]-c.lens[k])
	dx, dy = dx*g+s.CentreX, dy*g+s.CentreY
	w := 1 / (c.h[6]*dx + c.h[7]*dy + c.h[8])
	return (c.h[0]*dx + c.h[1]*dy + c.h[2]) * w, (c.h[3]*dx + c.h[4]*dy + c.h[5]) * w
}
