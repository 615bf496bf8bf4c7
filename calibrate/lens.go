// SPDX-License-Identifier: Apache-2.0

package calibrate

import "math"

// What is believed of a home projector's lens before anything is read, as
// standard deviations about a lens that bends nothing. Makers' manuals state up
// to 2 % of distortion. The middle of the lens is off the picture's, mostly up
// or down, where the projector shifts its lens.
const (
	believedK1     = 0.01
	believedK2     = 0.007
	believedAcross = 1.0 / 20 // of the picture's width
	believedUp     = 1.0 / 4  // of its height
)

// lensParams is how many numbers a lens has: k1, k2 and the two coordinates of
// its middle.
const lensParams = 4

// A lens bends the normalised screen: with r the distance of p from the middle
// c, p becomes c + (p - c)(1 + k1 r² + k2 r⁴).
type lens struct {
	values [lensParams]float64 // k1, k2, c
	free   int                 // how many of them are fitted, from the first: 0, 1 or all
	// believed is how far each is believed to be off 0, as a standard deviation.
	believed [lensParams]float64
}

// centredLens returns a lens that bends nothing, whose k1 may be fitted.
func centredLens(fitted bool) lens {
	l := lens{believed: [lensParams]float64{believedK1}}
	if fitted {
		l.free = 1
	}
	return l
}

// wholeLens returns a lens with all its numbers to be fitted, beginning with
// k1.
func wholeLens(s Screen, k1 float64) lens {
	r := s.Radius()
	return lens{values: [lensParams]float64{k1}, free: lensParams, believed: [lensParams]float64{
		believedK1, believedK2, believedAcross * float64(s.Width) / r, believedUp * float64(s.Height) / r,
	}}
}

// bends reports whether the lens bends lines at all.
func (l *lens) bends() bool { return l.values[0] != 0 || l.values[1] != 0 }

// rim is how far the farthest corner of a screen can be from the middle of the
// lens, on the normalised screen.
func (l *lens) rim() float64 { return 1 + math.Hypot(l.values[2], l.values[3]) }

// shows reports whether the whole picture comes through such a lens without a
// fold, and some lens may bend so much.
func (l *lens) shows() bool {
	k1, k2 := l.values[0], l.values[1]
	if !finite(l.values[:]...) || math.Abs(k1) > mostLens || math.Abs(k2) > mostLens {
		return false
	}
	const places = 32
	for i := range places + 1 {
		r := l.rim() * float64(i) / places
		if 1+3*k1*r*r+5*k2*r*r*r*r < leastRadialSlope {
			return false
		}
	}
	return true
}

// bend returns where the lens sends a place.
func (l *lens) bend(px, py float64) (qx, qy float64) {
	x, y := px-l.values[2], py-l.values[3]
	r2 := x*x + y*y
	g := r2 * (l.values[0] + l.values[1]*r2)
	return px + x*g, py + y*g
}

// slope returns the derivative of bend by the place, (uu uv; uv vv).
func (l *lens) slope(px, py float64) (uu, uv, vv float64) {
	x, y := px-l.values[2], py-l.values[3]
	r2 := x*x + y*y
	g := 1 + r2*(l.values[0]+l.values[1]*r2)
	d := 2 * (l.values[0] + 2*l.values[1]*r2)
	return g + d*x*x, d * x * y, g + d*y*y
}

// rows is bend with its derivatives by the numbers of the lens that are fitted.
func (l *lens) rows(px, py float64, j *[2][lensParams]float64) (qx, qy float64) {
	x, y := px-l.values[2], py-l.values[3]
	r2 := x*x + y*y
	if l.free <= 1 {
		j[0][0], j[1][0] = x*r2, y*r2
		return l.bend(px, py)
	}
	uu, uv, vv := l.slope(px, py)
	j[0] = [lensParams]float64{x * r2, x * r2 * r2, 1 - uu, -uv}
	j[1] = [lensParams]float64{y * r2, y * r2 * r2, -uv, 1 - vv}
	return l.bend(px, py)
}

// unbend undoes bend: Newton's iteration for r (1 + k1 r² + k2 r⁴) = s, kept
// between bounds. Where the left side has a largest value, what lies beyond it
// is reached by no light, and ok is false.
func (l *lens) unbend(qx, qy float64) (px, py float64, ok bool) {
	x, y := qx-l.values[2], qy-l.values[3]
	s := math.Hypot(x, y)
	if !l.bends() || s == 0 {
		return qx, qy, true
	}
	k1, k2 := l.values[0], l.values[1]
	sent := func(r float64) float64 { return r * (1 + r*r*(k1+k2*r*r)) }
	low, high := 0.0, s
	if turn, turns := l.turn(); turns {
		if !(s < sent(turn)) {
			return 0, 0, false
		}
		high = turn
	}
	for sent(high) < s {
		high *= 2
	}
	r := min(s, high)
	for range 200 {
		r2 := r * r
		off := sent(r) - s
		if off > 0 {
			high = r
		} else {
			low = r
		}
		next := r - off/(1+r2*(3*k1+5*k2*r2))
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-r) <= 1e-16*r {
			break
		}
		r = next
	}
	return l.values[2] + x*r/s, l.values[3] + y*r/s, true
}

// turn returns the radius from which on a larger one is sent farther in.
func (l *lens) turn() (r float64, ok bool) {
	// 1 + 3 k1 t + 5 k2 t² = 0 for t = r²; the smaller positive root.
	a, b := 5*l.values[1], 3*l.values[0]
	if a == 0 {
		return math.Sqrt(-1 / b), b < 0
	}
	d := b*b - 4*a
	if d < 0 {
		return 0, false
	}
	// Neither root by a difference of like numbers.
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
	t := math.Inf(1)
	for _, root := range []float64{q / a, 1 / q} {
		if root > 0 {
			t = min(t, root)
		}
	}
	return math.Sqrt(t), !math.IsInf(t, 1)
}
