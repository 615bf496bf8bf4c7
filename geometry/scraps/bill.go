// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// A strip that gives one length is not cut to it before it is sewn where so
// little would be left that it serves for nothing.
const (
	mostLeft            = 2 // in
	mostLeftCentimetres = 5
)

// leaveWhole notes which strips are sewn as long as they are, since less than so
// much would be left of them, and how long strip sets are then.
func (c *cutPlan) leaveWhole(most float64) {
	used, times := c.used(len(c.strips)), make([]int, len(c.strips))
	for _, s := range c.sets {
		for _, id := range s.ids {
			times[id]++
		}
	}
	for k := range c.sets {
		s := &c.sets[k]
		length := math.Inf(1)
		for i, id := range s.ids {
			one := &s.Strips[i]
			if one.Whole = times[id] == 1 && c.strips[id].length-used[id] < most-geometry.Fit; one.Whole {
				one.Length = c.strips[id].length
			}
			length = min(length, one.Length)
		}
		s.Sewn = length
	}
}

// cut returns how long strip i of a strip set is cut.
func (c *cutPlan) cut(s StripSet, i int) float64 {
	if s.Strips[i].Whole {
		return s.Strips[i].Length
	}
	return s.Length
}

// spare returns how much longer all strips of a strip set could be.
func (c *cutPlan) spare(s StripSet) float64 {
	used, least := c.used(len(c.strips)), math.Inf(1)
	for i, id := range s.ids {
		least = min(least, s.Strips[i].Length-s.Sewn+c.strips[id].length-used[id])
	}
	return max(least, 0)
}

// bill returns the bill of cutting: the scraps that are used, each with the strips
// cut from it; scraps that are cut alike count as one.
func (b *bin) bill(c *cutPlan, spec quilt.Spec) (out []quilt.Whole) {
	type scrap struct{ scrap, copied int }
	var order []scrap
	wholes := map[scrap]*quilt.Whole{}
	begun := map[int]bool{} // strips
	for k, s := range c.sets {
		numbers := b.numbers(s, spec)
		for i, id := range s.ids {
			strip := c.strips[id]
			from := scrap{strip.scrap, strip.copied}
			w := wholes[from]
			if w == nil {
				own := b.scraps[strip.scrap]
				w = &quilt.Whole{Fabric: own.Fabric, Colour: b.colour(strip.scrap, own.Fabric), Number: numbers[i], Name: own.Name, From: quilt.Scraps, Width: own.Width, Length: own.Length, Times: 1}
				wholes[from], order = w, append(order, from)
			}
			lowest := slices.IndexFunc(spec.Strips, func(o quilt.Strip) bool { return o.Fabric == spec.Strips[i].Fabric && o.Cut == spec.Strips[i].Cut })
			length := s.Strips[i].Length
			at := slices.IndexFunc(w.Strips, func(o quilt.StripCut) bool { return o.Strip == lowest && o.Length == length })
			if at < 0 {
				at = len(w.Strips)
				w.Strips = append(w.Strips, quilt.StripCut{Cut: spec.Strips[i].Cut, Strip: lowest, Length: length})
			}
			one := &w.Strips[at]
			if !begun[id] {
				begun[id] = true
				one.Full++
			}
			one.Count++
			one.StripSets = append(one.StripSets, k)
		}
	}
	for _, from := range order {
		w := *wholes[from]
		slices.SortStableFunc(w.Strips, func(a, b quilt.StripCut) int {
			return cmp.Or(cmp.Compare(a.Strip, b.Strip), cmp.Compare(b.Length, a.Length))
		})
		i := slices.IndexFunc(out, func(o quilt.Whole) bool { return cutAlike(o, w) })
		if i < 0 {
			out = append(out, w)
			continue
		}
		out[i].Times++
		for k := range w.Strips {
			out[i].Strips[k].StripSets = append(out[i].Strips[k].StripSets, w.Strips[k].StripSets...)
		}
	}
	for _, w := range out {
		for _, s := range w.Strips {
			slices.Sort(s.StripSets)
		}
	}
	keys := spec.StripFabrics()
	slices.SortStableFunc(out, func(a, b quilt.Whole) int {
		return cmp.Or(cmp.Compare(slices.Index(keys, a.Fabric), slices.Index(keys, b.Fabric)), cmp.Compare(a.Number, b.Number), cmp.Compare(b.Length, a.Length))
	})
	return out
}

// cutAlike reports whether two scraps are alike and are cut in the same way.
func cutAlike(a, b quilt.Whole) bool {
	return a.Fabric == b.Fabric && a.Number == b.Number && a.Name == b.Name && a.Width == b.Width && a.Length == b.Length &&
		slices.EqualFunc(a.Strips, b.Strips, func(a, b quilt.StripCut) bool {
			return a.Strip == b.Strip && a.Length == b.Length && a.Count == b.Count && a.Full == b.Full
		})
}

// numbers returns the numbers of the colours of a strip set among those that are
// shown.
func (b *bin) numbers(s StripSet, spec quilt.Spec) (out []int) {
	names, colours := b.names(s), b.colours(s)
	for i, st := range spec.Strips {
		f := spec.Fabrics[slices.IndexFunc(spec.Fabrics, func(f quilt.Fabric) bool { return f.Key == st.Fabric })]
		out = append(out, 0)
		for n, c := range f.Colours {
			if c == colours[i] && (n >= len(f.Names) || f.Names[n] == names[i]) {
				out[i] = n
				break
			}
		}
	}
	return out
}
