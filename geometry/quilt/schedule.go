// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
)

// Of few strip sets the best gradient is looked for among schedules. A schedule
// says where each way of the gradient ends: how many strip sets of each lean it
// has, and how many diamonds of each lean lie up to its end. They are found by
// dynamic programming with a cost that is never too high: what the edge
// triangles need is looked at for each way by itself. In the order of that cost
// each schedule becomes a program in whole numbers, with the rows in which its
// ways end and all else left open, until no other one can be better.

// stop is the end of a way.
type stop struct {
	dealt
	upTo [2]int  // diamonds of each lean up to here
	rows [2]int  // in which that is
	some [2]bool // the way gives any
}

// Limits of schedules.
const (
	fewSets      = 40         // strip sets for which they are looked for
	mostArcs     = 400_000    // steps from way to way that are looked at
	mostPaths    = 2000       // schedules that are looked at, alike in their rows or not
	mostPrograms = 60         // programs that are solved
	scheduleWork = 10_000_000 // for those, as the other limits
	perFurther   = 1000       // a further strip set counts for so many diamonds out of place
)

// node is a place in a schedule.
type node struct {
	colour, set int // colours that have ended; strip sets
	until       int // strip set at which the colour ends that has begun; 0 between colours
	right       int // strip sets that lean right
	upTo        [2]int
	further     int // strip sets that are needed at least so that all match
}

// arc is the way that leads from one node to another.
type arc struct {
	from int
	way  dealt
	cost int
}

// reached is a node with what leads there.
type reached struct {
	node
	least int
	arcs  []arc
}

// scheduler looks for schedules of so many strip sets, some right-leaning.
type scheduler struct {
	*shading
	sets, right int
	want        wish
	strict      bool
	limit       int // schedules cost less
	walks       [][]int
	colours     int // of the most colourful fabric, or strip sets where they are fewer
	most        [3][]int
	reached     []reached
	known       map[node]int
	at          [][]int // what is reached, by strip sets
	arcs        int
}

// price is what schedules and their programs make least, for one number of
// further strip sets.
func (a *shade) price() int {
	switch {
	case a == nil:
		return math.MaxInt / 2
	case a.all:
		return a.aside
	}
	return a.aside - a.matched
}

// scheduled returns an answer or a better one, where there are few strip sets. In
// a strict one no row holds colours of its lean that are not neighbours.
func (s *shading) scheduled(sets int, a *shade, want wish, strict bool) *shade {
	if sets > fewSets {
		return a
	}
	if want.all {
		for want.further = a.further - 1; want.further >= 0; want.further-- {
			b := s.among(sets, nil, want, strict)
			if b == nil {
				break
			}
			a = b
		}
		want.further = a.further
	}
	return s.among(sets, a, want, strict)
}

// among returns the best answer that is found among schedules; a where none is
// better.
func (s *shading) among(sets int, a *shade, want wish, strict bool) *shade {
	var open []*tryable
	for _, right := range s.rights(sets) {
		sc := &scheduler{shading: s, sets: sets, right: right, want: want, strict: strict, limit: a.price(), walks: s.plan.Spec.walks(), known: map[node]int{}}
		sc.look()
		open = append(open, sc.cases()...)
	}
	slices.SortStableFunc(open, func(a, b *tryable) int { return cmp.Compare(a.bound, b.bound) })
	work := scheduleWork
	for _, steps := range []int{firstSteps / 2, math.MaxInt} {
		for _, c := range open {
			if int(c.bound) >= a.price() || work <= 0 {
				continue
			}
			m := s.model(c.shadeCase, want)
			found := m.solve(float64(a.price()), min(work/m.Work(), steps), &work)
			if found.Proven {
				c.bound = math.MaxInt / 2
			}
			if found.Values != nil {
				if b := s.asided(m.answer(found)); b.price() < a.price() && !(strict && s.crowded(b)) {
					b.loose = !strict
					a = b
				}
			}
		}
	}
	return a
}

// cases returns the cases of the schedules that cost least, each once.
func (sc *scheduler) cases() (out []*tryable) {
	seen := map[string]bool{}
	sc.inOrder(func(path []stop, cost int) bool {
		c := sc.caseOf(path)
		if key := c.key(); !seen[key] {
			seen[key] = true
			out = append(out, &tryable{c, float64(cost)})
		}
		return len(out) < mostPrograms
	})
	return out
}

// key tells apart cases whose ways end in other rows.
func (c shadeCase) key() string {
	var b []byte
	for _, st := range c.stops {
		b = fmt.Append(b, st.sets, st.rows, st.some)
	}
	return string(fmt.Append(b, c.ways))
}

