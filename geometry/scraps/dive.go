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
		r := d.coarse.relax(at.pools, d.fixed(at), d.noise)
		most := min(steps(r), d.left/(r.Rows*r.Rows)+1)
		before := r.Steps
		r.run([2]float64{1, 1}, most)
		d.left -= (r.Steps - before + 50) * r.Rows * r.Rows
		level := r.costs()
		uses := r.uses()
		if d.try(d.answer, d.rounded(r, at, uses)); d.answer.closed() || d.left <= 0 {
			return true
		}
		if level > short {
			return !first
		}
		if d.answer.found && wholeBound(level-0.1) >= len(d.answer.sets) || len(uses) == 0 {
			return true // nothing better lies this way
		}
		whole := slices.ContainsFunc(uses, func(u use) bool { return u.whole() > 0 })
		if !whole {
			for i := 1; i <= min(turns, 2) && i < len(uses); i++ {
				d.from(d.cutOne(r, at, uses[i]), turns-i)
				if d.answer.closed() || d.left <= 0 {
					return true
				}
			}
			at = d.cutOne(r, at, uses[0])
			continue
		}
		at = d.cutWhole(r, at, uses)
	}
}

// uses returns the ways to cut that the relaxation uses, the largest fraction
// of a lane first.
func (r *relaxed) uses() []use {
	var out []use
	levels := r.Levels()
	for j, m := range r.means {
		if m.pool >= 0 && levels[j] > 1e-6 {
			out = append(out, use{m, levels[j]})
		}
	}
	slices.SortStableFunc(out, func(a, b use) int { return cmp.Compare(b.rest(), a.rest()) })
	return out
}

// cloth returns the cloth of a pool.
func (r *relaxed) cloth(pool int) int { return r.families[r.pools[pool].families[0]].cloth }

// lanes returns the lanes by pool and group.
func (r *relaxed) lanes() [][][]lane {
	out := make([][][]lane, len(r.pools))
	for p := range r.pools {
		for _, g := range r.groups[p] {
			out[p] = append(out[p], g.lanes)
		}
	}
	return out
}

// rounded cuts all lanes as the relaxation has them, larger fractions first,
// and leaves those whole that it doesn't cut.
func (d *dive) rounded(r *relaxed, at stand, uses []use) [][]piece {
	out := make([][]piece, len(d.cloths))
	for c := range out {
		out[c] = slices.Clone(at.done[c])
	}
	left := r.lanes()
	cut := func(u use) {
		lanes := left[u.pool][u.group]
		if len(lanes) == 0 {
			return
		}
		left[u.pool][u.group] = lanes[1:]
		out[r.cloth(u.pool)] = append(out[r.cloth(u.pool)], r.cut(lanes[0], u.classes)...)
	}
	for _, u := range uses {
		for range u.whole() {
			cut(u)
		}
	}
	for _, u := range uses {
		if u.rest() > 1e-6 {
			cut(u)
		}
	}
	for p := range left {
		for _, lanes := range left[p] {
			for _, l := range lanes {
				out[r.cloth(p)] = append(out[r.cloth(p)], piece{l.length, l.id})
			}
		}
	}
	return out
}

// cutWhole cuts as many whole lanes for good as the relaxation does.
func (d *dive) cutWhole(r *relaxed, at stand, uses []use) stand {
	left := r.lanes()
	done := slices.Clone(at.done)
	for _, u := range uses {
		n := min(u.whole(), len(left[u.pool][u.group]))
		c := r.cloth(u.pool)
		for _, l := range left[u.pool][u.group][:n] {
			done[c] = append(slices.Clip(done[c]), r.cut(l, u.classes)...)
		}
		left[u.pool][u.group] = left[u.pool][u.group][n:]
	}
	return r.stand(left, done)
}

// cutOne cuts one lane for good.
func (d *dive) cutOne(r *relaxed, at stand, u use) stand {
	left := r.lanes()
	done := slices.Clone(at.done)
	lanes := left[u.pool][u.group]
	c := r.cloth(u.pool)
	done[c] = append(slices.Clip(done[c]), r.cut(lanes[0], u.classes)...)
	left[u.pool][u.group] = lanes[1:]
	return r.stand(left, done)
}

func (r *relaxed) stand(left [][][]lane, done [][]piece) stand {
	out := stand{done: done}
	for p := range r.pools {
		one := pool{families: r.pools[p].families}
		for _, lanes := range left[p] {
			one.lanes = append(one.lanes, lanes...)
		}
		out.pools = append(out.pools, one)
	}
	return out
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
