// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"math"
	"slices"

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
	y.Plain = r.most(length, 0, upper)
	if n := r.most(length, 1, upper); n >= 0 {
		y.OneTriangle = &n
	}
	if n := r.most(length, 2, upper); n >= 0 {
		y.TwoTriangles = &n
	}
	y.Triangles = geometry.Last(math.MaxInt32, 1, func(n int) bool {
		return max(r.most(length, n, upper), r.most(length, n, lower)) >= 0
	})
	if len(s.Cuts) > 1 {
		n := s.staggered(length)
		y.Staggered = &n
	}
	return y
}

// with returns how long a row of n diamonds and t edge triangles is, which
// alternate, beginning with first. The diamonds stand in the first gap that
// opens on a crosscut: before a lower, behind an upper.
func (r *ruler) with(n, t int, first kind) float64 {
	b := &builder{ruler: r}
	if t > 0 && first == upper {
		b.add(upper)
		t, first = t-1, lower
	}
	if n > 0 {
		// Only the first and the last diamond can reach to an end.
		b.add(diamond)
		if n > 1 {
			b.skip(n - 2)
			b.add(diamond)
		}
	}
	for range t {
		b.add(first)
		first = other(first)
	}
	return b.high - b.low
}

// most returns the most diamonds that fit beside t edge triangles that
// alternate, beginning with first; -1 when those don't fit.
func (r *ruler) most(length float64, t int, first kind) int {
	alone := r.with(0, t, first)
	if t > 0 && !geometry.Fits(alone, length) {
		return -1
	}
	// Each diamond takes a cut side; what it adds or hides at the ends is
	// less than one more.
	n := int(max(math.Floor((length-alone)/r.side), 0)) + 2
	for n > 0 && !geometry.Fits(r.with(n, t, first), length) {
		n--
	}
	return n
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
	sin, cos := s.Angle.SinCos()
	return float64(float64(diamonds)*s.CutSide()) + float64(slices.Max(s.Cuts)*cos)/sin
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
