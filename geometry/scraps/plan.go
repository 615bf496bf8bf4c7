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

// used returns how much of each of so many strips is used.
func (c *cutPlan) used(strips int) []float64 {
	out := make([]float64, strips)
	for _, s := range c.sets {
		for i, id := range s.ids {
			out[id] += c.cut(s, i)
		}
	}
	return out
}

// need returns what strip sets must give together.
func (b *bin) need(n strip.Count) need {
	return newNeed(n, b.plan.Spec.Angle == 60, b.plan.Spec.MixLeans)
}

// task is the question how a need is met from cloths.
func (b *bin) task(n strip.Count, cloths []*cloth) *task {
	return newTask(b.table(n, unticks(longestSet(cloths))), b.need(n), cloths)
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
	t := b.task(n, cloths)
	a := t.solve()
	out := &cutPlan{found: a.found, never: a.never, strips: b.strips}
	if !a.never {
		out.bound.Sets = a.bound
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
	left := n
	// Lanes come widest position first.
	widest := ordered(len(at), func(i, j int) int { return cmp.Compare(at[j].class, at[i].class) })
	for _, s := range sets {
		if s.all() == 0 && n.Lean(s.lean) == 0 {
			s.lean = s.lean.Other()
		}
		gives := s.gives(&left, b.plan.Spec.Angle == 60)
		row := t.rows[held{s.all(), s.triangles()}]
		set := StripSet{
			Layout: row.Layout(s.lean, s.diamonds[s.lean.Other()], max(s.uppers, s.lowers-1), gives),
			Length: row.Length,
			Strips: make([]Cut, len(at)),
			ids:    make([]int, len(at)),
		}
		used := make([]int, len(t.cloths))
		for _, i := range widest {
			f := at[i].cloth
			id := t.cloths[f].lanes[s.lanes[f][used[f]]].id
			used[f]++
			set.ids[i], set.Strips[i] = id, Cut{Scrap: -1}
			if id < len(b.strips) {
				set.Strips[i] = Cut{Scrap: b.strips[id].scrap, Strip: b.strips[id].number, Length: set.Length}
			}
		}
		c.sets = append(c.sets, set)
	}
}

// gives takes what a strip set gives off what is left to give. At 60 degrees
// its edge triangles serve the other lean, too.
func (s *sewn) gives(left *strip.Count, sixty bool) strip.Count {
	var out strip.Count
	take := func(lean geometry.Lean, shape geometry.Shape, most int) {
		n := min(most-out[lean.Other()][shape], left[lean][shape])
		out[lean][shape], left[lean][shape] = n, left[lean][shape]-n
	}
	for _, lean := range geometry.Leans {
		n := min(s.diamonds[lean], left[lean][geometry.Diamond])
		out[lean][geometry.Diamond] = n
		left[lean][geometry.Diamond] -= n
	}
	for shape, has := range map[geometry.Shape]int{geometry.LowerTriangle: s.lowers, geometry.UpperTriangle: s.uppers} {
		if take(s.lean, shape, has); sixty {
			take(s.lean.Other(), shape, has)
		}
	}
	return out
}

// ordered returns 0 to n-1 in an order.
func ordered(n int, compare func(i, j int) int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, compare)
	return out
}

// sort puts strip sets into cutting order: right-leaning ones, mixed ones,
// left-leaning ones, the longest first.
func (c *cutPlan) sort() {
	slices.SortStableFunc(c.sets, func(a, b StripSet) int {
		return cmp.Or(strip.CompareLeans(a.Layout, b.Layout), cmp.Compare(b.Length, a.Length), cmp.Compare(b.Word, a.Word))
	})
}

// left returns what is left of every strip.
func (b *bin) left(c *cutPlan) []Left {
	used := c.used(len(c.strips))
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
		out[i] = b.colour(cut.Scrap, b.plan.Spec.Strips[i].Fabric)
	}
	return out
}

// colour returns the colour of a scrap, or else its fabric's first.
func (b *bin) colour(scrap int, fabric string) quilt.Colour {
	if c := b.scraps[scrap].Colour; c != nil {
		return *c
	}
	return b.plan.Spec.FirstColour(fabric)
}

// names returns what those colours are called: as the scraps are, else as the
// pattern calls them; "" where neither says.
func (b *bin) names(s StripSet) []string {
	colours, out := b.colours(s), make([]string, len(s.Strips))
	for i, cut := range s.Strips {
		out[i] = cmp.Or(b.scraps[cut.Scrap].Name, called(b.plan.Spec, b.plan.Spec.Strips[i].Fabric, colours[i]))
	}
	return out
}
