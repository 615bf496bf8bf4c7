// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"fmt"

	"lozenge/geometry"
)

// Set is a strip set: strips sewn together lengthwise, lowest first, and how
// it is cut.
type Set struct {
	geometry.Cutting
	Cuts []float64 // cut widths of the strips, before sewing
}

// New returns the strip set of the given cut widths, each more than two seam
// allowances. Its width is W = sum(cuts) - 2a(n-1), a being the seam allowance,
// and seam k lies at w1 + ... + wk - (2k-1)a.
//
// When sewn is not 0 it is the width measured after pressing: the cuts follow
// it, and the seam lines follow the allowance a' = (sum(cuts) - sewn)/(2(n-1))
// that was really taken. The allowance of later seams stays a.
func New(cuts []float64, seam float64, angle geometry.Angle, tips geometry.Tips, sewn float64) (Set, error) {
	if len(cuts) == 0 {
		return Set{}, fmt.Errorf("a strip set needs at least one strip")
	}
	sum := 0.0
	for _, w := range cuts {
		sum += w
	}
	joins := float64(len(cuts) - 1)
	taken := seam
	width := sum - float64(2*seam*joins)
	if sewn != 0 {
		if len(cuts) < 2 {
			return Set{}, fmt.Errorf("a sewn width of %v needs two or more strips", sewn)
		}
		width = sewn
		taken = (sum - sewn) / (2 * joins)
	}
	set := Set{
		Cutting: geometry.Cutting{Width: width, Seam: seam, Angle: angle, Tips: tips},
		Cuts:    cuts,
	}
	y := 0.0
	for k, w := range cuts[:len(cuts)-1] {
		y += w
		set.Seams = append(set.Seams, y-float64(float64(2*k+1)*taken))
	}
	return set, set.Validate()
}

// Bands returns the heights between which strip i shows, seam to seam, for
// every strip: Bands()[i] is its lower and upper edge. The outer bands reach
// to the raw edges.
func (s Set) Bands() [][2]float64 {
	var out [][2]float64
	low := 0.0
	for _, y := range s.Seams {
		out = append(out, [2]float64{low, y})
		low = y
	}
	return append(out, [2]float64{low, s.Width})
}

// Offset returns how far strip i is shifted along the strip in a staggered
// strip set: to the right for right-leaning cuts, each strip by
// (w - 2a)/tan(angle) of the one below.
func (s Set) Offset(i int) float64 {
	sin, cos := s.Angle.SinCos()
	sum := 0.0
	for _, w := range s.Cuts[:i] {
		sum += float64((w - float64(2*s.Seam)) * cos)
	}
	return sum / sin
}
