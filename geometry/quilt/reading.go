// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
)

// Reading is a sewn and pressed strip set as it was measured: across at three
// places, raw edge to raw edge, and, where that was done, where its seam lies
// and how far it bows. Lengths are in the pattern's unit.
type Reading struct {
	StripSet            int // from 1, in cutting order
	Left, Middle, Right float64
	// Seam is how far the seam of two strips lies from the first raw edge, where
	// Middle was measured; 0: it lies where it should.
	Seam float64
	Bow  float64 // the widest gap between a long edge and a straight ruler
}

func (r Reading) narrowest() float64 { return min(r.Left, r.Middle, r.Right) }
func (r Reading) widest() float64    { return max(r.Left, r.Middle, r.Right) }

// Uneven is how much the three widths differ.
func (r Reading) Uneven() float64 { return r.widest() - r.narrowest() }

// Limits of what is worth a remark, in inches and centimetres. From common
// practice, no source: 1/32 in is as fine as a ruler is read, 1/16 in what a
// quilter sees on it, 1/8 in what she would rather sew again.
func trimLimit(u geometry.Unit) float64   { return u.Of(1.0/32, 0.08) }
func unevenLimit(u geometry.Unit) float64 { return u.Of(1.0/16, 0.15) }
func againLimit(u geometry.Unit) float64  { return u.Of(1.0/8, 0.3) }

// checkReadings says what can't be so.
func (p *Plan) checkReadings(readings []Reading) error {
	nominal, err := p.Spec.stripSet(0)
	if err != nil {
		return err
	}
	if len(p.Spec.Strips) < 2 {
		return geometry.Wrong("strip_set", "a single strip has no seam whose width could be measured", "leave the widths out")
	}
	if len(readings) == 0 {
		return geometry.Wrong("strip_set", "no strip set is measured", "write down how wide one is, at three places")
	}
	seen := map[int]bool{}
	for _, r := range readings {
		field := fmt.Sprintf("strip_set %d", r.StripSet)
		length, a := p.Spec.length, p.Spec.Seam
		if n := len(p.Fewest.Layouts); r.StripSet < 1 || r.StripSet > n {
			return geometry.Wrong(field, fmt.Sprintf("the plan has strip sets 1 to %d", n), "number them in cutting order")
		}
		if seen[r.StripSet] {
			return geometry.Wrong(field, "it is measured twice", "keep one of the lines")
		}
		seen[r.StripSet] = true
		for _, w := range []float64{r.Left, r.Middle, r.Right} {
			switch {
			case !(w > 2*a):
				return geometry.Wrong(field, length(w)+" leaves nothing between two seam allowances", "measure across all strips, raw edge to raw edge")
			case w > nominal.Width+a:
				return geometry.Wrong(field, fmt.Sprintf("%s is more than a seam allowance wider than the %s that exact seams make", length(w), length(nominal.Width)), "check the reading, the cut widths and the seam")
			}
		}
		switch {
		case r.Seam != 0 && len(p.Spec.Strips) > 2:
			return geometry.Wrong(field, fmt.Sprintf("with %d strips trimming can't put every seam right", len(p.Spec.Strips)), "leave the column seam out")
		case r.Seam != 0 && !(r.Seam > a && r.Seam < r.Middle-a):
			return geometry.Wrong(field, fmt.Sprintf("its seam can't lie %s from the first raw edge", length(r.Seam)), "measure from the raw edge of the first strip to the seam, where you measured middle")
		case !(r.Bow >= 0 && r.Bow < nominal.Width):
			return geometry.Wrong(field, length(r.Bow)+" is no bow", "lay a straight ruler along a long edge and measure the widest gap")
		}
	}
	return nil
}

// offCentre returns how much farther the seam lies from the first raw edge than
// it would in a true strip set of that width. Of two strips half of what was
// sewn away is each one's, so that it would lie (w1 - w2 + width)/2 from it.
func (p *Plan) offCentre(r Reading) float64 {
	if r.Seam == 0 {
		return 0
	}
	return r.Seam - (p.Spec.Strips[0].Cut-p.Spec.Strips[1].Cut+r.Middle)/2
}

// usable returns how wide the strip set can be trimmed so that its seam lies
// where it belongs, to what a ruler shows: what is off comes off one side, and
// as much off the other's.
func (p *Plan) usable(r Reading) float64 {
	off := math.Abs(p.offCentre(r)) - trimLimit(p.Spec.Unit)
	return r.narrowest() - 2*max(off, 0)
}

// seamTaken returns the seam allowance that was taken in the middle of the
// readings, were the strips cut true.
func (p *Plan) seamTaken(readings []Reading) float64 {
	cut := 0.0
	for _, st := range p.Spec.Strips {
		cut += st.Cut
	}
	width := 0.0
	for _, r := range readings {
		width += (r.Left + r.Middle + r.Right) / 3
	}
	return (cut - width/float64(len(readings))) / float64(2*(len(p.Spec.Strips)-1))
}

// median returns the middle one.
func median(w []float64) float64 {
	w = slices.Sorted(slices.Values(w))
	return w[len(w)/2]
}
