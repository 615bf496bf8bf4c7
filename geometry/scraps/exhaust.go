// SPDX-License-Identifier: Apache-2.0

package scraps

// mostWays bounds how many ways to cut all lanes exhaust looks at.
const mostWays = 20_000

// exhaust tries every way to cut the lanes, where there are few of both: so
// that no small scrap bin is turned away for want of luck.
func (t *task) exhaust(a *answer) {
	type lanes struct {
		cloth    int
		lanes    []int // alike, by their index
		patterns [][]int
	}
	long := 0 // lanes that can be cut in two ways or more
	for _, cl := range t.cloths {
		for _, l := range cl.lanes {
			if l.length+slack >= 2*t.lengths[0] {
				long++
			}
		}
	}
	if long > 14 {
		return // 2 to that power is too many
	}
	var groups []lanes
	ways := 1
	for c, cl := range t.cloths {
		for j, l := range cl.lanes {
			if l.length+slack < t.lengths[0] {
				continue
			}
			if n := len(groups); n > 0 && groups[n-1].cloth == c && cl.lanes[groups[n-1].lanes[0]].length == l.length && cl.lanes[groups[n-1].lanes[0]].class == l.class {
				groups[n-1].lanes = append(groups[n-1].lanes, j)
				continue
			}
			patterns := t.patterns(l.length, mostWays)
			groups = append(groups, lanes{c, []int{j}, patterns})
			// Lanes alike multiply below.
			if ways *= len(patterns); ways > mostWays {
				return
			}
		}
	}
	for _, g := range groups {
		for range len(g.lanes) - 1 {
			if ways *= len(g.patterns); ways > mostWays {
				return
			}
		}
	}
	pieces := make([][]piece, len(t.cloths))
	var choose func(g, lane, from int)
	choose = func(g, lane, from int) {
		if a.closed() {
			return
		}
		if g == len(groups) {
			t.try(a, pieces)
			return
		}
		one := groups[g]
		if lane == len(one.lanes) {
			choose(g+1, 0, 0)
			return
		}
		l := t.cloths[one.cloth].lanes[one.lanes[lane]]
		l.id = one.lanes[lane]
		// Lanes alike are cut in one order of their patterns.
		for k := from; k < len(one.patterns); k++ {
			before := pieces[one.cloth]
			pieces[one.cloth] = append(before[:len(before):len(before)], t.cut(l, one.patterns[k])...)
			choose(g, lane+1, k)
			pieces[one.cloth] = before
		}
	}
	choose(0, 0, 0)
}

// patterns lists the ways to cut a lane of which no piece could be longer and
// to which none could be added, at most about so many.
func (t *task) patterns(length int64, most int) [][]int {
	var out [][]int
	var now []int
	var add func(left int64, top int)
	add = func(left int64, top int) {
		if len(out) > most {
			return
		}
		for k := top; k >= 0; k-- {
			if t.lengths[k] <= left {
				now = append(now, k)
				add(left-t.lengths[k], k)
				now = now[:len(now)-1]
			}
		}
		if left >= t.lengths[0] || len(now) == 0 {
			return
		}
		for _, k := range now {
			if k+1 < len(t.lengths) && t.lengths[k+1]-t.lengths[k] <= left {
				return
			}
		}
		out = append(out, append([]int{}, now...))
	}
	add(length+slack, len(t.lengths)-1)
	return out
}
