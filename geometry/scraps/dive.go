// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"
)

// A dive cuts lanes round by round as a relaxation has them, until all are cut:
// for good those of which the relaxation cuts a whole number alike, and one
// more that comes nearest to it. Where a dive ends short, another turns off at
// one of its rounds; how many relaxations all dives may solve is bounded.
type dive struct {
	*task        // with all lengths
	coarse *task // with the lengths that relaxations use
	answer *answer
	left   int // work that may still be done
	noise  uint32
}

// stand is how far a dive has got.
type stand struct {
	pools []pool    // lanes not cut yet
	done  [][]piece // by cloth
}

// use is lanes of a group cut in one way, as a relaxation has it.
type use struct {
	meaning
	level float64
}

// whole is what a level holds of whole lanes.
func (u use) whole() int { return int(u.level + 1e-6) }

func (u use) rest() float64 { return u.level - float64(u.whole()) }

// from dives from a stand. turns is how often it may turn off the nearest way.
// It reports false when the first relaxation lacks something already.
func (d *dive) from(at stand, turns int) bool {
	for first := true; ; first = false {
		r := d.relaxed(at)
		level, uses := r.costs(), r.uses()
		if d.try(d.answer, d.rounded(r, at, uses)); d.done() {
			return true
		}
		if level > short {
			return !first
		}
		if d.answer.found && wholeBound(level-0.1) >= len(d.answer.sets) || len(uses) == 0 {
			return true // nothing better lies this way
		}
		if slices.ContainsFunc(uses, func(u use) bool { return u.whole() > 0 }) {
			next := r.cutting(at)
			for _, u := range uses {
				next.cut(u, u.whole())
			}
			at = next.stand()
			continue
		}
		for i := 1; i <= min(turns, 2) && i < len(uses); i++ {
			if d.from(r.cutOne(at, uses[i]), turns-i); d.done() {
				return true
			}
		}
		at = r.cutOne(at, uses[0])
	}
}

// done reports whether there is nothing to be found or no work left.
func (d *dive) done() bool { return d.answer.closed() || d.left <= 0 }

// relaxed solves the relaxation of what is left at a stand.
func (d *dive) relaxed(at stand) *relaxed {
	r := d.coarse.relax(at.pools, d.fixed(at), d.noise)
	size := r.Rows * r.Rows
	r.run(oneEach, min(steps(r), d.left/size+1))
	d.left -= (r.Steps + 50) * size
	return r
}

// uses returns the ways to cut that the relaxation uses, the largest fraction
// of a lane first.
func (r *relaxed) uses() []use {
	var out []use
	levels := r.Levels()
	for j, m := range r.means {
		if m.classes != nil && levels[j] > 1e-6 {
			out = append(out, use{m, levels[j]})
		}
	}
	slices.SortStableFunc(out, func(a, b use) int { return cmp.Compare(b.rest(), a.rest()) })
	return out
}

// lanesCut is how lanes are cut that a relaxation has.
type lanesCut struct {
	*relaxed
	left [][][]lane // by pool and group
	done [][]piece  // by cloth
}

// cutting begins to cut at a stand.
func (r *relaxed) cutting(at stand) *lanesCut {
	c := &lanesCut{r, make([][][]lane, len(r.pools)), slices.Clone(at.done)}
	for p := range r.pools {
		for _, g := range r.groups[p] {
			c.left[p] = append(c.left[p], g.lanes)
		}
	}
	return c
}

// cut cuts up to n lanes in one way.
func (c *lanesCut) cut(u use, n int) {
	lanes := &c.left[u.pool][u.group]
	n = min(n, len(*lanes))
	for _, l := range (*lanes)[:n] {
		c.add(u.pool, c.task.cut(l, u.classes))
	}
	*lanes = (*lanes)[n:]
}

func (c *lanesCut) add(pool int, pieces []piece) {
	cloth := c.families[c.pools[pool].families[0]].cloth
	c.done[cloth] = append(slices.Clip(c.done[cloth]), pieces...)
}

func (c *lanesCut) stand() stand {
	out := stand{done: c.done}
	for p := range c.pools {
		out.pools = append(out.pools, pool{families: c.pools[p].families, lanes: slices.Concat(c.left[p]...)})
	}
	return out
}

// cutOne cuts one lane for good.
func (r *relaxed) cutOne(at stand, u use) stand {
	c := r.cutting(at)
	c.cut(u, 1)
	return c.stand()
}

// rounded cuts all lanes as the relaxation has them, larger fractions first,
// and leaves those whole that it doesn't cut.
func (d *dive) rounded(r *relaxed, at stand, uses []use) [][]piece {
	c := r.cutting(at)
	for _, u := range uses {
		c.cut(u, u.whole())
	}
	for _, u := range uses {
		if u.rest() > 1e-6 {
			c.cut(u, 1)
		}
	}
	for p, groups := range c.left {
		for _, l := range slices.Concat(groups...) {
			c.add(p, []piece{{l.length, l.id}})
		}
	}
	return c.done
}

// cut cuts a lane into classes; the first piece keeps what is left over.
func (t *task) cut(l lane, classes []int) []piece {
	var out []piece
	left := l.length
	for _, k := range classes {
		out = append(out, piece{t.lengths[k], l.id})
		left -= t.lengths[k]
	}
	out[0].length += max(left, 0)
	return out
}

// fixed counts the pieces that are cut already, as [task.relax] asks for them.
func (d *dive) fixed(at stand) [][]int {
	out := make([][]int, len(d.families))
	for i, f := range d.families {
		out[i] = make([]int, len(d.coarse.lengths))
		for _, p := range at.done[f.cloth] {
			if d.cloths[f.cloth].lanes[p.lane].class < f.class {
				continue
			}
			for k := d.coarse.class(p.length); k >= 0; k-- {
				out[i][k]++
			}
		}
	}
	return out
}
