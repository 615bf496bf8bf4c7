// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"math"
	"reflect"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

const (
	// shortWork is the work of the dives of one attempt with added strips.
	shortWork = 3e7
	// mostMore bounds how often more is added, mostLess how often less is
	// tried after that.
	mostMore = 40
	mostLess = 3
)

// grain is what added lengths are rounded up to.
func (b *bin) grain() float64 { return b.plan.Spec.Unit.Of(0.25, 0.5) }

// bolt returns how long a new strip of a fabric is.
func (b *bin) bolt(key string) float64 {
	spec := b.plan.Spec
	i := slices.IndexFunc(spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == key })
	if i >= 0 && spec.Fabrics[i].StripLength > 0 {
		return spec.Fabrics[i].StripLength
	}
	return spec.UsableWidth
}

// shortfall finds how much of each fabric to add so that the need can be met:
// little, though not always the least. It returns nil when strips as long as
// the pattern's are too short for a piece.
func (b *bin) shortfall(n strip.Count) []Short {
	longest := math.Inf(1)
	for _, f := range b.fabrics {
		longest = min(longest, b.bolt(f.key))
	}
	spec := b.plan.Spec
	if !b.plan.Set.Fewest(n, strip.Terms{Length: longest - spec.EndTrim, MixLeans: spec.MixLeans}).OK() {
		return nil
	}
	least := b.leastShort(n, longest)
	add := slices.Clone(least)
	var found []Short
	enough := func(add []float64) bool {
		for _, even := range []bool{false, true} {
			s := b.adding(add, even)
			if even && reflect.DeepEqual(s, b.adding(add, false)) {
				break
			}
			if b.makes(s, n) {
				found = s
				return true
			}
		}
		return false
	}
	step := b.plan.Set.CutSide()
	for tries := 0; !enough(add); tries++ {
		any := slices.ContainsFunc(add, func(v float64) bool { return v > 0 })
		for f := range add {
			if add[f] > 0 || !any || tries%4 == 3 {
				add[f] += step
			}
		}
		if tries == mostMore {
			return nil
		}
		if tries%8 == 7 {
			step *= 2
		}
	}
	best := found
	for f := range add {
		low, high := least[f], add[f]
		for range mostLess {
			if high-low < 2*b.grain() {
				break
			}
			try := slices.Clone(add)
			try[f] = (low + high) / 2
			if enough(try) {
				high, best, add = try[f], found, try
			} else {
				low = try[f]
			}
		}
	}
	return best
}

// leastShort returns, for each fabric, how much the relaxation adds: all
// together never more than is needed.
func (b *bin) leastShort(n strip.Count, longest float64) []float64 {
	cloths := b.cutUp(balanced, n.Total())
	spec := b.plan.Spec
	real, _ := b.table(n, max(longest, unticks(longestSet(cloths)))).thin(mostLengths)
	t := newTask(real, newNeed(n, spec.Angle == 60, spec.MixLeans), cloths)
	r := t.relax(t.pools(true), nil, 0)
	type bought struct {
		column, cloth int
		length        float64
	}
	var all []bought
	for c := range cloths {
		for k, length := range t.lengths {
			if !geometry.Fits(unticks(length), b.bolt(b.fabrics[c].key)) {
				break
			}
			col := linear.Column{Cost: unticks(length)}
			for i, f := range t.families {
				if f.cloth == c {
					for class := range k + 1 {
						col.Row, col.Entry = append(col.Row, int32(r.link(i, class))), append(col.Entry, 1)
					}
				}
			}
			all = append(all, bought{len(r.Columns), c, unticks(length)})
			r.Add(col)
			r.means = append(r.means, meaning{pool: -1})
		}
	}
	r.run([2]float64{1e-3, 1e-3}, steps(r))
	levels := r.Levels()
	out := make([]float64, len(cloths))
	for _, one := range all {
		out[one.cloth] += float64(levels[one.column] * one.length)
	}
	for i := range out {
		if out[i] < 1e-3 {
			out[i] = 0
		}
	}
	return out
}

// adding turns lengths to add into strips: whole ones and a shorter one, or all
// alike.
func (b *bin) adding(add []float64, even bool) []Short {
	var out []Short
	g := b.grain()
	for f, v := range add {
		if v <= geometry.Fit {
			continue
		}
		whole := b.bolt(b.fabrics[f].key)
		s := Short{Fabric: b.fabrics[f].key, Width: b.fabrics[f].widths[len(b.fabrics[f].widths)-1]}
		n := int(math.Ceil(v/whole - geometry.Fit))
		for i := range n {
			l := whole
			switch {
			case even && v-float64(whole*float64(n-1)) < whole/2:
				l = v / float64(n)
			case i == n-1:
				l = v - float64(whole*float64(n-1))
			}
			s.Strips = append(s.Strips, min(math.Ceil(l/g-geometry.Fit)*g, whole))
		}
		for _, l := range s.Strips {
			s.Length += l
		}
		out = append(out, s)
	}
	return out
}

// added are the scraps together with what is added.
func (b *bin) added(short []Short) []Scrap {
	all := slices.Clone(b.scraps)
	for _, s := range short {
		for _, l := range s.Strips {
			all = append(all, Scrap{Fabric: s.Fabric, Width: s.Width, Length: l, Count: 1})
		}
	}
	return all
}

// makes reports whether the need is met with what is added.
func (b *bin) makes(short []Short, n strip.Count) bool {
	more, err := newBin(b.plan, b.added(short))
	if err != nil {
		return false
	}
	spec := b.plan.Spec
	for p := range policies {
		cloths := more.cutUp(p, n.Total())
		t := newTask(more.table(n, unticks(longestSet(cloths))), newNeed(n, spec.Angle == 60, spec.MixLeans), cloths)
		a := answer{bound: 1, any: true, work: shortWork, never: len(t.lengths) == 0}
		if t.greedy(&a); !a.closed() {
			t.relaxations(&a)
		}
		if a.found {
			return true
		}
		if a.never || t.plain() {
			return false
		}
	}
	return false
}
