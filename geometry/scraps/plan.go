// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// cutPlan is strip sets that give some need, or what is known of them.
type cutPlan struct {
	sets   []StripSet
	ids    [][]int // by strip set and strip, lowest first: index into bin.strips
	found  bool
	never  bool
	bound  Bound
	strips []physical
}

// length returns the sewn length of all strip sets.
func (c *cutPlan) length() float64 {
	sum := 0.0
	for _, s := range c.sets {
		sum += s.Length
	}
	return sum
}

// table lists the rows for a need, up to the longest strip set that could be.
func (b *bin) table(n strip.Count, longest float64) *table {
	spec := b.plan.Spec
	most := held{
		diamonds:  max(n.Diamonds(geometry.Right), n.Diamonds(geometry.Left)),
		triangles: 2 * max(n.Lower(0)+n.Lower(1), n.Upper(0)+n.Upper(1)),
	}
	if spec.MixLeans {
		most.diamonds = n.Diamonds(0) + n.Diamonds(1)
	}
	return newTable(b.plan.Set, longest, spec.EndTrim, spec.Stagger, most)
}

// longestSet returns how long a strip set can be: as the shortest of the
// fabrics' longest scraps.
func longestSet(cloths []*cloth) int64 {
	longest := int64(-1)
	for _, c := range cloths {
		one := int64(0)
		for _, l := range c.lanes {
			one = max(one, l.length)
		}
		if longest < 0 || one < longest {
			longest = one
		}
	}
	return longest
}

// solve plans strip sets for a need from all scraps.
func (b *bin) solve(n strip.Count) *cutPlan {
	var best *cutPlan
	for p := range policies {
		cloths := b.cutUp(p, n.Total())
		one := b.solveWith(cloths, n)
		if best == nil || one.better(best) {
			best = one
		}
		best.bound.Sets = max(best.bound.Sets, one.bound.Sets)
		plain := !slices.ContainsFunc(b.fabrics, func(f stuff) bool { return len(f.widths) > 1 })
		if plain || best.never || best.found && len(best.sets) <= best.bound.Sets {
			break
		}
	}
	return best
}

func (c *cutPlan) better(d *cutPlan) bool {
	if c.found != d.found || !c.found {
		return c.found && !d.found
	}
	return cmp.Or(cmp.Compare(len(c.sets), len(d.sets)), cmp.Compare(c.length(), d.length())) < 0
}

func (b *bin) solveWith(cloths []*cloth, n strip.Count) *cutPlan {
	spec := b.plan.Spec
	t := newTask(b.table(n, unticks(longestSet(cloths))), newNeed(n, spec.Angle == 60, spec.MixLeans), cloths)
	a := t.solve()
	out := &cutPlan{found: a.found, never: a.never, strips: b.strips}
	out.bound = Bound{Sets: a.bound}
	if a.never {
		out.bound = Bound{}
		return out
	}
	if !a.found {
		return out
	}
	sets := t.finish(a)
	out.bound.Sets = min(out.bound.Sets, len(sets))
	out.bound.Length = t.leastLength(out.bound.Sets, len(sets))
	out.add(b, t, sets, n, b.at)
	out.sort()
	return out
}

// add spells strip sets out and says what each gives of the need. at says which
// cloth of the task each strip is of, and in which class of width.
func (c *cutPlan) add(b *bin, t *task, sets []sewn, n strip.Count, at []place) {
	sixty := b.plan.Spec.Angle == 60
	left := n
	only, one := geometry.Right, false
	if n.Lean(geometry.Right) == 0 || n.Lean(geometry.Left) == 0 {
		one = true
		if n.Lean(geometry.Right) == 0 {
			only = geometry.Left
		}
	}
	take := func(lean geometry.Lean, shape geometry.Shape, most int) int {
		got := min(most, left[lean][shape])
		left[lean][shape] -= got
		return got
	}
	for _, s := range sets {
		if one && s.all() == 0 {
			s.lean = only
		}
		var gives strip.Count
		for _, lean := range geometry.Leans {
			gives[lean][geometry.Diamond] = take(lean, geometry.Diamond, s.diamonds[lean])
		}
		for shape, has := range [...]int{geometry.LowerTriangle: s.lowers, geometry.UpperTriangle: s.uppers} {
			if shape := geometry.Shape(shape); shape != geometry.Diamond {
				gives[s.lean][shape] = take(s.lean, shape, has)
				if sixty {
					back := s.lean.Other()
					gives[back][shape] = take(back, shape, has-gives[s.lean][shape])
				}
			}
		}
		triangles := s.triangles()
		row := t.rows[held{s.all(), triangles}]
		uppers := s.uppers
		if uppers < s.lowers-1 {
			uppers = s.lowers - 1
		}
		layout := row.Layout(s.lean, s.diamonds[s.lean.Other()], uppers, gives)
		set := StripSet{Layout: layout, Length: row.Length}
		ids := make([]int, len(at))
		used := make([]int, len(t.cloths))
		// Lanes come widest position first.
		order := make([]int, len(at))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(at[j].class, at[i].class) })
		set.Strips = make([]Cut, len(at))
		for _, i := range order {
			f := at[i].cloth
			id := t.cloths[f].lanes[s.lanes[f][used[f]]].id
			used[f]++
			ids[i] = id
			if set.Strips[i] = (Cut{Scrap: -1}); id < len(b.strips) {
				set.Strips[i] = Cut{Scrap: b.strips[id].scrap, Strip: b.strips[id].number}
			}
		}
		c.sets = append(c.sets, set)
		c.ids = append(c.ids, ids)
	}
}

// sort puts strip sets into cutting order: right-leaning ones, mixed ones,
// left-leaning ones, the fullest first.
func (c *cutPlan) sort() {
	order := make([]int, len(c.sets))
	for i := range order {
		order[i] = i
	}
	lean := func(s StripSet) int {
		switch {
		case s.Mixed:
			return 1
		case s.Lean == geometry.Left:
			return 2
		}
		return 0
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := c.sets[i], c.sets[j]
		return cmp.Or(cmp.Compare(lean(a), lean(b)), cmp.Compare(b.Length, a.Length), cmp.Compare(b.Word, a.Word))
	})
	sets, ids := make([]StripSet, len(order)), make([][]int, len(order))
	for i, o := range order {
		sets[i], ids[i] = c.sets[o], c.ids[o]
	}
	c.sets, c.ids = sets, ids
}

// left returns what is left of every strip.
func (b *bin) left(c *cutPlan) []Left {
	used := make([]float64, len(c.strips))
	for i, ids := range c.ids {
		for _, id := range ids {
			used[id] += c.sets[i].Length
		}
	}
	// A scrap of which no strip is used stays as it is.
	touched := map[[2]int]bool{}
	for id, s := range c.strips {
		if used[id] > 0 {
			touched[[2]int{s.scrap, s.copied}] = true
		}
	}
	var out []Left
	for id, s := range c.strips {
		if rest := s.length - used[id]; rest > 2*geometry.Fit {
			out = append(out, Left{s.scrap, s.number, rest, !touched[[2]int{s.scrap, s.copied}]})
		}
	}
	return out
}

// colours returns the colour of each strip of a strip set.
func (b *bin) colours(s StripSet) []quilt.Colour {
	out := make([]quilt.Colour, len(s.Strips))
	for i, cut := range s.Strips {
		if b.scraps[cut.Scrap].Colour != nil {
			out[i] = *b.scraps[cut.Scrap].Colour
			continue
		}
		out[i] = b.plan.Spec.Colours(0)[i]
	}
	return out
}
