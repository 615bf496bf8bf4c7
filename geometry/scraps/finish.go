// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// sewn is a strip set as it will be sewn and cut: no more than is needed.
type sewn struct {
	lean           geometry.Lean
	diamonds       [2]int
	lowers, uppers int   // that are needed
	most           int64 // length of its class
	length         int64
	lanes          [][]int // as in made
}

// triangles returns how many edge triangles the row has: lowers and uppers
// alternate, so that two more of one half bring one of the other.
func (s *sewn) triangles() int {
	if d := s.lowers - s.uppers; d > 1 || d < -1 {
		return 2*max(s.lowers, s.uppers) - 1
	}
	return s.lowers + s.uppers
}

func (s *sewn) all() int { return s.diamonds[0] + s.diamonds[1] }

// pieces is what moves from one strip set to another.
type moved struct{ right, left, lowers, uppers int }

func (s sewn) plus(m moved, sign int) sewn {
	s.diamonds[0] += sign * m.right
	s.diamonds[1] += sign * m.left
	s.lowers += sign * m.lowers
	s.uppers += sign * m.uppers
	return s
}

// finish turns an answer into strip sets that are cut for no more than the
// need, as short as it finds them, and takes their strips from the scraps of
// which the least is then left.
func (t *task) finish(a answer) []sewn {
	out := make([]sewn, len(a.sets))
	for i, c := range a.cuts {
		out[i] = sewn{
			lean: c.lean, diamonds: c.diamonds,
			lowers: c.triangles - c.uppers, uppers: c.uppers,
			most: t.lengths[c.class], lanes: a.sets[i].lanes,
		}
	}
	t.trim(out)
	t.measure(out)
	t.shorten(out)
	// A strip set that ended without a piece is none.
	out = slices.DeleteFunc(out, func(s sewn) bool { return s.all()+s.triangles() == 0 })
	slices.SortStableFunc(out, func(a, b sewn) int { return cmp.Compare(b.length, a.length) })
	t.recut(out)
	return out
}

// trim leaves out what is not needed, in the last strip sets first.
func (t *task) trim(sets []sewn) {
	over := func(need int, at func(s *sewn) *int) {
		for i := range sets {
			need -= *at(&sets[i])
		}
		for i := len(sets) - 1; i >= 0 && need < 0; i-- {
			s := &sets[i]
			n := at(s)
			less := min(*n, -need)
			if s.diamonds[0] > 0 && s.diamonds[1] > 0 && (n == &s.lowers || n == &s.uppers) {
				less = min(less, s.lowers+s.uppers-1) // one parts the leans
			}
			*n -= less
			need += less
		}
	}
	n := t.need
	for lean := range 2 {
		over(n.diamonds[lean], func(s *sewn) *int { return &s.diamonds[lean] })
	}
	if n.pooled {
		over(n.lowers[0], func(s *sewn) *int { return &s.lowers })
		over(n.uppers[0], func(s *sewn) *int { return &s.uppers })
		return
	}
	for lean := range 2 {
		spare := new(int)
		over(n.lowers[lean], func(s *sewn) *int {
			if int(s.lean) != lean {
				*spare = 0
				return spare
			}
			return &s.lowers
		})
		over(n.uppers[lean], func(s *sewn) *int {
			if int(s.lean) != lean {
				*spare = 0
				return spare
			}
			return &s.uppers
		})
	}
}

func (t *task) measure(sets []sewn) {
	for i := range sets {
		sets[i].length = t.length(sets[i].all(), sets[i].triangles())
	}
}

// mostPairs bounds how many pairs of strip sets shorten looks at.
const mostPairs = 200_000

// shorten moves pieces between strip sets as long as that makes them shorter
// together.
func (t *task) shorten(sets []sewn) {
	var moves []moved
	for right := -1; right <= 1; right++ {
		for left := -1; left <= 1; left++ {
			for lowers := -1; lowers <= 1; lowers++ {
				for uppers := -1; uppers <= 1; uppers++ {
					m := moved{right, left, lowers, uppers}
					if lowers|uppers != 0 && right*left == 0 {
						moves = append(moves, m)
					}
				}
			}
		}
	}
	total := int64(0)
	for _, s := range sets {
		total += s.length
	}
	least := ticks(t.leastLength(len(sets), len(sets)))
	pairs := 0
	for again := true; again && total > least+slack; {
		again = false
		for i := range sets {
			for j := range sets {
				if i == j || total <= least+slack || !t.need.pooled && sets[i].lean != sets[j].lean {
					continue
				}
				if pairs++; pairs > mostPairs {
					return
				}
				for _, m := range moves {
					a, b := sets[i].plus(m, -1), sets[j].plus(m, 1)
					if !t.good(&a) || !t.good(&b) {
						continue
					}
					if gain := sets[i].length + sets[j].length - a.length - b.length; gain > slack {
						total -= gain
						sets[i], sets[j] = a, b
						again = true
					}
				}
			}
		}
	}
}

