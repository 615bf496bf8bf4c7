// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"slices"

	"lozenge/geometry"
)

// mostStates bounds the table of exactly.
const mostStates = 1 << 20

// states numbers what strip sets may give, no more than is needed of each:
// diamonds of a lean and, where each lean needs edge triangles of its own, what
// its rows count towards its goal; first right, then left. A number is the sum
// of each times its weight.
type states struct {
	most, weight [4]int
	number       int
}

func newStates(n need) states {
	s := states{most: [4]int{n.diamonds[0], 0, n.diamonds[1], 0}, number: 1}
	if !n.pooled {
		s.most[1], s.most[3] = n.goal(0).total, n.goal(1).total
	}
	for i, most := range slices.Backward(s.most[:]) {
		s.weight[i] = s.number
		s.number *= most + 1
	}
	return s
}

// lacks returns how much is needed still.
func (s states) lacks(number, of int) int {
	return s.most[of] - number/s.weight[of]%(s.most[of]+1)
}

// row is one that a strip set adds to a state.
type row struct {
	before int32
	d      int16
	lean   int8
}

// exactly tries every row of either lean in every strip set, one after the
// other, where the table of what they may give together is not too large. Edge
// triangles that serve both leans are counted towards g, beside the states.
func (t *task) exactly(classes []int, n need, g goal) ([]cutting, bool) {
	s := newStates(n)
	if s.number*len(classes) > mostStates {
		return nil, false
	}
	rows := make([][]row, len(classes))
	best := slices.Repeat([]int{-1}, s.number) // edge triangles counted beside each state
	best[0] = 0
	for j, k := range classes {
		best, rows[j] = t.withOne(best, s, k, n, g)
	}
	at := s.number - 1
	if best[at] < 0 || n.pooled && best[at] < g.total {
		return nil, false
	}
	cuts := make([]cutting, len(classes))
	for j, k := range slices.Backward(classes) {
		r := rows[j][at]
		c := cutting{class: k, lean: geometry.Lean(r.lean), triangles: t.most[k][r.d]}
		c.diamonds[r.lean] = int(r.d)
		if n.pooled && n.diamonds[0] == 0 && n.diamonds[1] > 0 {
			c.lean = geometry.Left
		}
		cuts[j], at = c, int(r.before)
	}
	return cuts, true
}

// withOne adds a strip set of a class to the states that are reached, best 0 or
// more.
func (t *task) withOne(best []int, s states, class int, n need, g goal) (next []int, rows []row) {
	next, rows = slices.Repeat([]int{-1}, s.number), make([]row, s.number)
	for i, before := range best {
		if before < 0 {
			continue
		}
		for lean := range 2 {
			diamonds, triangles := s.lacks(i, 2*lean), s.lacks(i, 2*lean+1)
			for d, most := range t.most[class] {
				to, beside := i+min(d, diamonds)*s.weight[2*lean], before
				if n.pooled {
					beside += g.value(most)
				} else {
					to += min(n.goal(lean).value(most), triangles) * s.weight[2*lean+1]
				}
				if beside > next[to] {
					next[to], rows[to] = beside, row{int32(i), int16(d), int8(lean)}
				}
			}
		}
	}
	return next, rows
}