// caseOf turns a schedule into the case of a program: which ways lie in the rows
// at the ends, and in which row each way ends.
func (sc *scheduler) caseOf(path []stop) shadeCase {
	c := shadeCase{stops: path}
	var from [2]int
	for w := range path {
		st := &path[w]
		c.deal = append(c.deal, st.dealt)
		for lean, n := range st.upTo {
			st.rows[lean], _ = sc.row(geometry.Lean(lean), n)
			st.some[lean] = n > from[lean]
		}
		for at, e := range sc.ends {
			if low, high := sc.inEnd(at, from[e.row], st.upTo[e.row]); low < high {
				c.ways[at] = append(c.ways[at], w)
			}
		}
		from = st.upTo
	}
	slices.Reverse(c.ways[1])
	return c
}

// inEnd returns which columns of the row at an end diamonds take that are laid
// from one number to another one.
func (sc *scheduler) inEnd(at, from, upTo int) (low, high int) {
	first := 0
	if at == 1 {
		first = sc.plan.Need[sc.ends[at].row][geometry.Diamond] - sc.columns
	}
	return max(from-first, 0), min(upTo-first, sc.columns)
}

// look finds what can be reached, from the dark end on.
func (sc *scheduler) look() {
	sc.colours = min(sc.plan.Spec.mostColours(), sc.sets)
	if _, ok := sc.tops[sc.sets]; !ok {
		sc.tops[sc.sets] = [3][]int{geometry.LowerTriangle: sc.mostOf(geometry.LowerTriangle), geometry.UpperTriangle: sc.mostOf(geometry.UpperTriangle)}
	}
	sc.most = sc.tops[sc.sets]
	sc.at = make([][]int, sc.sets+1)
	sc.reach(-1, dealt{}, node{}, 0)
	for set := range sc.sets {
		for i := 0; i < len(sc.at[set]); i++ {
			sc.leave(sc.at[set][i])
		}
	}
}

// reach notes that an arc leads to a node.
func (sc *scheduler) reach(from int, way dealt, to node, cost int) {
	least := cost
	if from >= 0 {
		least += sc.reached[from].least
	}
	if sc.arcs++; sc.arcs > mostArcs || least-sc.hope(to) >= sc.limit {
		return
	}
	i, ok := sc.known[to]
	if !ok {
		i = len(sc.reached)
		sc.known[to], sc.at[to.set] = i, append(sc.at[to.set], i)
		sc.reached = append(sc.reached, reached{node: to, least: least})
	}
	r := &sc.reached[i]
	r.least = min(r.least, least)
	r.arcs = append(r.arcs, arc{from, way, cost})
}

// hope returns how many edge triangles may still match.
func (sc *scheduler) hope(n node) (out int) {
	if sc.want.all {
		return 0
	}
	for at, e := range sc.ends {
		if low, high := sc.inEnd(at, n.upTo[e.row], sc.plan.Need[e.row][geometry.Diamond]); low < high {
			out += high - low + 1
		}
	}
	return out
}

// leave follows all arcs from a node.
func (sc *scheduler) leave(from int) {
	n := sc.reached[from].node
	if n.until == 0 {
		least, most := sc.sets/sc.colours, (sc.sets+sc.colours-1)/sc.colours
		for share := least; share <= most; share++ {
			// What is left must be the shares of the other colours.
			left, others := sc.sets-n.set-share, sc.colours-n.colour-1
			if left >= others*least && left <= others*most {
				sc.way(from, n, n.set+share)
			}
		}
		return
	}
	sc.way(from, n, n.until)
}

// numbers returns the colours of a strip set, lowest strip first.
func (sc *scheduler) numbers(colour, set int) (out []int) {
	for _, walk := range sc.walks {
		at := (2*set + 1) * len(walk) / (2 * sc.sets)
		if len(walk) == sc.colours {
			at = colour
		}
		out = append(out, walk[at])
	}
	return out
}

// way follows the next way of a colour that ends at a strip set.
func (sc *scheduler) way(from int, n node, until int) {
	numbers, to := sc.numbers(n.colour, n.set), n
	for to.set, to.until = n.set+1, until; to.set < until && slices.Equal(numbers, sc.numbers(n.colour, to.set)); to.set++ {
	}
	if to.set == until {
		to.colour, to.until = n.colour+1, 0
	}
	sets := to.set - n.set
	share := to.set * sc.right
	for to.right = share / sc.sets; to.right <= (share+sc.sets-1)/sc.sets; to.right++ {
		r := to.right - n.right
		if r < 0 || r > sets {
			continue
		}
		way := dealt{numbers, [2]int{r, sets - r}}
		left := [2]int{sc.right - to.right, sc.sets - to.set - sc.right + to.right}
		for _, right := range sc.gives(way, n.upTo, left, geometry.Right) {
			for _, other := range sc.gives(way, n.upTo, left, geometry.Left) {
				to.upTo = [2]int{n.upTo[0] + right, n.upTo[1] + other}
				cost, further := sc.cost(way, n.upTo, to)
				if to.further = n.further + further; to.further <= sc.want.further {
					sc.reach(from, way, to, cost)
				}
			}
		}
	}
}

