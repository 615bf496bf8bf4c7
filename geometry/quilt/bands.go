// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// In the bands order band b of a fabric takes colour b mod n of its n. That
// fixes the colours of every piece, and so which colours are sewn together: in
// zigzag, right-leaning strip sets pair band i of the lowest strip with band i
// of the highest, left-leaning ones band i with band i + 1. Strip sets are
// therefore planned for each such pair, or row of colours, by itself.

// bandColours returns the colour numbers of strips in these bands.
func (s Spec) bandColours(bands []int) []int {
	out := make([]int, len(s.Strips))
	for i, st := range s.Strips {
		n := len(s.fabric(st.Fabric).Colours)
		out[i] = ((bands[i] % n) + n) % n
	}
	return out
}

// bandsOf returns the band of each strip of a piece, lowest first.
func (p *Plan) bandsOf(pl Placement) []int {
	out := make([]int, len(p.Spec.Strips))
	for i := range out {
		out[i] = p.Band(pl, i)
	}
	return out
}

// group is the pieces that need the same colours.
type group struct {
	numbers []int // of the colours of each strip; nil: any
	need    Count // spares included
}

// group divides what the quilt needs, spares included, by colours. There is
// one group unless the order is bands and a fabric has several colours.
func (p *Plan) group() []group {
	if p.Spec.ColourOrder != Bands || !p.Spec.AnyColourful() {
		return []group{{need: p.Need.With(p.Spec.Spare)}}
	}
	return p.groupBy(func(i int) []int { return p.Spec.bandColours(p.bandsOf(p.Pieces[i])) })
}

// groupBy divides what the quilt needs, spares included, by the numbers of the
// colours of each piece.
func (p *Plan) groupBy(numbers func(i int) []int) []group {
	var out []group
	seen := map[string]int{}
	for i, pl := range p.Pieces {
		n := numbers(i)
		key := keyOf(n)
		g, ok := seen[key]
		if !ok {
			g = len(out)
			seen[key] = g
			out = append(out, group{numbers: n})
		}
		out[g].need[pl.Lean][pl.Shape]++
	}
	slices.SortFunc(out, func(a, b group) int { return slices.Compare(a.numbers, b.numbers) })
	dealSpares(out, p.Spec.Spare)
	return out
}

// dealSpares gives the spare pieces of each kind that is needed to the groups
// that need it: to those that have the fewest spares so far, of those to the
// ones that need the most. So all colours have their share, and there is more
// often room for a spare in a strip set that is sewn anyway.
func dealSpares(groups []group, spare int) {
	dealt := make([]int, len(groups))
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			var some []int
			for g := range groups {
				if groups[g].need[lean][shape] > 0 {
					some = append(some, g)
				}
			}
			slices.SortStableFunc(some, func(a, b int) int {
				return cmp.Or(cmp.Compare(dealt[a], dealt[b]), cmp.Compare(groups[b].need[lean][shape], groups[a].need[lean][shape]))
			})
			for i, g := range some {
				n := spare / len(some)
				if i < spare%len(some) {
					n++
				}
				groups[g].need[lean][shape] += n
				dealt[g] += n
			}
		}
	}
}

// keyOf returns numbers as a key of a map.
func keyOf(numbers []int) string { return fmt.Sprint(numbers) }

// fewest returns the fewest strip sets for all groups.
func (p *Plan) fewest(groups []group, terms strip.Terms) sewing {
	if len(groups) == 1 {
		out := sewing{Fewest: p.Set.Fewest(groups[0].need, terms)}
		if numbers := groups[0].numbers; numbers != nil {
			out.numbers = slices.Repeat([][]int{numbers}, len(out.Layouts))
		}
		return out
	}
	type one struct {
		strip.Layout
		numbers []int
	}
	var all []one
	known := map[Count]strip.Fewest{} // many groups need the same
	out := sewing{Fewest: strip.Fewest{Possible: [2]bool{true, true}}}
	for _, g := range groups {
		f, ok := known[g.need]
		if !ok {
			f = p.Set.Fewest(g.need, terms)
			known[g.need] = f
		}
		for lean := range f.Possible {
			out.Possible[lean] = out.Possible[lean] && f.Possible[lean]
		}
		for _, l := range f.Layouts {
			all = append(all, one{l, g.numbers})
		}
	}
	// As strip.Fewest has them: right-leaning, mixed, left-leaning, those that
	// are cut alike together; then by their colours.
	slices.SortStableFunc(all, func(a, b one) int {
		return cmp.Or(strip.Compare(a.Layout, b.Layout), cmp.Compare(a.Lean, b.Lean), isTrue(a.Staggered)-isTrue(b.Staggered))
	})
	for _, o := range all {
		out.Layouts = append(out.Layouts, o.Layout)
		out.numbers = append(out.numbers, o.numbers)
	}
	return out
}

