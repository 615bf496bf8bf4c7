// SPDX-License-Identifier: Apache-2.0

package geometry

import "math"

// Angle is an angle in degrees. Its methods give the same bits on every
// processor, which math.Sin does not promise.
type Angle float64

// Sin returns the sine, within 2 units in the last place for -360..360.
func (a Angle) Sin() float64 { s, _ := a.SinCos(); return s }

// Cos returns the cosine, within 2 units in the last place for -360..360.
func (a Angle) Cos() float64 { _, c := a.SinCos(); return c }

// Tan returns the tangent; at 90 degrees it is +Inf.
func (a Angle) Tan() float64 { s, c := a.SinCos(); return s / c }

// SinCos returns sine and cosine. Multiples of 30 and 45 degrees come out as
// the nearest float64 of the exact value, so that 90 degrees has cosine 0.
func (a Angle) SinCos() (sin, cos float64) {
	deg := float64(a)
	turns := math.Floor(deg / 90)
	rest := deg - float64(turns*90) // 0 <= rest < 90
	sin, cos = quadrant(rest)
	switch int64(turns) & 3 {
	case 1:
		sin, cos = cos, -sin
	case 2:
		sin, cos = -sin, -cos
	case 3:
		sin, cos = -cos, sin
	}
	// Adding 0 turns -0 into 0.
	return sin + 0, cos + 0
}

func quadrant(deg float64) (sin, cos float64) {
	switch deg {
	case 0:
		return 0, 1
	case 30:
		return 0.5, math.Sqrt(3) / 2
	case 45:
		return math.Sqrt2 / 2, math.Sqrt2 / 2
	case 60:
		return math.Sqrt(3) / 2, 0.5
	}
	if deg > 45 {
		cos, sin = taylor(90 - deg)
		return sin, cos
	}
	return taylor(deg)
}

// taylor sums the series of sine and cosine for 0..45 degrees, smallest term
// first. The first term left out is below 1e-19.
func taylor(deg float64) (sin, cos float64) {
	x := deg * (math.Pi / 180)
	xx := x * x
	s, c := 0.0, 0.0
	for n := 18; n >= 2; n -= 2 {
		c = float64((1+c)*-xx) / float64(n*(n-1))
		s = float64((1+s)*-xx) / float64(n*(n+1))
	}
	return x + float64(x*s), 1 + c
}

// FromGrain returns the angle in degrees, 0 to 90, between two directions of
// which one is a degrees from the strip's length. 0 and 90 lie on the grain
// of the fabric; anything else is bias.
func (a Angle) FromGrain() float64 {
	d := math.Mod(math.Abs(float64(a)), 180)
	if d > 90 {
		d = 180 - d
	}
	return d
}
