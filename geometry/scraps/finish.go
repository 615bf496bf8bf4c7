// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
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

// mixed reports whether it holds both leans, which an edge triangle parts.
func (s *sewn) mixed() bool { return s.diamonds[0] > 0 && s.diamonds[1] > 0 }

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
	for i := range out {
		out[i].length = t.length(out[i].all(), out[i].triangles())
	}
	t.shorten(out)
	// A strip set that ended without a piece is none.
	out = slices.DeleteFunc(out, func(s sewn) bool { return s.all()+s.triangles() == 0 })
	slices.SortStableFunc(out, func(a, b sewn) int { return cmp.Compare(b.length, a.length) })
	t.recut(out)
	return out
}

// trim leaves out what is not needed.
func (t *task) trim(sets []sewn) {
	for lean, n := range t.need.diamonds {
		leaveOut(sets, n, func(s *sewn) *int { return &s.diamonds[lean] })
	}
	for i := range t.need.goals() {
		none := new(int)
		of := func(s *sewn, n *int) *int {
			if t.need.of(int(s.lean)) != i {
				return none
			}
			return n
		}
		leaveOut(sets, t.need.lowers[i], func(s *sewn) *int { return of(s, &s.lowers) })
		leaveOut(sets, t.need.uppers[i], func(s *sewn) *int { return of(s, &s.uppers) })
	}
}

// leaveOut leaves out what there is more than needed of one kind, in the last
// strip sets first.
func leaveOut(sets []sewn, need int, kind func(s *sewn) *int) {
	for i := range sets {
		need -= *kind(&sets[i])
	}
	for i := len(sets) - 1; i >= 0 && need < 0; i-- {
		s := &sets[i]
		n := kind(s)
		less := min(*n, -need)
		if s.mixed() && (n == &s.lowers || n == &s.uppers) {
			less = min(less, s.lowers+s.uppers-1) // one parts the leans
		}
		*n -= less
		need += less
	}
}

// moved is pieces that move from one strip set to another.
type moved struct{ right, left, lowers, uppers int }

// moves are at most one piece of each kind, there or back, an edge triangle
// among them and not both leans.
var moves = func() (out []moved) {
	for code := range 3 * 3 * 3 * 3 {
		m := moved{code/27 - 1, code/9%3 - 1, code/3%3 - 1, code%3 - 1}
		if (m.lowers != 0 || m.uppers != 0) && (m.right == 0 || m.left == 0) {
			out = append(out, m)
		}
	}
	return out
}()

func (s sewn) plus(m moved, sign int) sewn {
	s.diamonds[0] += sign * m.right
	s.diamonds[1] += sign * m.left
	s.lowers += sign * m.lowers
	s.uppers += sign * m.uppers
	return s
}

const (
	// mostPairs bounds how many pairs of strip sets shorten looks at.
	mostPairs = 200_000
	// mostPrices bounds the steps in which leastLength finds its prices.
	mostPrices = 1000
)

// shorten moves pieces between strip sets as long as that makes them shorter
// together.
func (t *task) shorten(sets []sewn) {
	if len(sets) < 2 {
		return
	}
	spare := -ticks(t.leastLength(len(sets), len(sets)) + roundingError)
	for _, s := range sets {
		spare += s.length
	}
	pairs := 0
	for again := true; again; {
		again = false
		for i := range sets {
			for j := range sets {
				if i == j || !t.need.pooled && sets[i].lean != sets[j].lean {
					continue
				}
				if pairs++; pairs > mostPairs || spare <= 0 {
					return
				}
				if gain := t.move(&sets[i], &sets[j]); gain > 0 {
					spare -= gain
					again = true
				}
			}
		}
	}
}

// move moves pieces from one strip set to another in every way that makes them
// shorter together, and returns by how much.
func (t *task) move(from, to *sewn) int64 {
	gain := int64(0)
	for _, m := range moves {
		a, b := from.plus(m, -1), to.plus(m, 1)
		if !t.measure(&a) || !t.measure(&b) {
			continue
		}
		if less := from.length + to.length - a.length - b.length; less > slack {
			*from, *to = a, b
			gain += less
		}
	}
	return gain
}

// measure works out the lean and the length of a strip set and reports whether
// it may be cut so.
func (t *task) measure(s *sewn) bool {
	if min(s.lowers, s.uppers, s.diamonds[0], s.diamonds[1]) < 0 ||
		s.mixed() && (!t.need.mix || s.triangles() == 0) ||
		!t.need.pooled && s.diamonds[s.lean.Other()] > 0 {
		return false
	}
	switch {
	case !t.need.pooled:
	case s.diamonds[1] > s.diamonds[0]:
		s.lean = geometry.Left
	case s.diamonds[0] > 0:
		s.lean = geometry.Right
	}
	if _, ok := t.rows[held{s.all(), s.triangles()}]; !ok {
		return false
	}
	s.length = t.length(s.all(), s.triangles())
	return s.length <= s.most
}

// leastLength returns a length that no plan with from fewest to most strip sets
// can be sewn below, by linear duality: at a price for a diamond and one for an
// edge triangle towards either goal, each strip set is at least so much longer
// than its pieces are priced, or so much shorter. The prices are those of the
// linear program over all rows; were they others, the bound would be lower.
func (t *task) leastLength(fewest, most int) float64 {
	goals := t.need.goals()
	right := []float64{float64(t.need.all())}
	for _, g := range goals {
		right = append(right, float64(g.total))
	}
	at := len(right) // the row of the number of strip sets
	right = append(right, float64(fewest))
	start := make([]linear.Column, len(right))
	for i := range start {
		start[i] = linear.Column{Cost: missing, Row: []int32{int32(i)}, Entry: []float64{1}}
	}
	if fewest < most { // at least the one, at most the other
		right = append(right, float64(most))
		start = append(start, linear.Column{Row: []int32{int32(at + 1)}, Entry: []float64{1}})
	}
	p := linear.New(right, start)
	for i := range len(right) - 1 {
		p.Add(linear.Column{Row: []int32{int32(i)}, Entry: []float64{-1}})
	}
	for i, g := range goals {
		rows := []int32{0, int32(1 + i), int32(at), int32(at + 1)}[:3+len(right)-1-at]
		for _, l := range t.all {
			gives := []float64{float64(l.Diamonds), float64(g.value(l.Triangles)), 1, 1}
			p.Add(linear.Column{Cost: l.Length, Row: rows, Entry: gives[:len(rows)]})
		}
	}
	p.Optimise(mostPrices)
	diamond, longer := max(p.Duals[0], 0), math.Inf(1)
	worth := float64(diamond * float64(t.need.all()))
	for i, g := range goals {
		triangle := max(p.Duals[1+i], 0)
		worth += float64(triangle * float64(g.total))
		for _, l := range t.all {
			longer = min(longer, l.Length-float64(diamond*float64(l.Diamonds))-float64(triangle*float64(g.value(l.Triangles))))
		}
	}
	number := fewest
	if longer < 0 {
		number = most
	}
	return max(worth+float64(longer*float64(number)), 0)
}

// recut takes the strips from the lanes of which the least is then left, where
// that works out for all; sets come longest first.
func (t *task) recut(sets []sewn) {
	for c, cl := range t.cloths {
		left := cl.whole()
		lanes := make([][]int, len(sets))
		for i := range sets {
			lanes[i] = cl.cut(left, sets[i].length)
		}
		if slices.ContainsFunc(lanes, func(l []int) bool { return l == nil }) {
			continue
		}
		for i := range sets {
			sets[i].lanes = slices.Clone(sets[i].lanes)
			sets[i].lanes[c] = lanes[i]
		}
	}
}
