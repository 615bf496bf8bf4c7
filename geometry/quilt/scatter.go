// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// scatter mixes the strip sets over the quilt: each spread evenly, no two
// touching pieces from the same one where that can be helped, and as few as it
// finds of the same colours. It does so the same way every time.
//
// The places of each kind of piece are put in order along a Hilbert curve, on
// which neighbours in the order lie together in the quilt, so that what is
// evenly spread over the order is evenly spread over the quilt. Every
// colourway has its turn in equal shares of the order, at a random moment
// within each share, and among its strip sets likewise. Then pieces that touch
// one of the same strip set or colours change places with others nearby.
//
// All of it is done in whole numbers, and takes a time that grows with the
// number of pieces: what is tried for each is bounded.
func (p *Plan) scatter() {
	s := newScattering(p)
	for kind := range s.places {
		s.spread(kind)
	}
	s.mend()
	for i := range p.Pieces {
		p.Pieces[i].StripSet = max(int(s.set[i]), 0)
	}
}

// nothing is the strip set of a place that none is left for, and the piece
// beyond the quilt's rim.
const nothing = -1

// scattering is a quilt that is being mixed. Pieces have the indices of
// Plan.Pieces; pieces that are cut but not used follow behind them, touching
// nothing.
type scattering struct {
	plan   *Plan
	random *rand.PCG
	ways   []Colourway
	way    []int      // of each strip set
	set    []int32    // of each piece
	kind   []int32    // of each piece
	place  []int32    // of each piece in places[kind]
	places [][]int32  // pieces of each kind along the Hilbert curve
	touch  [][4]int32 // the pieces that share a finished edge with each, then nothing
	left   int        // trials
}

// trialsEach bounds the changes that are tried, for each piece.
const trialsEach = 96

func newScattering(p *Plan) *scattering {
	ways, way := p.Colourways()
	s := &scattering{plan: p, random: rand.NewPCG(60, 30), ways: ways, way: way, places: make([][]int32, 6)}
	side := 1
	for side < max(p.Columns, p.Rows+2) {
		side *= 2
	}
	n := len(p.Pieces)
	along := make([]int64, n)
	s.set, s.kind, s.place = make([]int32, n), make([]int32, n), make([]int32, n)
	for i, pl := range p.Pieces {
		s.kind[i] = int32(3*int(pl.Lean) + int(pl.Shape))
		s.places[s.kind[i]] = append(s.places[s.kind[i]], int32(i))
		along[i] = hilbert(side, pl.Column, pl.Row+1)
	}
	for _, places := range s.places {
		slices.SortFunc(places, func(a, b int32) int { return cmp.Compare(along[a], along[b]) })
	}
	for i := range p.Pieces {
		s.touch = append(s.touch, p.touching(i))
	}
	return s
}

// hilbert returns how far along a Hilbert curve through a square of side cells
// each way, a power of two, a cell lies.
func hilbert(side, x, y int) int64 {
	along := int64(0)
	for half := side / 2; half > 0; half /= 2 {
		right, top := x&half != 0, y&half != 0
		switch {
		case top && right:
			along += int64(2 * half * half)
		case top:
			along += int64(half * half)
		case right:
			along += int64(3 * half * half)
		}
		x, y = x&(half-1), y&(half-1)
		// The first and the last quarter are turned.
		switch {
		case top:
		case right:
			x, y = half-1-y, half-1-x
		default:
			x, y = y, x
		}
	}
	return along
}

// turn is one of several that something has: due rises from 0 to 1<<40.
type turn struct {
	due int64
	who int32
}

// turns returns who has its turn when: n[i] turns for i, each at a random
// moment in its share of the time.
func (s *scattering) turns(n []int) []int32 {
	var all []turn
	for who, n := range n {
		for j := range n {
			at := int64(j)<<20 + int64(s.random.Uint64()>>44)
			all = append(all, turn{at << 20 / int64(n), int32(who)})
		}
	}
	slices.SortFunc(all, func(a, b turn) int { return cmp.Or(cmp.Compare(a.due, b.due), cmp.Compare(a.who, b.who)) })
	out := make([]int32, len(all))
	for i, t := range all {
		out[i] = t.who
	}
	return out
}

// spread gives the places of a kind their first strip sets: all colourways in
// turn, and of each all strip sets in turn.
func (s *scattering) spread(kind int) {
	perWay := make([]int, len(s.ways))
	for k, l := range s.plan.Fewest.Layouts {
		perWay[s.way[k]] += l.Gives[kind/3][kind%3]
	}
	sequence := s.turns(perWay)
	s.spreadExtra(kind, len(sequence)-len(s.places[kind]))
	for i, piece := range s.places[kind] {
		s.place[piece], s.set[piece] = int32(i), nothing
		if i < len(sequence) {
			s.set[piece] = int32(s.ways[sequence[i]].StripSets[0])
		}
	}
	s.deal(kind)
}

