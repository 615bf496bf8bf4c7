// SPDX-License-Identifier: Apache-2.0

package scraps

import "slices"

// answer is what was found for a task.
type answer struct {
	sets  []made
	cuts  []cutting // of sets
	found bool
	bound int  // no fewer strip sets do
	never bool // it is proven that there is not enough
	proof *proof
	work  int      // bound of the work of dives; 0: mostWork
	any   bool     // any number of strip sets will do
	tried [][]made // when not nil: ways to cut all lanes
}

// closed reports whether nothing better can be found.
func (a answer) closed() bool {
	return a.never || a.found && (a.any || len(a.sets) <= a.bound)
}

const (
	// mostLengths bounds the lengths that a relaxation works with.
	mostLengths = 96
	// mostWork bounds a relaxation: about so many sums.
	mostWork = 1e9
	// mostTurns bounds how often a dive may turn off, mostDives how many
	// dives there may be.
	mostTurns = 1
	mostDives = 40
	// mostTried bounds the ways to cut all lanes that are remembered.
	mostTried = 24
)

// solve finds the fewest strip sets that meet the need, or a number near it,
// and proves how near. It does the same work on every machine.
func (t *task) solve() answer {
	if t.need.none() {
		return answer{found: true}
	}
	a := t.first()
	if !a.closed() {
		t.relaxations(&a)
	}
	if !a.found && !a.never {
		// Whatever is found in a hurry is found here, too.
		b := answer{bound: 1, any: true, work: shortWork}
		if t.relaxations(&b); b.found {
			a.sets, a.cuts, a.found = b.sets, b.cuts, true
		}
	}
	if !a.closed() {
		t.exhaust(&a)
	}
	return a
}

// first tries the longest strip sets that can be cut and a bound that is quick
// to work out. That settles most scrap bins that hold more than enough.
func (t *task) first() answer {
	a := answer{bound: 1}
	if len(t.lengths) == 0 {
		a.never = true
		return a
	}
	if t.greedy(&a); a.found && len(a.sets) > 1 {
		a.bound = t.lowerBound(a.sets[len(a.sets)-1].class)
	}
	return a
}

// greedy tries the longest strip sets that can be cut.
func (t *task) greedy(a *answer) {
	sets := t.longest(func(sets []made) bool {
		if !t.mayDo(sets) {
			return false
		}
		a.cuts, a.found = t.fulfil(classes(sets))
		return a.found
	})
	if a.found {
		a.sets = sets
	}
}

// mayDo is a quick test that strip sets fail only when they don't meet the
// need.
func (t *task) mayDo(sets []made) bool {
	g := t.need.oneGoal()
	lacks := float64(t.need.all()) + float64(usual*float64(g.total))
	for _, s := range sets {
		lacks -= t.worth(s.class, g, usual)
	}
	return lacks < 1e-6
}

// lowerBound is the quick bound, also by lean where a strip set holds one.
func (t *task) lowerBound(like int) int {
	bound := max(t.quick(t.need, like), 1)
	if t.need.mix || t.need.diamonds[0] == 0 || t.need.diamonds[1] == 0 {
		return bound
	}
	sum := 0
	for lean, d := range t.need.diamonds {
		one := need{pooled: true}
		one.diamonds[lean] = d
		sum += max(t.quick(one, like), 1)
	}
	return max(bound, sum)
}

// relaxations solves linear relaxations for a bound, and cuts as they have it.
func (t *task) relaxations(a *answer) {
	lengths := 2 * mostLengths / len(t.families)
	if a.any {
		lengths /= 2
	}
	real, promise := t.table.thin(lengths)
	coarse, hopeful := *t, *t
	coarse.table, hopeful.table = real, promise
	if !a.any || a.tried != nil {
		if hopeful.prove(a); a.closed() {
			return
		}
	}
	d := &dive{task: t, coarse: &coarse, answer: a, left: mostWork}
	if a.work > 0 {
		d.left = a.work
	} else if !t.plain() {
		d.left /= 3 // scraps are divided in several ways
	}
	for dives := range mostDives {
		d.noise = uint32(dives)
		coarse.need = t.need.more(dives % 6)
		enough := d.from(stand{t.pools(), make([][]piece, len(t.cloths))}, min(dives, 1)*mostTurns)
		if d.done() || dives == 0 && !enough {
			return
		}
	}
}

