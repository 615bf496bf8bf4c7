// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"math"

	"lozenge/geometry"
)

// Yield is what a length of strip set gives, all cuts of one lean.
type Yield struct {
	Length       float64 // of strip set
	Plain        int     // diamonds in D...D
	OneTriangle  *int    // diamonds in U D...D; 0: the triangle alone fits; nil: not even that
	TwoTriangles *int    // diamonds in U D...D L, likewise
	Triangles    int     // edge triangles in the longer of U L U... and L U L...
	Staggered    *int    // diamonds when the strips are staggered; nil for one strip
}

// Yield returns what length gives. Exactly long enough is long enough.
func (s Set) Yield(length float64) Yield {
	y, r := Yield{Length: length}, newRuler(s)
	y.Plain = r.most(length, nil, nil)
	if n := r.most(length, []kind{upper}, nil); n >= 0 {
		y.OneTriangle = &n
	}
	if n := r.most(length, []kind{upper}, []kind{lower}); n >= 0 {
		y.TwoTriangles = &n
	}
	y.Plain = max(y.Plain, 0)
	y.Triangles = max(
		r.alternating(length, upper, lower),
		r.alternating(length, lower, upper))
	if len(s.Cuts) > 1 {
		n := s.staggered(length)
		y.Staggered = &n
	}
	return y
}

// with returns how long n diamonds between the given pieces are.
func (r *ruler) with(n int, before, after []kind) float64 {
	b := &builder{ruler: r}
	for _, p := range before {
		b.add(p)
	}
	if n > 0 {
		// Only the first and the last diamond can reach to an end.
		b.add(diamond)
		if n > 1 {
			b.skip(n - 2)
			b.add(diamond)
		}
	}
	for _, p := range after {
		b.add(p)
	}
	return b.length()
}

// most returns the largest number of diamonds between the given pieces that
// fit, -1 when those alone don't.
func (r *ruler) most(length float64, before, after []kind) int {
	alone := r.with(0, before, after)
	if len(before)+len(after) > 0 && !geometry.Fits(alone, length) {
		return -1
	}
	// Each diamond takes a cut side; what it adds or hides at the ends is
	// less than one more.
	n := int(max(math.Floor((length-alone)/r.side), 0)) + 2
	for n > 0 && !geometry.Fits(r.with(n, before, after), length) {
		n--
	}
	return n
}

// alternating returns how many edge triangles fit when uppers and lowers
// alternate.
func (r *ruler) alternating(length float64, first, second kind) int {
	b := &builder{ruler: r}
	for n := 0; ; n++ {
		b.add(first)
		if !geometry.Fits(b.length(), length) {
			return n
		}
		first, second = second, first
	}
}

// staggered returns how many diamonds a staggered strip set gives: at most
// kS + w/tan(angle) of the widest strip is needed for k.
func (s Set) staggered(length float64) int {
	n := int(max(math.Floor(length/s.CutSide()), 0)) + 1
	for n > 0 && !geometry.Fits(s.staggeredLength(n), length) {
		n--
	}
	return n
}

func (s Set) staggeredLength(diamonds int) float64 {
	widest := 0.0
	for _, w := range s.Cuts {
		widest = max(widest, w)
	}
	sin, cos := s.Angle.SinCos()
	return float64(float64(diamonds)*s.CutSide()) + float64(widest*cos)/sin
}

// Uses returns how long the strips must be for a strip set that is cut like
// that.
func (s Set) Uses(l Layout) float64 {
	if l.Staggered {
		return s.staggeredLength(len(l.Word))
	}
	row, err := NewRow(s, l.Lean, l.Word)
	if err != nil {
		return math.Inf(1)
	}
	return row.Length
}
