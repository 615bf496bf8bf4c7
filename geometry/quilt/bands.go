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
// fixes the colours of every piece, and so which colours are sewn together. Strip
// sets are therefore planned for each such row of colours by itself.

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

// bandsCost returns how many strip sets more the bands order takes.
func (p *Plan) bandsCost(terms strip.Terms) int {
	if p.Spec.ColourOrder != Bands || len(p.groups) < 2 || !p.Fewest.OK() {
		return 0
	}
	return max(len(p.Fewest.Layouts)-len(p.Set.Fewest(p.Need.With(p.Spec.Spare), terms).Layouts), 0)
}

// layBands gives each piece a strip set of its colours. Those that join the same
// bands come from one strip set where one holds enough, else from as few as are
// found: those that need most first, each time from the strip set that gives most
// of what is missing and of which the least is then left.
func (p *Plan) layBands() {
	joint, keys := p.joints()
	pile := p.bandPiles()
	need, pieces := make([]Count, len(keys)), make([][2][3][]int, len(keys))
	for i, pl := range p.Pieces {
		need[joint[i]][pl.Lean][pl.Shape]++
		of := &pieces[joint[i]][pl.Lean][pl.Shape]
		*of = append(*of, i)
	}
	order := make([]int, len(keys))
	for j := range order {
		order[j] = j
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(need[b].Total(), need[a].Total()) })
	for _, j := range order {
		for from := pile[keys[j]]; need[j].Total() > 0; {
			k, left := from.best(need[j])
			if k < 0 {
				break // not all pieces can be had
			}
			for lean := range left {
				for shape := range left[lean] {
					n := min(left[lean][shape], need[j][lean][shape])
					left[lean][shape], need[j][lean][shape] = left[lean][shape]-n, need[j][lean][shape]-n
					for range n {
						p.Pieces[take(&pieces[j][lean][shape])].StripSet = k
					}
				}
			}
			from[left] = append(from[left], k)
		}
	}
}

// joints sorts the pieces by the bands that they join, and says for each lot
// which pile its strip sets come from, by its key.
func (p *Plan) joints() (of []int, keys []string) {
	known := map[string]int{}
	for i, pl := range p.Pieces {
		var bands []int
		if p.ribbons != nil {
			bands = p.bandsOf(pl)
		}
		lot, key := keyOf(bands), ""
		switch {
		case p.wanted != nil:
			lot, key = p.wanted[i], p.wanted[i]
		case p.sewnForBands():
			key = lot
		case p.numbers != nil:
			key = keyOf(p.Spec.bandColours(bands))
		}
		j, ok := known[lot]
		if !ok {
			j = len(keys)
			known[lot], keys = j, append(keys, key)
		}
		of = append(of, j)
	}
	return of, keys
}

// sewnForBands reports whether strip sets that are there already are sewn for
// bands.
func (p *Plan) sewnForBands() bool { return len(p.sewn) > 0 && p.sewn[0].Bands != nil }

// holding is strip sets by what is left of them.
type holding map[Count][]int

// best takes the strip set out that gives most of a need and of which the least
// is then left, of several that were left alike the first; k is -1 when none
// gives any of it.
func (h holding) best(need Count) (k int, left Count) {
	k = -1
	most, least := 0, 0
	for c, sets := range h {
		if len(sets) == 0 {
			continue
		}
		gives := 0
		for lean := range c {
			for shape, n := range c[lean] {
				gives += min(n, need[lean][shape])
			}
		}
		better := cmp.Or(cmp.Compare(gives, most), cmp.Compare(least, c.Total()-gives), cmp.Compare(k, sets[0]))
		if gives > 0 && (k < 0 || better > 0) {
			k, left, most, least = sets[0], c, gives, c.Total()-gives
		}
	}
	if k >= 0 {
		h[left] = h[left][1:]
	}
	return k, left
}

// bandPiles sorts the strip sets by what they are sewn for: by the keys of
// joints.
func (p *Plan) bandPiles() map[string]holding {
	out := map[string]holding{}
	for k, l := range p.Fewest.Layouts {
		keys := []string{""}
		switch {
		case p.sewnForBands():
			keys = nil
			for _, bands := range p.sewn[k].Bands {
				keys = append(keys, keyOf(bands))
			}
		case p.numbers != nil:
			keys[0] = keyOf(p.numbers[k])
		}
		// Those that serve several bands serve all of them from one pile.
		pile := out[keys[0]]
		if pile == nil {
			pile = holding{}
		}
		for _, key := range keys {
			out[key] = pile
		}
		pile[l.Gives] = append(pile[l.Gives], k)
	}
	return out
}