// more returns a little more than is needed, which leaves room for rounding,
// in one of six ways.
func (n need) more(way int) need {
	diamonds, triangles := [...]int{0, 0, 1, 0, 1, 0}[way], [...]int{0, 1, 0, 2, 2, 0}[way]
	for lean := range n.diamonds {
		if n.diamonds[lean] > 0 {
			n.diamonds[lean] += diamonds
		}
	}
	switch {
	case n.uppers[0] > 0:
		n.uppers[0] += triangles
	case n.lowers[0] > 0:
		n.lowers[0] += triangles
	}
	return n
}

// prove raises the bound as far as the relaxation of what could be cut allows,
// or proves that there is not enough.
func (t *task) prove(a *answer) {
	root := t.relax(t.promised(), nil, 0)
	root.run(oneEach, steps(root))
	a.bound = max(a.bound, wholeBound(root.bound(oneEach)))
	if most := t.mostSets(); a.bound > most {
		a.never, a.proof = true, root.proof(most)
		return
	}
	if t.need.diamonds[0] > 0 && t.need.diamonds[1] > 0 && !t.need.mix && !a.any {
		a.splits(root)
	}
}

// plane is a bound of right-leaning strip sets and left-leaning ones, each with
// a weight, together.
type plane struct {
	weight [2]float64
	bound  float64
}

func (p plane) allows(right, left int) bool {
	return float64(p.weight[0]*float64(right))+float64(p.weight[1]*float64(left)) >= p.bound-1e-6
}

// splits raises the bound where a strip set holds one lean: every way to divide
// as many strip sets as the bound between the leans may cost more, at some
// weights of the leans, than that many.
func (a *answer) splits(root *relaxed) {
	var planes []plane
	open := func(sets int) bool {
		for right := range sets + 1 {
			if !slices.ContainsFunc(planes, func(p plane) bool { return !p.allows(right, sets-right) }) {
				return true
			}
		}
		return false
	}
	for _, w := range [][2]float64{{1, 0}, {0, 1}, {1, 0.5}, {0.5, 1}, {1, 0.75}, {0.75, 1}, {1, 0.25}, {0.25, 1}} {
		root.cost(w)
		root.run(w, steps(root))
		planes = append(planes, plane{w, root.bound(w)})
		for most := a.bound + 2; a.bound < most && !open(a.bound); {
			a.bound++
		}
		if a.closed() {
			return
		}
	}
}

// steps bounds the steps of a relaxation.
func steps(r *relaxed) int { return 200 + int(mostWork/float64(r.Rows*r.Rows)) }

// mostSets returns a number of strip sets that can't be cut at all.
func (t *task) mostSets() int {
	most := -1
	for _, f := range t.families {
		n := 0
		for _, l := range t.cloths[f.cloth].possible[f.class] {
			n += int((l + slack) / t.lengths[0])
		}
		if n /= f.takes; most < 0 || n < most {
			most = n
		}
	}
	return most
}

// try takes lanes cut into pieces for an answer when they make one with fewer
// strip sets.
func (t *task) try(a *answer, pieces [][]piece) {
	for _, thrifty := range []bool{false, true} {
		if thrifty && t.plain() {
			return
		}
		sets := t.match(pieces, thrifty)
		if a.tried != nil && len(a.tried) < mostTried {
			a.tried = append(a.tried, sets)
		}
		if a.found && len(sets) >= len(a.sets) {
			sets = sets[:len(a.sets)-1]
		}
		if len(sets) < a.bound || !t.mayDo(sets) {
			continue
		}
		cuts, ok := t.fulfil(classes(sets))
		if !ok {
			continue
		}
		// Fewer may do.
		for n := len(sets) - 1; n >= a.bound && t.mayDo(sets[:n]); n-- {
			fewer, ok := t.fulfil(classes(sets[:n]))
			if !ok {
				break
			}
			cuts = fewer
		}
		a.sets, a.cuts, a.found = slices.Clone(sets[:len(cuts)]), cuts, true
	}
}