// good measures a strip set and reports whether it may be cut so.
func (t *task) good(s *sewn) bool {
	if s.lowers < 0 || s.uppers < 0 || s.diamonds[0] < 0 || s.diamonds[1] < 0 {
		return false
	}
	if s.diamonds[0] > 0 && s.diamonds[1] > 0 && (!t.need.mix || s.triangles() == 0) {
		return false
	}
	switch lean := geometry.Lean(geometry.Right); {
	case !t.need.pooled && s.diamonds[s.lean.Other()] > 0:
		return false
	case s.diamonds[1] > s.diamonds[0]:
		s.lean = geometry.Left
	case s.diamonds[0] > 0:
		s.lean = lean
	}
	if s.all()+s.triangles() == 0 {
		return false
	}
	if _, ok := t.rows[held{s.all(), s.triangles()}]; !ok {
		return false
	}
	s.length = t.length(s.all(), s.triangles())
	return s.length <= s.most
}

// leastLength returns a length that no plan with from fewest to most strip sets
// can be sewn below, by linear duality: with a price for a diamond and one for
// an edge triangle of either goal, each strip set is at least so much longer
// than its pieces are priced, or so much shorter.
func (t *task) leastLength(fewest, most int) float64 {
	goals := t.need.goals()
	// The prices to try: what one more piece adds to a row.
	var sides, steps []float64
	note := func(list *[]float64, v float64) {
		if !slices.ContainsFunc(*list, func(w float64) bool { return math.Abs(v-w) < 1e-9 }) && len(*list) < 16 {
			*list = append(*list, v)
		}
	}
	length := func(d, n int) (float64, bool) {
		l, ok := t.rows[held{d, n}]
		return l.Length, ok
	}
	steps = append(steps, 0)
	for d := range 3 {
		for n := range 5 {
			from, ok := length(d, n)
			if !ok {
				continue
			}
			if to, ok := length(d+1, n); ok {
				note(&sides, to-from)
			}
			for more := 1; more <= 2; more++ {
				if to, ok := length(d, n+more); ok {
					note(&steps, (to-from)/float64(more))
					note(&steps, to-from)
				}
			}
		}
	}
	var rows []strip.Least
	for _, l := range t.rows {
		rows = append(rows, l) // the order plays no part below
	}
	best := 0.0
	second := []float64{0}
	if len(goals) > 1 {
		second = steps
	}
	for _, side := range sides {
		for _, q0 := range steps {
			for _, q1 := range second {
				lost := math.Inf(1)
				for _, l := range rows {
					rest := l.Length - float64(side*float64(l.Diamonds))
					lost = min(lost, rest-float64(q0*float64(goals[0].value(l.Triangles))))
					if len(goals) > 1 {
						lost = min(lost, rest-float64(q1*float64(goals[1].value(l.Triangles))))
					}
				}
				sets := fewest
				if lost < 0 {
					sets = most
				}
				b := float64(side*float64(t.need.all())) + float64(q0*float64(goals[0].total)) + float64(lost*float64(sets))
				if len(goals) > 1 {
					b += float64(q1 * float64(goals[1].total))
				}
				best = max(best, b)
			}
		}
	}
	return best
}

// recut takes the strips from the lanes of which the least is then left, where
// that works out for all; sets come longest first.
func (t *task) recut(sets []sewn) {
	for c, cl := range t.cloths {
		left := make([]int64, len(cl.lanes))
		for j, l := range cl.lanes {
			left[j] = l.length + slack
		}
		lanes := make([][]int, len(sets))
		ok := true
		for i := range sets {
			if lanes[i] = cl.cut(left, sets[i].length); lanes[i] == nil {
				ok = false
				break
			}
		}
		if !ok {
			continue
		}
		for i := range sets {
			sets[i].lanes = slices.Clone(sets[i].lanes)
			sets[i].lanes[c] = lanes[i]
		}
	}
}
