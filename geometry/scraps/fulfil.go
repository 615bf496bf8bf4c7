// SPDX-License-Identifier: Apache-2.0

package scraps

import "lozenge/geometry"

// cutting is how one strip set is cut.
type cutting struct {
	class     int // of its length
	lean      geometry.Lean
	diamonds  [2]int
	triangles int
	uppers    int // of triangles
}

// fulfil decides how strip sets of these classes are cut so that they meet the
// need, or reports that it found no way.
func (t *task) fulfil(classes []int) ([]cutting, bool) {
	if !t.need.pooled {
		return t.apart(classes)
	}
	return t.together(classes, t.need)
}

// together is fulfil where edge triangles serve both leans.
func (t *task) together(classes []int, n need) ([]cutting, bool) {
	cuts, ok := t.divide(classes, n, n.goal(0))
	if !ok {
		return nil, false
	}
	if !share(cuts, n.lowers[0], n.uppers[0]) {
		// The halves don't come out even: enough of the larger for both.
		cuts, ok = t.divide(classes, n, goal{total: 2 * max(n.lowers[0], n.uppers[0])})
		if !ok || !share(cuts, n.lowers[0], n.uppers[0]) {
			return nil, false
		}
	}
	return cuts, true
}

// divide finds diamonds of either lean and so many edge triangles in strip
// sets of these classes.
func (t *task) divide(classes []int, n need, g goal) ([]cutting, bool) {
	triangles, each := t.gains(classes, n.all(), g)
	if triangles < g.total {
		return nil, false
	}
	if cuts, ok := t.lean(classes, each, n); ok {
		return cuts, true
	}
	return t.leanExactly(classes, n, g)
}

// gains returns the most edge triangles that strip sets of these classes give
// beside so many diamonds, and how many diamonds each is then cut for; below 0
// when they don't give the diamonds. It is exact: for every number of diamonds
// that the strip sets could give and don't, it knows the most edge triangles.
func (t *task) gains(classes []int, diamonds int, g goal) (triangles int, each []int) {
	spare := -diamonds
	for _, k := range classes {
		spare += len(t.most[k]) - 1
	}
	if spare < 0 {
		return -1, nil
	}
	// No more can be given up for good than brings all the edge triangles.
	const none = -1 << 30
	best, next := make([]int, spare+1), make([]int, spare+1)
	for s := 1; s <= spare; s++ {
		best[s] = none
	}
	given := make([]uint16, len(classes)*(spare+1))
	reach := 0
	for j, k := range classes {
		most := t.most[k]
		top := len(most) - 1
		from := given[j*(spare+1):]
		reach = min(reach+top, spare)
		for s := range next[:reach+1] {
			v, at := none, 0
			for gave := 0; gave <= min(s, top); gave++ {
				if w := best[s-gave] + g.value(most[top-gave]); w > v {
					v, at = w, gave
				}
			}
			next[s], from[s] = v, uint16(at)
		}
		for s := reach + 1; s <= spare; s++ {
			next[s] = none
		}
		best, next = next, best
	}
	s := 0
	for i, v := range best {
		if v > best[s] {
			s = i
		}
	}
	triangles = best[s]
	each = make([]int, len(classes))
	for j := len(classes) - 1; j >= 0; j-- {
		gave := int(given[j*(spare+1)+s])
		each[j] = len(t.most[classes[j]]) - 1 - gave
		s -= gave
	}
	return triangles, each
}

// share gives the odd edge triangle of each row to one of the halves: to the
// lowers until they have enough, then to the uppers. It reports whether both
// then have enough.
func share(cuts []cutting, lowers, uppers int) bool {
	for _, c := range cuts {
		lowers -= c.triangles / 2
		uppers -= c.triangles / 2
	}
	for i := range cuts {
		c := &cuts[i]
		c.uppers = c.triangles / 2
		if c.triangles%2 == 0 {
			continue
		}
		if lowers > 0 {
			lowers--
		} else {
			c.uppers++
			uppers--
		}
	}
	return lowers <= 0 && uppers <= 0
}