// gives returns how many diamonds of a lean a way may give: no more than are
// left to lay, and so many that those that come later suffice.
func (sc *scheduler) gives(way dealt, upTo, left [2]int, lean geometry.Lean) (out []int) {
	missing := sc.plan.Need[lean][geometry.Diamond] - upTo[lean]
	most, least := min(way.sets[lean]*sc.options[0].Diamonds, missing), max(missing-left[lean]*sc.options[0].Diamonds, 0)
	for n := most; n >= least; n-- {
		if sc.strict && n > 0 && sc.inside(lean, upTo[lean], upTo[lean]+n) {
			continue
		}
		// Some fewer than can be, or up to the end of a row, or none.
		if _, full := sc.row(lean, upTo[lean]+n); most-n <= 4 || full || n == 0 || n == least {
			out = append(out, n)
		}
	}
	return out
}

// cost is what a way costs at least: the diamonds of the gradient up to it that
// lie above a lighter colour, less the edge triangles that match; or the further
// strip sets for those that could not.
func (sc *scheduler) cost(way dealt, from [2]int, to node) (out, further int) {
	if to.set < sc.sets {
		out = sc.aboveEnd(from, to.upTo)
	}
	given := [2]int{to.upTo[0] - from[0], to.upTo[1] - from[1]}
	missing, both := 0, [3]int{} // places by shape
	for at, e := range sc.ends {
		low, high := sc.inEnd(at, from[e.row], to.upTo[e.row])
		if low >= high {
			continue
		}
		places := sc.places(e, low, high)
		has := sc.supply(way, given, e)
		if other := sc.ends[0]; at == 1 && other.shape == e.shape && (sc.sixty || other.lean == e.lean) {
			has = max(has-both[e.shape], 0)
		}
		n := min(places, has)
		both[e.shape] += n
		missing += places - n
	}
	if !sc.want.all {
		return out - both[geometry.LowerTriangle] - both[geometry.UpperTriangle], 0
	}
	most := 0
	for _, o := range sc.options {
		most = max(most, o.Lowers+o.Uppers)
	}
	return out, (missing + most - 1) / most
}

// places returns how many edge triangles match diamonds that take some columns
// of the row at an end; where all must match, how many match no others.
func (sc *scheduler) places(e end, low, high int) int {
	first, last := low, high-1 // e.left: edge triangle c touches diamonds c-1 and c
	if sc.want.all {
		last--
		if e.left {
			first, last = low+1, high-1
		}
		if e.left && low == 0 {
			first = 0
		}
		if !e.left && high == sc.columns {
			last = high - 1
		}
	} else if e.left {
		last = min(high, sc.columns-1)
	} else {
		first = max(low-1, 0)
	}
	return max(last-first+1, 0)
}

// supply returns how many edge triangles for an end a way has beside so many
// diamonds.
func (sc *scheduler) supply(way dealt, given [2]int, e end) (n int) {
	for lean, sets := range way.sets {
		if sc.serves(geometry.Lean(lean), e) && sets > 0 {
			n += sc.most[e.shape][sets*sc.stride()+given[lean]]
		}
	}
	return n
}

func (sc *scheduler) stride() int { return sc.sets*sc.options[0].Diamonds + 1 }

// mostOf returns the most pieces of a shape that so many strip sets give beside
// at least so many diamonds, at sets*stride + diamonds.
func (sc *scheduler) mostOf(shape geometry.Shape) []int {
	const never = math.MinInt / 2
	out := slices.Repeat([]int{never}, (sc.sets+1)*sc.stride())
	out[0] = 0
	for sets := 1; sets <= sc.sets; sets++ {
		for d := range sc.stride() {
			for _, o := range sc.options {
				before := out[(sets-1)*sc.stride()+max(d-o.Diamonds, 0)]
				out[sets*sc.stride()+d] = max(out[sets*sc.stride()+d], before+o.Gives(shape))
			}
		}
	}
	return out
}

