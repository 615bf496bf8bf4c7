// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// String returns the colour as #rrggbb.
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]) }

// assign gives each piece the strip set that it is cut from, so that the
// colours lie as the order asks.
func assign(pieces []Placement, sets []strip.Layout, spec Spec) {
	laying := make([]int, len(sets))
	for i := range laying {
		laying[i] = i
	}
	if spec.ColourOrder == Gradient {
		// All strip sets of the first colours first; cutting order within.
		period := spec.colourPeriod()
		slices.SortStableFunc(laying, func(a, b int) int { return cmp.Compare(a%period, b%period) })
	}
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			var from []int
			for _, k := range laying {
				for range sets[k].Gives[lean][shape] {
					from = append(from, k)
				}
			}
			if spec.ColourOrder == Scattered {
				scatter(from)
			}
			next := 0
			for i := range pieces {
				if p := &pieces[i]; p.Lean == lean && p.Shape == shape && next < len(from) {
					p.StripSet = from[next]
					next++
				}
			}
		}
	}
}

// scatter shuffles the same way every time (Fisher and Yates, from a fixed
// seed).
func scatter(v []int) {
	src := rand.NewPCG(60, 30)
	for i := len(v) - 1; i > 0; i-- {
		j := int(src.Uint64() % uint64(i+1))
		v[i], v[j] = v[j], v[i]
	}
}

// colourPeriod returns after how many strip sets the same colours come round
// again: the least common multiple of the fabrics' numbers of colours,
// bounded, since more strip sets than that are never cut.
func (s Spec) colourPeriod() int {
	const most = 1 << 20
	period := 1
	for _, st := range s.Strips {
		f, _ := s.fabric(st.Fabric)
		n := max(len(f.Colours), 1)
		a, b := period, n
		for b != 0 {
			a, b = b, a%b
		}
		if period = period / a * n; period > most {
			return most
		}
	}
	return period
}

// Colours returns the colour of each strip, lowest first, in a piece cut from
// strip set k, from 0 in cutting order.
func (p *Plan) Colours(k int) []Colour {
	if k < len(p.sewn) && p.sewn[k].Colours != nil {
		return p.sewn[k].Colours
	}
	return p.Spec.Colours(k)
}

// Colours returns the colour of each strip, lowest first, in strip set k of a
// plan that sews them in turn: colour k mod n of a fabric with n colours.
func (s Spec) Colours(k int) []Colour {
	out := make([]Colour, len(s.Strips))
	for i, st := range s.Strips {
		if f, ok := s.fabric(st.Fabric); ok && len(f.Colours) > 0 {
			out[i] = f.Colours[k%len(f.Colours)]
		}
	}
	return out
}