// spreadExtra puts pieces that are cut but not used among the places of a
// kind.
func (s *scattering) spreadExtra(kind, extra int) {
	if extra <= 0 {
		return
	}
	places := s.places[kind]
	all := make([]int32, 0, len(places)+extra)
	for i := range cap(all) {
		before := i * extra / cap(all)
		if (i+1)*extra/cap(all) == before {
			all = append(all, places[i-before])
			continue
		}
		all = append(all, int32(len(s.set)))
		s.set, s.kind, s.place = append(s.set, nothing), append(s.kind, int32(kind)), append(s.place, 0)
	}
	s.places[kind] = all
}

// deal gives each colourway's places of a kind to its strip sets in turn; the
// colours stay where they are.
func (s *scattering) deal(kind int) {
	order := make([][]int32, len(s.ways))
	for w, way := range s.ways {
		var gives []int
		for _, k := range way.StripSets {
			gives = append(gives, s.plan.Fewest.Layouts[k].Gives[kind/3][kind%3])
		}
		order[w] = s.turns(gives)
	}
	for _, piece := range s.places[kind] {
		if k := s.set[piece]; k != nothing {
			w := s.way[k]
			s.set[piece] = int32(s.ways[w].StripSets[order[w][0]])
			order[w] = order[w][1:]
		}
	}
}

// What it costs when two pieces touch: more for one strip set than all edges
// of two pieces could cost for colours.
const (
	sameSet     = 16
	sameColours = 1
)

// edge returns what it costs when pieces of two strip sets touch.
func (s *scattering) edge(a, b int32) int {
	switch {
	case a == nothing || b == nothing:
		return 0
	case a == b:
		return sameSet
	case len(s.ways) > 1 && s.way[a] == s.way[b]:
		return sameColours
	}
	return 0
}

// cost returns what the edges of piece i would cost if it were of that strip
// set, but for an edge to piece skip.
func (s *scattering) cost(i, set, skip int32) int {
	if int(i) >= len(s.touch) {
		return 0
	}
	sum := 0
	for _, j := range s.touch[i] {
		if j != nothing && j != skip {
			sum += s.edge(set, s.set[j])
		}
	}
	return sum
}

// gain returns what is saved when two pieces change places.
func (s *scattering) gain(i, j int32) int {
	a, b := s.set[i], s.set[j]
	return s.cost(i, a, j) - s.cost(i, b, j) + s.cost(j, b, i) - s.cost(j, a, i)
}

func (s *scattering) swap(i, j int32) { s.set[i], s.set[j] = s.set[j], s.set[i] }

// total returns what all edges cost.
func (s *scattering) total() int {
	sum := 0
	for i := range s.plan.Pieces {
		sum += s.cost(int32(i), s.set[i], nothing)
	}
	return sum / 2
}

// clashes returns how often pieces of one strip set touch.
func (s *scattering) clashes() int {
	n := 0
	for i, k := range s.set[:len(s.touch)] {
		for _, j := range s.touch[i] {
			if int(j) > i && k != nothing && s.set[j] == k {
				n++
			}
		}
	}
	return n
}

// near is how far along the curve pieces change places. A dozen and a half
// each way are enough to find another colour and too few to be seen.
const near = 16

// mend lets pieces change places until no two of a strip set touch, if it
// finds how, and few of the same colours.
func (s *scattering) mend() {
	s.mendColours()
	// By now the strip sets of a colourway are no longer spread as evenly as
	// its colours.
	for kind := range s.places {
		s.deal(kind)
	}
	s.mendClashes(false)
	if s.clashes() == 0 {
		return
	}
	// Few strip sets for many pieces. Places far off may help, from here or
	// from where few touch from the outset; and in small quilts all ways can
	// be tried.
	s.mendClashes(true)
	if before := s.clashes(); before > 0 {
		mixed := slices.Clone(s.set)
		for kind := range s.places {
			s.lineUp(kind)
		}
		s.mendClashes(true)
		if s.clashes() >= before {
			copy(s.set, mixed)
		}
	}
	if s.clashes() > 0 {
		s.search()
	}
	s.mendColours()
}

// mendColours lets pieces change places with others nearby while that saves
// something worth while: at first only where it saves, then also where it
// moves the trouble on to another piece, which may find a way out.
func (s *scattering) mendColours() {
	const worthWhile, patience = 32, 4
	s.left = trialsEach * len(s.plan.Pieces)
	lowest, least := s.total(), 1
	for idle := 0; lowest > 0 && idle < patience && s.left > 0; {
		for i := range s.plan.Pieces {
			s.settle(int32(i), least, false)
		}
		now := s.total()
		if idle++; lowest-now > lowest/worthWhile {
			idle = 0
		}
		lowest, least = min(lowest, now), 0
	}
}

// mendClashes lets pieces that touch one of their own strip set change places
// with others, also where that only moves the trouble on: with others nearby,
// or, for far, anywhere.
func (s *scattering) mendClashes(far bool) {
	s.left = trialsEach * len(s.plan.Pieces)
	for found := true; found && s.left > 0; {
		found = false
		for i := range s.plan.Pieces {
			if s.cost(int32(i), s.set[i], nothing) >= sameSet {
				found = true
				s.settle(int32(i), 0, far)
			}
		}
	}
}