// inOrder hands on schedules, those that cost least first, until it is told that
// it is enough.
func (sc *scheduler) inOrder(try func(path []stop, cost int) bool) {
	type tail struct {
		at   int // what is reached where the tail begins
		cost int // of the tail
		stop *stop
		next *tail
	}
	need := [2]int{sc.plan.Need[0][geometry.Diamond], sc.plan.Need[1][geometry.Diamond]}
	open := map[int][]*tail{} // by the cost of the whole
	put := func(t *tail) {
		f := t.cost + sc.reached[t.at].least
		open[f] = append(open[f], t)
	}
	f := math.MaxInt
	for further := range sc.want.further + 1 {
		if last, ok := sc.known[node{colour: sc.colours, set: sc.sets, right: sc.right, upTo: need, further: further}]; ok {
			put(&tail{at: last})
			f = min(f, sc.reached[last].least)
		}
	}
	for paths := 0; f < sc.limit && paths < mostPaths; {
		if len(open[f]) == 0 {
			delete(open, f)
			if len(open) == 0 {
				return
			}
			f = slices.Min(slices.Collect(maps.Keys(open)))
			continue
		}
		t := open[f][len(open[f])-1]
		open[f] = open[f][:len(open[f])-1]
		if here := sc.reached[t.at]; here.set > 0 {
			for _, a := range here.arcs {
				put(&tail{a.from, t.cost + a.cost, &stop{dealt: a.way, upTo: here.upTo}, t})
			}
			continue
		}
		var path []stop
		for ; t.stop != nil; t = t.next {
			path = append(path, *t.stop)
		}
		if paths++; !try(path, f) {
			return
		}
	}
}

// stopped is the part of the program that a schedule brings: how many diamonds
// each way gives, that it ends in its row, and those that then lie above a
// lighter colour.
func (m *model) stopped(stops []stop) {
	sums := [2][]linear.Term{} // diamonds of each lean up to a way's end
	for w, st := range stops {
		for lean, sets := range st.sets {
			if sets > 0 {
				sums[lean] = append(slices.Clone(sums[lean]), m.gave(w, geometry.Lean(lean), st.some[lean]))
			}
			m.endsIn(st, geometry.Lean(lean), sums[lean])
		}
		if w < len(stops)-1 {
			m.counted(stops, w, sums)
		}
	}
	for _, lean := range geometry.Leans {
		if n := m.need[lean][geometry.Diamond]; n > 0 {
			m.Require(m.sum(1, geometry.Diamond, func(l lot) bool { return l.lean == lean }), linear.AtLeast, float64(n))
		}
	}
}

// gave adds how many diamonds of a lean a way gives: some, or none.
func (m *model) gave(w int, lean geometry.Lean, some bool) linear.Term {
	v := m.Variable(0)
	m.give[[2]int{w, int(lean)}] = v
	one := linear.Term{Variable: v, Factor: 1}
	if some {
		m.Require([]linear.Term{one}, linear.AtLeast, 1)
	} else {
		m.Require([]linear.Term{one}, linear.AtMost, 0)
	}
	m.Require(append(m.sum(-1, geometry.Diamond, func(l lot) bool { return l.way == w && l.lean == lean }), one), linear.AtMost, 0)
	return one
}

// endsIn sees to it that the diamonds of a lean up to a stop end in its row.
func (m *model) endsIn(st stop, lean geometry.Lean, sum []linear.Term) {
	need, start, row := m.plan.Need[lean][geometry.Diamond], m.start[lean], st.rows[lean]
	switch {
	case need == 0 || len(sum) == 0:
	case st.upTo[lean] == need:
		m.Require(sum, linear.Exactly, float64(need))
	default:
		m.Require(sum, linear.AtMost, float64(start[row+1]-1))
		if start[row] > 0 {
			m.Require(sum, linear.AtLeast, float64(start[row]))
		}
	}
}

// counted counts the diamonds of a way that lie above a lighter colour.
func (m *model) counted(stops []stop, w int, sums [2][]linear.Term) {
	lean, below := m.later(stops[w].upTo)
	if lean < 0 {
		return
	}
	cost := 1.0
	if m.want.as != nil {
		cost = 0
	}
	v := m.Variable(cost)
	terms := slices.Clone(sums[lean])
	if w > 0 && m.start[lean][stops[w-1].rows[lean]] >= below {
		// All of this way, and none of those before it.
		terms, below = nil, 0
		if own, ok := m.give[[2]int{w, lean}]; ok {
			terms = append(terms, linear.Term{Variable: own, Factor: 1})
		}
	}
	m.Require(append(terms, linear.Term{Variable: v, Factor: -1}), linear.AtMost, float64(below))
	m.over = append(m.over, linear.Term{Variable: v, Factor: 1})
}