func isTrue(b bool) int {
	if b {
		return 1
	}
	return 0
}

// bandsNote says what the bands order costs; "" when it costs nothing.
func (p *Plan) bandsNote(terms strip.Terms) string {
	if len(p.groups) < 2 || !p.Fewest.OK() {
		return ""
	}
	n := len(p.Fewest.Layouts)
	more := n - len(p.Set.Fewest(p.Need.With(p.Spec.Spare), terms).Layouts)
	if more <= 0 {
		return ""
	}
	return fmt.Sprintf("Bands of one colour each take %d strip sets, %d more than gradient or scattered would, since only strips of colours that belong together are sewn together.", n, more)
}

// layBands gives each piece a strip set of its colours, ribbon by ribbon of the
// lowest strip, each from the bottom up, in cutting order. Strip sets that are there
// already serve the bands that they were sewn for first; what then is missing
// comes from those that were sewn for none, and last from any that gives it.
func (p *Plan) layBands() {
	// Strip sets by what they were sewn for and the kinds of piece that they
	// give, each pile in cutting order.
	type pile struct {
		key   string
		lean  geometry.Lean
		shape geometry.Shape
	}
	const loose, last = "loose", "last"
	piles := map[pile][]int{}
	add := func(key string, k int) {
		for lean, gives := range p.Fewest.Layouts[k].Gives {
			for shape, n := range gives {
				if at := (pile{key, geometry.Lean(lean), geometry.Shape(shape)}); n > 0 {
					piles[at] = append(piles[at], k)
				}
			}
		}
	}
	for k := range p.Fewest.Layouts {
		switch {
		case p.sewn != nil && p.sewn[k].Bands != nil:
			add(keyOf(p.sewn[k].Bands), k)
		case p.sewn == nil && p.numbers != nil:
			add(keyOf(p.numbers[k]), k)
		default:
			add(loose, k)
		}
		add(last, k)
	}
	used := make([]Count, len(p.Fewest.Layouts))
	take := func(key string, pl *Placement) bool {
		from := pile{key, pl.Lean, pl.Shape}
		for ; len(piles[from]) > 0; piles[from] = piles[from][1:] {
			k := piles[from][0]
			if used[k][pl.Lean][pl.Shape] < p.Fewest.Layouts[k].Gives[pl.Lean][pl.Shape] {
				used[k][pl.Lean][pl.Shape]++
				pl.StripSet = k
				return true
			}
		}
		return false
	}
	var missing []int
	// Ribbon by ribbon, so that one comes from as few strip sets as can be.
	order := make([]int, len(p.Pieces))
	for i := range order {
		order[i] = i
	}
	if p.wanted == nil {
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(p.Band(p.Pieces[i], 0), p.Band(p.Pieces[j], 0)) })
	}
	for _, i := range order {
		pl, key := &p.Pieces[i], ""
		switch {
		case p.wanted != nil:
			key = p.wanted[i]
		case p.sewn != nil:
			key = keyOf(p.bandsOf(*pl))
		case p.numbers != nil:
			key = keyOf(p.Spec.bandColours(p.bandsOf(*pl)))
		}
		if !take(key, pl) && !take(loose, pl) {
			missing = append(missing, i)
		}
	}
	for _, i := range missing {
		take(last, &p.Pieces[i])
	}
}
