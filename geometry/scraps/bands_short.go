// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry/quilt"
)

// short returns what fresh cloth the assignment uses, in strips as long as is
// used of them, or whole ones.
func (b *bander) short(one *banded, whole bool) []Short {
	used := one.made.used(len(b.length)) // fresh lanes are numbered behind the others
	var out []Short
	for f, own := range b.of {
		var strips []float64
		for _, l := range b.hues[own[len(own)-1]].lanes {
			switch {
			case used[l.id] <= 0:
			case whole:
				strips = append(strips, unticks(l.length))
			default:
				strips = append(strips, used[l.id])
			}
		}
		if strips != nil {
			out = append(out, b.bin.short(f, strips))
		}
	}
	return out
}

// banded plans the quilt with one cloth in each band. rest is the plan without
// regard to bands: no plan with them does better than its bounds.
func (b *bin) banded(p *quilt.Plan, rest *cutPlan, tries int) (*bander, *banded) {
	bd := newBander(b, p)
	one := bd.assign(tries)
	one.made.bound, one.made.never = b.boundOf(p, rest, one.made), rest.never
	return bd, one
}

// boundOf returns the bound of a plan with bands, given one without.
func (b *bin) boundOf(p *quilt.Plan, rest, made *cutPlan) Bound {
	need := p.Need.With(p.Spec.Spare)
	t := b.task(need, b.cutUp(balanced, need.Total()))
	fewest := min(rest.bound.Sets, len(made.sets))
	return Bound{fewest, t.leastLength(fewest, len(made.sets))}
}

// shortOfBands is the shortfall of a quilt of bands: what fresh cloth the best
// assignment takes, or a plainer one, whichever with what is added turns out
// to be enough.
func (b *bin) shortOfBands(bd *bander, one *banded) []Short {
	enough := func(short []Short) bool {
		more, err := newBin(b.plan, b.added(short))
		return err == nil && newBander(more, b.plan).assign(mostTries).enough()
	}
	var all []*banded
	for _, s := range beginnings() {
		if try := bd.try(bd.start(s)); try.missing == 0 {
			all = append(all, try)
		}
	}
	slices.SortStableFunc(all, func(a, b *banded) int { return cmp.Compare(a.added, b.added) })
	if one.missing == 0 {
		all = slices.Insert(all, 0, one)
	}
	for _, try := range all[:min(len(all), mostPlainer+1)] {
		for _, whole := range []bool{false, true} {
			if short := bd.short(try, whole); enough(short) {
				return short
			}
		}
	}
	return nil
}

// mostPlainer bounds the assignments that shortOfBands looks at.
const mostPlainer = 4

// largestBands finds the largest quilt with one cloth in each band, of those
// that it tries a few assignments of. It is never proven to be the largest,
// unless none is larger even without regard to bands.
func (b *bin) largestBands() (*found, *bander, *banded, error) {
	rest := b.largest()
	if rest == nil {
		return nil, nil, nil, nil
	}
	for i, size := range rest.sizes {
		if i == mostBandSizes {
			break
		}
		p, err := b.sized(size)
		if err != nil {
			return nil, nil, nil, err
		}
		if !newBander(b, p).assign(fewTries).enough() {
			continue
		}
		bd, one := b.banded(p, b.solve(p.Need.With(p.Spec.Spare)), mostTries)
		return &found{size: size, plan: one.made, proven: rest.proven && i == 0}, bd, one, nil
	}
	return nil, nil, nil, nil
}
