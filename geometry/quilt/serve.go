// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// toned is a strip set of a gradient.
type toned struct {
	way     int // from the dark end
	lean    geometry.Lean
	option  int
	further bool  // it is for edge triangles
	laid    Count // its pieces that lie in the quilt
	gives   Count // spares included
}

// sets spells the strip sets of an answer out, from the dark end to the light
// one.
func (s *shading) sets(a *shade) []*toned {
	var out []*toned
	s.each(a, func(t toned, n int) {
		for range n {
			out = append(out, new(t))
		}
	})
	slices.SortStableFunc(out, func(a, b *toned) int { return cmp.Or(cmp.Compare(a.way, b.way), cmp.Compare(a.lean, b.lean)) })
	return out
}

// each tells of the strip sets of an answer, and how many there are of each.
func (s *shading) each(a *shade, tell func(t toned, n int)) {
	for i, l := range a.lots {
		if l.way >= 0 {
			for j, n := range a.cut[i] {
				tell(toned{way: l.way, lean: l.lean, option: j, further: l.sets < 0}, n)
			}
			continue
		}
		rows := s.between(l, a.cut[i], a.zoned)
		for w, one := range a.deal {
			if a.apart(w, l.lean) || a.zoned && zoneOf(w, len(a.deal)) != -1-l.way {
				continue
			}
			for range one.sets[l.lean] {
				tell(toned{way: w, lean: l.lean, option: rows[0]}, 1)
				rows = rows[1:]
			}
		}
	}
}

// between returns the options of the strip sets of a lot between the ends, from
// dark to light: those that give edge triangles stand outermost, in the middle
// every other one at either end.
func (s *shading) between(l lot, cut []int, zoned bool) []int {
	var dark, plain, light []int
	zone, k := -1-l.way, 0
	for j, n := range cut {
		for range n {
			switch o := s.options[j]; {
			case o.Lowers+o.Uppers == 0:
				plain = append(plain, j)
				continue
			case !zoned && k%2 == 0 || zoned && (zone < zones/2 || zone == zones/2 && k%2 == 0):
				dark = append(dark, j)
			default:
				light = append(light, j)
			}
			k++
		}
	}
	slices.Reverse(light)
	return slices.Concat(dark, plain, light)
}

// apart reports whether the strip sets of a way and lean have a lot of their
// own.
func (a *shade) apart(way int, lean geometry.Lean) bool {
	return slices.ContainsFunc(a.lots, func(l lot) bool { return l.way == way && l.lean == lean })
}

// serve says which pieces of each strip set lie in the quilt and which are
// spares, so that no more are cut than needed.
func (s *shading) serve(a *shade, sets []*toned) {
	for _, lean := range geometry.Leans {
		s.serveDiamonds(a, sets, lean)
	}
	// Those that match first; then the others, from the nearest.
	left, match := s.edges, s.matches(a, sets)
	for _, nearest := range []bool{false, true} {
		for at := range left {
			for lean := range left[at] {
				for shape := range left[at][lean] {
					s.serveEdge(sets, end{shape: geometry.Shape(shape), lean: geometry.Lean(lean)}, at, nearest, &left[at][lean][shape], match)
				}
			}
		}
	}
	s.serveSpares(sets)
}

// serveEdge takes the edge triangles of a kind for an end: those that match, or
// from the nearest those that are left.
func (s *shading) serveEdge(sets []*toned, e end, at int, nearest bool, left *int, match map[matching]int) {
	if *left == 0 {
		return
	}
	order := slices.Clone(sets)
	slices.SortStableFunc(order, func(a, b *toned) int {
		n := cmp.Compare(a.way, b.way)
		if at == 1 {
			n = -n
		}
		return cmp.Or(n, cmp.Compare(s.options[b.option].Gives(e.shape), s.options[a.option].Gives(e.shape)))
	})
	for _, t := range order {
		most, key := *left, matching{at, supplier{t.way, e.lean, e.shape}}
		if !nearest {
			most = match[key]
		}
		if s.serves(t.lean, e) {
			n := s.take(t, e.lean, e.shape, most, true)
			*left, match[key] = *left-n, match[key]-n
		}
	}
}

