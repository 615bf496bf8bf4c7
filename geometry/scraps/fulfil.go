// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"slices"

	"lozenge/geometry"
)

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
	if t.need.pooled {
		return t.together(classes, t.need)
	}
	if cuts, ok := t.exchange(classes); ok {
		return cuts, true
	}
	cuts, ok := t.exactly(classes, t.need, goal{})
	return cuts, ok && share(cuts, t.need)
}

// together is fulfil where edge triangles serve both leans.
func (t *task) together(classes []int, n need) ([]cutting, bool) {
	cuts, ok := t.divide(classes, n, n.goal(0))
	if ok && !share(cuts, n) {
		// The halves don't come out even: enough of the larger for both.
		cuts, ok = t.divide(classes, n, goal{total: 2 * max(n.lowers[0], n.uppers[0])})
		ok = ok && share(cuts, n)
	}
	return cuts, ok
}

// divide finds diamonds of either lean and so many edge triangles in strip
// sets of these classes. Where the strip sets can't be divided between the leans
// so that both have just enough, a few diamonds more than needed may let them.
func (t *task) divide(classes []int, n need, g goal) ([]cutting, bool) {
	for more := range mostUneven {
		triangles, each := t.gains(classes, n.all()+more, g)
		if triangles < g.total {
			if more == 0 {
				return nil, false
			}
			break
		}
		if cuts, ok := t.lean(classes, each, n); ok {
			return cuts, true
		}
	}
	if n.mix {
		return nil, false
	}
	return t.exactly(classes, n, g)
}

// mostUneven bounds how many diamonds more than needed divide looks at.
const mostUneven = 6

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
// then have enough, for each lean by itself where edge triangles don't serve
// both.
func share(cuts []cutting, n need) bool {
	for i := range cuts {
		c := &cuts[i]
		c.uppers = c.triangles / 2
		g := n.of(int(c.lean))
		n.lowers[g] -= c.uppers
		n.uppers[g] -= c.uppers
	}
	for i := range cuts {
		c := &cuts[i]
		g := n.of(int(c.lean))
		switch {
		case c.triangles%2 == 0:
		case n.lowers[g] > 0:
			n.lowers[g]--
		default:
			c.uppers++
			n.uppers[g]--
		}
	}
	return max(n.lowers[0], n.lowers[1], n.uppers[0], n.uppers[1]) <= 0
}

// lean divides strip sets cut for so many diamonds between the leans.
func (t *task) lean(classes, each []int, n need) ([]cutting, bool) {
	sum, whole := 0, 0              // of all diamonds; of strip sets that hold one lean
	alone := make([]int, len(each)) // diamonds of those
	split := func(j int) bool { return n.mix && t.most[classes[j]][each[j]] > 0 }
	for j, d := range each {
		if sum += d; !split(j) {
			alone[j] = d
			whole += d
		}
	}
	// Right-leaning ones among them may give from low to high diamonds.
	low, high := max(n.diamonds[0]-(sum-whole), 0), min(sum-n.diamonds[1], whole)
	onlyLeft := n.diamonds[0] == 0 && n.diamonds[1] > 0
	switch {
	case n.diamonds[0] == 0:
		high = 0
	case n.diamonds[1] == 0:
		low = whole
	}
	rights, given, ok := subset(alone, low, high)
	if !ok {
		return nil, false
	}
	cuts := make([]cutting, len(each))
	right := n.diamonds[0] - given // to come from those that hold both
	for j, d := range slices.Backward(each) {
		c := cutting{class: classes[j], triangles: t.most[classes[j]][d]}
		switch {
		case split(j):
			own := max(min(d, right), 0)
			right -= own
			if n.diamonds[1] == 0 {
				own = d
			}
			c.diamonds = [2]int{own, d - own}
			if own < d-own {
				c.lean = geometry.Left
			}
		case d == 0 && onlyLeft, d > 0 && !rights[j]:
			c.lean = geometry.Left
			fallthrough
		default:
			c.diamonds[c.lean] = d
		}
		cuts[j] = c
	}
	return cuts, true
}

// subset chooses numbers that add up to low or little more, at most to high.
func subset(numbers []int, low, high int) (chosen []bool, sum int, ok bool) {
	if low > high {
		return nil, 0, false
	}
	reached := make([][]bool, len(numbers)+1) // sums of some of the first
	for j := range reached {
		reached[j] = make([]bool, high+1)
	}
	reached[0][0] = true
	for j, d := range numbers {
		for s := range reached[j] {
			reached[j+1][s] = reached[j][s] || s >= d && reached[j][s-d]
		}
	}
	more := slices.Index(reached[len(numbers)][low:], true)
	if more < 0 {
		return nil, 0, false
	}
	sum = low + more
	chosen = make([]bool, len(numbers))
	at := sum
	for j, d := range slices.Backward(numbers) {
		if chosen[j] = at >= d && reached[j][at-d]; chosen[j] {
			at -= d
		}
	}
	return chosen, sum, true
}
