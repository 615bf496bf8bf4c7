// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
)

// Reading is a sewn and pressed strip set measured across at three places,
// raw edge to raw edge.
type Reading struct {
	StripSet            int // from 1, in cutting order
	Left, Middle, Right float64
}

func (r Reading) narrowest() float64 { return min(r.Left, r.Middle, r.Right) }
func (r Reading) widest() float64    { return max(r.Left, r.Middle, r.Right) }

// Bow is how much wider the middle is than the ends; below 0: narrower.
func (r Reading) Bow() float64 { return r.Middle - (r.Left+r.Right)/2 }

// Advice is what to do with a strip set that was measured.
type Advice struct {
	Reading
	SewAgain bool
	// Trim: how much to take off each side, where it is narrowest and where
	// it is widest. Both 0: leave it.
	TrimLeast, TrimMost float64
	Bowed               bool // by more than 1/16 in
}

// Measured is the plan for the strip sets as they were sewn.
type Measured struct {
	Plan    *Plan // cut to Width
	Width   float64
	Governs int // the strip set that is narrowest, from 1
	Advice  []Advice
}

// Limits of what is worth a remark, in inches and centimetres. From common
// practice, no source: 1/16 in is what a quilter sees on a ruler, 1/8 in what
// she would rather sew again.
func bowLimit(u geometry.Unit) float64   { return u.Of(1.0/16, 0.15) }
func againLimit(u geometry.Unit) float64 { return u.Of(1.0/8, 0.3) }
func trimLimit(u geometry.Unit) float64  { return u.Of(1.0/32, 0.08) }

// Measure plans anew from the strip sets as they were measured: the narrowest
// governs, the others are trimmed to it. One that is more than 1/8 in (3 mm)
// narrower than most is to be sewn again and does not govern. The error is an
// [*geometry.Error] whose Field is "strip_set N", or "strip_set" for all.
func (p *Plan) Measure(readings []Reading) (*Measured, error) {
	u := p.Spec.Unit
	nominal, err := p.Spec.stripSet(0)
	if err != nil {
		return nil, err
	}
	if len(p.Spec.Strips) < 2 {
		return nil, geometry.Wrong("strip_set", "a single strip has no seam whose width could be measured", "leave the widths out")
	}
	seen := map[int]bool{}
	for _, r := range readings {
		field := fmt.Sprintf("strip_set %d", r.StripSet)
		if r.StripSet < 1 || r.StripSet > len(p.Fewest.Layouts) {
			return nil, geometry.Wrong(field, fmt.Sprintf("the plan has strip sets 1 to %d", len(p.Fewest.Layouts)), "number them in cutting order")
		}
		if seen[r.StripSet] {
			return nil, geometry.Wrong(field, "it is measured twice", "keep one of the lines")
		}
		seen[r.StripSet] = true
		for _, w := range []float64{r.Left, r.Middle, r.Right} {
			switch {
			case !(w > 2*p.Spec.Seam):
				return nil, geometry.Wrong(field, fmt.Sprintf("%s leaves nothing between two seam allowances", geometry.FormatLength(w, u)), "measure across all strips, raw edge to raw edge")
			case w > nominal.Width+p.Spec.Seam:
				return nil, geometry.Wrong(field, fmt.Sprintf("%s is more than a seam allowance wider than the %s that exact seams make", geometry.FormatLength(w, u), geometry.FormatLength(nominal.Width, u)), "check the reading, the cut widths and the seam")
			}
		}
	}
	for n := 1; n <= len(p.Fewest.Layouts); n++ {
		if !seen[n] {
			return nil, geometry.Wrong(fmt.Sprintf("strip_set %d", n), "it is missing", "measure every strip set")
		}
	}
	if len(readings) == 0 {
		return nil, geometry.Wrong("strip_set", "there is nothing to measure", "see what the plan says of the strip sets")
	}

	m := &Measured{Width: math.Inf(1)}
	usual := median(readings)
	for _, r := range readings {
		if w := r.narrowest(); w >= usual-againLimit(u)-geometry.Fit && w < m.Width {
			m.Width, m.Governs = w, r.StripSet
		}
	}
	for _, r := range readings {
		a := Advice{Reading: r, Bowed: math.Abs(r.Bow()) > bowLimit(u)+geometry.Fit}
		switch {
		case r.narrowest() < usual-againLimit(u)-geometry.Fit:
			a.SewAgain = true
		case r.widest()-m.Width > trimLimit(u)+geometry.Fit:
			a.TrimLeast, a.TrimMost = (r.narrowest()-m.Width)/2, (r.widest()-m.Width)/2
		}
		m.Advice = append(m.Advice, a)
	}
	slices.SortFunc(m.Advice, func(a, b Advice) int { return a.StripSet - b.StripSet })

	spec := p.Spec
	spec.Columns, spec.Rows, spec.Finish = p.Columns, p.Rows, nil
	spec.SewnWidth = m.Width
	m.Plan, err = New(spec)
	return m, err
}

// median returns the middle of the narrowest widths.
func median(readings []Reading) float64 {
	var w []float64
	for _, r := range readings {
		w = append(w, r.narrowest())
	}
	slices.Sort(w)
	return w[len(w)/2]
}