// serveSpares takes spare pieces from what would be cut away.
func (s *shading) serveSpares(sets []*toned) {
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			n := s.need[lean][shape] - s.plan.Need[lean][shape]
			for _, t := range sets {
				if t.lean == lean || s.sixty && shape != geometry.Diamond {
					n -= s.take(t, lean, shape, n, false)
				}
			}
		}
	}
}

// take takes up to so many pieces of a kind from a strip set, and returns how
// many it had.
func (s *shading) take(t *toned, lean geometry.Lean, shape geometry.Shape, most int, laid bool) int {
	n := min(most, s.options[t.option].Gives(shape)-t.gives[0][shape]-t.gives[1][shape])
	t.gives[lean][shape] += n
	if laid {
		t.laid[lean][shape] += n
	}
	return n
}

// serveDiamonds shares the diamonds of a lean out.
func (s *shading) serveDiamonds(a *shade, sets []*toned, lean geometry.Lean) {
	given := s.given(a)
	for _, t := range sets {
		if t.lean == lean && !t.further {
			given[t.way][lean] -= s.take(t, lean, geometry.Diamond, given[t.way][lean], true)
		}
	}
}

// given returns how many diamonds of each lean the ways give: as many of each
// way at the ends as the answer has, of the others all but what is too many. That
// is left away where the fewest then lie above a lighter colour, from the light
// end down, and rather where a run is left or no other colour lies beyond.
func (s *shading) given(a *shade) [][2]int {
	out := make([][2]int, len(a.deal))
	s.each(a, func(t toned, n int) {
		if !t.further {
			out[t.way][t.lean] += n * s.options[t.option].Diamonds
		}
	})
	var surplus [2]int
	for lean := range surplus {
		surplus[lean] = -s.plan.Need[lean][geometry.Diamond]
		for w := range out {
			if n, ok := a.give[[2]int{w, lean}]; ok {
				out[w][lean] = n
			}
			surplus[lean] += out[w][lean]
		}
	}
	for lean, n := range surplus {
		for ; n > 0; n-- {
			out[s.spareWay(a, out, geometry.Lean(lean))][lean]--
		}
	}
	return out
}

// spareWay returns the way of which a diamond of a lean can best be left away.
func (s *shading) spareWay(a *shade, given [][2]int, lean geometry.Lean) int {
	best, least := -1, math.MaxInt
	for w := len(given) - 1; w >= 0; w-- {
		if _, ok := a.give[[2]int{w, int(lean)}]; ok || given[w][lean] == 0 {
			continue
		}
		if len(given) > mostWays {
			return w
		}
		given[w][lean]--
		cost := s.aboveAll(given)
		given[w][lean]++
		if a.deal.inner(w, lean) && given[w][lean] <= s.run[lean] {
			cost += s.columns * len(given)
		}
		if cost < least {
			best, least = w, cost
		}
	}
	return best
}

// sewing spells an answer out in cutting order.
func (s *shading) sewing(a *shade) sewing {
	sets := s.sets(a)
	s.serve(a, sets)
	type one struct {
		strip.Layout
		*toned
		place int // in the gradient
	}
	var all []one
	for i, t := range sets {
		if t.gives.Total() > 0 {
			all = append(all, one{s.options[t.option].Layout(t.lean, t.gives), t, i})
		}
	}
	slices.SortStableFunc(all, func(a, b one) int {
		return cmp.Or(strip.Compare(a.Layout, b.Layout), isTrue(a.Staggered)-isTrue(b.Staggered), cmp.Compare(a.place, b.place))
	})
	out := sewing{Fewest: strip.Fewest{Possible: [2]bool{true, true}}, order: make([]int, len(all))}
	for k, o := range all {
		out.Layouts, out.numbers, out.laid = append(out.Layouts, o.Layout), append(out.numbers, a.deal[o.way].numbers), append(out.laid, o.toned.laid)
		out.order[k] = k
	}
	slices.SortFunc(out.order, func(i, j int) int { return cmp.Compare(all[i].place, all[j].place) })
	out.matches = a.matched
	return out
}