// lean divides strip sets cut for so many diamonds between the leans.
func (t *task) lean(classes, each []int, n need) ([]cutting, bool) {
	sum, whole := 0, 0 // of all diamonds; of strip sets that hold one lean
	splits := make([]bool, len(each))
	for j, d := range each {
		sum += d
		if splits[j] = n.mix && t.most[classes[j]][d] > 0; !splits[j] {
			whole += d
		}
	}
	// Right-leaning ones among the whole strip sets may give from low to
	// high diamonds.
	low, high := max(n.diamonds[0]-(sum-whole), 0), min(sum-n.diamonds[1], whole)
	switch {
	case n.diamonds[0] == 0:
		high = 0
	case n.diamonds[1] == 0:
		low = whole
	}
	if low > high {
		return nil, false
	}
	// reached[j*(high+1)+s]: some of the first j give s diamonds.
	reached := make([]bool, (len(each)+1)*(high+1))
	reached[0] = true
	for j, d := range each {
		now, next := reached[j*(high+1):(j+1)*(high+1)], reached[(j+1)*(high+1):(j+2)*(high+1)]
		copy(next, now)
		if splits[j] || d == 0 {
			continue
		}
		for s := d; s <= high; s++ {
			if now[s-d] {
				next[s] = true
			}
		}
	}
	at := low
	for last := reached[len(each)*(high+1):]; !last[at]; {
		if at++; at > high {
			return nil, false
		}
	}
	cuts := make([]cutting, len(each))
	right := n.diamonds[0] - at
	for j := len(each) - 1; j >= 0; j-- {
		d := each[j]
		c := cutting{class: classes[j], triangles: t.most[classes[j]][d]}
		switch {
		case splits[j]:
			own := max(min(d, right), 0)
			right -= own
			if n.diamonds[1] == 0 {
				own = d
			}
			c.diamonds = [2]int{own, d - own}
			if own < d-own {
				c.lean = geometry.Left
			}
		case d == 0:
			if n.diamonds[0] == 0 && n.diamonds[1] > 0 {
				c.lean = geometry.Left
			}
		case at >= d && reached[j*(high+1)+at-d]:
			at -= d
			c.diamonds[0] = d
		default:
			c.lean = geometry.Left
			c.diamonds[1] = d
		}
		cuts[j] = c
	}
	return cuts, true
}

// mostStates bounds the table of leanExactly.
const mostStates = 1 << 20

// leanExactly tries every number of diamonds in every strip set, for each
// lean, where the table of them is not too large.
func (t *task) leanExactly(classes []int, n need, g goal) ([]cutting, bool) {
	wide, high := n.diamonds[0]+1, n.diamonds[1]+1
	if len(classes)*wide*high > mostStates || n.mix {
		return nil, false
	}
	const none = -1 << 30
	best := make([]int, wide*high)
	for i := range best {
		best[i] = none
	}
	best[0] = 0
	type step struct {
		before int32
		d      int16
		lean   int8
	}
	steps := make([][]step, len(classes))
	for j, k := range classes {
		most := t.most[k]
		next := make([]int, len(best))
		for i := range next {
			next[i] = none
		}
		steps[j] = make([]step, len(best))
		for i, v := range best {
			if v < 0 {
				continue
			}
			r, l := i/high, i%high
			for d := len(most) - 1; d >= 0; d-- {
				w := v + g.value(most[d])
				if a := min(r+d, wide-1)*high + l; w > next[a] {
					next[a], steps[j][a] = w, step{int32(i), int16(d), 0}
				}
				if a := r*high + min(l+d, high-1); w > next[a] {
					next[a], steps[j][a] = w, step{int32(i), int16(d), 1}
				}
			}
		}
		best = next
	}
	at := len(best) - 1
	if best[at] < g.total {
		return nil, false
	}
	cuts := make([]cutting, len(classes))
	for j := len(classes) - 1; j >= 0; j-- {
		s := steps[j][at]
		c := cutting{class: classes[j], lean: geometry.Lean(s.lean), triangles: t.most[classes[j]][s.d]}
		c.diamonds[s.lean] = int(s.d)
		if n.diamonds[0] == 0 && n.diamonds[1] > 0 {
			c.lean = geometry.Left
		}
		cuts[j] = c
		at = int(s.before)
	}
	return cuts, true
}
