// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
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
	// mostNeedful is the pieces of a quilt for which it is looked into closely
	// whether a strip is needed, mostDropped how many of a fabric in a row are.
	mostNeedful = 400
	mostDropped = 3
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
	add, best := b.more(least, n)
	for f := range add {
		low, high := least[f], add[f]
		for range mostLess {
			if high-low < 2*b.grain() {
				break
			}
			try := slices.Clone(add)
			try[f] = (low + high) / 2
			if short, ok := b.enough(try, n); ok {
				high, best, add = try[f], short, try
			} else {
				low = try[f]
			}
		}
	}
	return b.needful(best, n)
}

// needful leaves away every strip without which there is enough as well, the
// shortest first; of large quilts only the shortest of each fabric are looked at.
func (b *bin) needful(short []Short, n strip.Count) []Short {
	enough := func(short []Short) bool {
		if n.Total() > mostNeedful {
			return b.makes(short, n)
		}
		more, err := newBin(b.plan, b.added(short))
		return err == nil && more.solve(n).found
	}
	for f := range short {
		tries := mostDropped
		for i := len(short[f].Strips) - 1; i >= 0 && tries > 0; i-- {
			fewer := slices.Clone(short)
			one := &fewer[f]
			one.Length -= one.Strips[i]
			one.Strips = slices.Delete(slices.Clone(one.Strips), i, i+1)
			if tries--; enough(fewer) {
				short, tries = fewer, mostDropped
			}
		}
	}
	return slices.DeleteFunc(short, func(s Short) bool { return len(s.Strips) == 0 })
}

// more adds to each fabric, in steps that grow, until there is enough; it gives
// up after a while. Fabrics of which there is enough get something every fourth
// time.
func (b *bin) more(add []float64, n strip.Count) ([]float64, []Short) {
	add = slices.Clone(add)
	nothing := slices.Max(add) <= 0
	step := b.plan.Set.CutSide()
	for tries := 0; ; tries++ {
		if short, ok := b.enough(add, n); ok {
			return add, short
		}
		if tries == mostMore {
			return nil, nil
		}
		for f := range add {
			if add[f] > 0 || nothing || tries%4 == 3 {
				add[f] += step
			}
		}
		nothing = false
		if tries%8 == 7 {
			step *= 2
		}
	}
}

// enough returns what is bought so that so much is added, and whether the need
// is met then.
func (b *bin) enough(add []float64, n strip.Count) ([]Short, bool) {
	whole, even := b.adding(add, false), b.adding(add, true)
	if b.makes(whole, n) {
		return whole, true
	}
	return even, !reflect.DeepEqual(whole, even) && b.makes(even, n)
}

// leastShort returns, for each fabric, how much the relaxation adds: all
// together never more than is needed.
func (b *bin) leastShort(n strip.Count, longest float64) []float64 {
	cloths := b.cutUp(balanced, n.Total())
	real, _ := b.table(n, max(longest, unticks(longestSet(cloths)))).thin(mostLengths)
	t := newTask(real, b.need(n), cloths)
	r := t.relax(t.promised(), nil, 0)
	type bought struct {
		cloth  int
		length float64
	}
	all := map[int]bought{} // by column
	for c := range cloths {
		for k, ticks := range t.lengths {
			length := unticks(ticks)
			if !geometry.Fits(length, b.bolt(b.fabrics[c].key)) {
				break
			}
			all[len(r.Columns)] = bought{c, length}
			r.addBought(c, k, length)
		}
	}
	r.run([2]float64{1e-3, 1e-3}, steps(r))
	out := make([]float64, len(cloths))
	for j, level := range r.Levels() {
		out[all[j].cloth] += float64(level * all[j].length)
	}
	for i := range out {
		if out[i] < 1e-3 {
			out[i] = 0
		}
	}
	return out
}

// addBought adds a strip of a class of length to a cloth.
func (r *relaxed) addBought(cloth, k int, cost float64) {
	col := linear.Column{Cost: cost}
	for i, f := range r.families {
		if f.cloth == cloth {
			for class := range k + 1 {
				col.Put(r.link(i, class), 1)
			}
		}
	}
	r.add(col, meaning{})
}

// adding turns lengths to add into strips: whole ones and a shorter one, or all
// alike.
func (b *bin) adding(add []float64, even bool) []Short {
	var out []Short
	for f, v := range add {
		if v <= geometry.Fit {
			continue
		}
		whole := b.bolt(b.fabrics[f].key)
		n := int(math.Ceil(v/whole - geometry.Fit))
		last := v - float64(whole*float64(n-1))
		strips := slices.Repeat([]float64{whole}, n)
		if strips[n-1] = last; even && last < whole/2 {
			strips = slices.Repeat([]float64{v / float64(n)}, n)
		}
		out = append(out, b.short(f, strips))
	}
	return out
}

// short returns strips of a fabric, rounded up, that have to be added.
func (b *bin) short(fabric int, strips []float64) Short {
	f, g := b.fabrics[fabric], b.grain()
	s := Short{Fabric: f.key, Width: f.widths[len(f.widths)-1], Strips: strips}
	for i, l := range strips {
		strips[i] = min(math.Ceil(l/g-geometry.Fit)*g, b.bolt(f.key))
	}
	slices.SortFunc(strips, func(a, b float64) int { return cmp.Compare(b, a) })
	for _, l := range strips {
		s.Length += l
	}
	return s
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
	for p := range policies {
		t := more.task(n, more.cutUp(p, n.Total()))
		a := answer{bound: 1, any: true, work: shortWork, never: len(t.lengths) == 0}
		if t.greedy(&a); !a.closed() {
			t.relaxations(&a)
		}
		if a.found {
			return true
		}
		if a.never || t.plain() {
			break
		}
	}
	return false
}