// settle lets piece i change places with the one that saves most, and at
// least so much: one of those nearby or, for far, one of as many chosen at
// random from all.
func (s *scattering) settle(i int32, least int, far bool) {
	if s.cost(i, s.set[i], nothing) == 0 {
		return
	}
	s.left -= 2*near + 1
	places, at := s.places[s.kind[i]], int(s.place[i])
	best, with, ties := least, int32(nothing), uint64(0)
	for d := -near; d <= near; d++ {
		k := at + d
		if far {
			k = int(s.random.Uint64() % uint64(len(places)))
		}
		if k < 0 || k >= len(places) || s.set[i] == s.set[places[k]] {
			continue
		}
		switch g := s.gain(i, places[k]); {
		case g > best:
			best, with, ties = g, places[k], 1
		case g == best:
			ties++
			if s.random.Uint64()%ties == 0 {
				with = places[k]
			}
		}
	}
	if with != nothing {
		s.swap(i, with)
	}
}

// lineUp lays the strip sets of a kind one after the other, in even rows from
// the bottom up and then in odd ones. Only pieces of neighbouring rows touch:
// so only those of a strip set that has its last pieces in even rows and its
// first in odd ones may, and if it is a small one its two parts lie far apart.
func (s *scattering) lineUp(kind int) {
	number := map[int32]int{}
	var sets, order []int32
	var even, odd []int32
	for _, i := range s.places[kind] {
		if number[s.set[i]]++; number[s.set[i]] == 1 {
			sets = append(sets, s.set[i])
		}
		order = append(order, i)
	}
	slices.Sort(order)
	for _, i := range order {
		if int(i) < len(s.touch) && s.plan.Pieces[i].Row&1 == 0 {
			even = append(even, i)
		} else {
			odd = append(odd, i)
		}
	}
	slices.Sort(sets)
	if len(even) > 0 && len(odd) > 0 {
		// The largest that fit go to the even rows; of the others the smallest
		// has a part in both.
		slices.SortStableFunc(sets, func(a, b int32) int { return cmp.Compare(number[b], number[a]) })
		var fit, rest []int32
		room := len(even)
		for _, k := range sets {
			if number[k] <= room {
				fit, room = append(fit, k), room-number[k]
			} else {
				rest = append(rest, k)
			}
		}
		slices.Reverse(rest)
		sets = append(fit, rest...)
	}
	next := 0
	for _, k := range sets {
		for range number[k] {
			if next < len(even) {
				s.set[even[next]] = k
			} else {
				s.set[odd[next-len(even)]] = k
			}
			next++
		}
	}
}

// Limits of search: pieces of the quilt and steps.
const (
	searchPieces = 80
	searchSteps  = 300_000
)

// search tries all ways of laying a small quilt in which no two pieces of a
// strip set touch, and lays the first that it finds.
func (s *scattering) search() {
	n := len(s.plan.Pieces)
	if n > searchPieces || slices.Contains(s.set, nothing) {
		return
	}
	l := laying{s, make([][]int, len(s.places)), make([]int32, n), searchSteps}
	for kind := range l.left {
		l.left[kind] = make([]int, len(s.way))
	}
	for i, k := range s.set {
		l.left[s.kind[i]][k]++
	}
	if !l.lay(0) {
		return
	}
	copy(s.set, l.laid)
	// What is left over goes to the pieces that are not used.
	for i := n; i < len(s.set); i++ {
		has := l.left[s.kind[i]]
		k := slices.IndexFunc(has, func(number int) bool { return number > 0 })
		has[k]--
		s.set[i] = int32(k)
	}
}

// laying is a quilt that is being laid piece by piece.
type laying struct {
	*scattering
	left  [][]int // pieces of each kind that each strip set still has
	laid  []int32
	steps int
}

// lay lays the pieces from i on.
func (l *laying) lay(i int) bool {
	if i == len(l.laid) {
		return true
	}
	has := l.left[l.kind[i]]
	for _, k := range l.fit(i) {
		if l.steps--; l.steps < 0 {
			return false
		}
		l.laid[i] = k
		has[k]--
		if l.lay(i + 1) {
			return true
		}
		has[k]++
	}
	return false
}

// fit returns the strip sets of which piece i may be: those that have such a
// piece left and none that it touches, the ones with most first.
func (l *laying) fit(i int) (fit []int32) {
	has := l.left[l.kind[i]]
	for k, number := range has {
		touches := slices.ContainsFunc(l.touch[i][:], func(j int32) bool {
			return j != nothing && int(j) < i && l.laid[j] == int32(k)
		})
		if number > 0 && !touches {
			fit = append(fit, int32(k))
		}
	}
	slices.SortStableFunc(fit, func(a, b int32) int { return cmp.Compare(has[b], has[a]) })
	return fit
}
