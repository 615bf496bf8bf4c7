// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
	"lozenge/geometry/strip"
)

// model is the program for one deal.
type model struct {
	*shading
	linear.Whole
	deal  deal
	want  wish
	lots  []lot
	x     [][]int        // variables: strip sets of each lot by option
	give  map[[2]int]int // of each way and lean: diamonds given
	inRow [2][]int       // ways in the row at either end, in the order of the walk
	stops []stop
	over  []linear.Term // diamonds above a lighter colour, where there are stops
	match [2][]int      // variables, as inRow
}

// wish is what an answer is searched for.
type wish struct {
	all bool // all edge triangles must match: the fewest further strip sets
	// loose: a row of diamonds may hold more than two neighbouring colours of its
	// lean.
	loose   bool
	further int  // strip sets in a schedule in which all match
	more    int  // ways in a row at an end than are needed at least
	zoned   bool // the ways between the ends are told apart by zones
	// as is an answer that is to be as good; of those the ones whose other edge
	// triangles come from nearest are wished for, or from as near.
	as      *shade
	near    int                                       // how near, where it is known
	allowed func(lean geometry.Lean, option int) bool // nil: all options
}

// zones is how many parts the ways between the ends have, from dark to light.
const zones = 3

// zoneOf returns the zone of one of so many ways.
func zoneOf(way, ways int) int { return (2*way + 1) * zones / (2 * ways) }

// model builds the program for a case. Where all edge triangles must match,
// further strip sets of the colours at the ends are allowed.
func (s *shading) model(c shadeCase, want wish) *model {
	m := &model{shading: s, deal: c.deal, want: want, give: map[[2]int]int{}, inRow: c.ways, stops: c.stops}
	m.divide()
	var further []linear.Term
	for _, l := range m.lots {
		var x []int
		var terms []linear.Term
		cost := 0.0
		if l.sets < 0 && want.as == nil && c.stops == nil {
			cost = 1
		}
		for j, o := range s.options {
			if want.allowed != nil && !want.allowed(l.lean, j) || m.needless(l, o) {
				x = append(x, -1)
				continue
			}
			v := m.Variable(cost)
			x, terms = append(x, v), append(terms, linear.Term{Variable: v, Factor: 1})
		}
		m.x = append(m.x, x)
		if l.sets >= 0 {
			m.Require(terms, linear.Exactly, float64(l.sets))
		} else {
			further = append(further, terms...)
		}
	}
	switch {
	case m.stops != nil:
		m.stopped(m.stops)
	case want.loose:
		m.diamonds()
	default:
		m.diamonds()
		m.runs()
	}
	for at := range m.ends {
		m.edge(at)
	}
	if m.ends == nil {
		m.freeEdges()
	}
	m.triangles()
	if want.as != nil {
		m.asGood(further)
	} else if m.stops != nil && want.all {
		m.Require(further, linear.Exactly, float64(want.further))
	}
	return m
}

// needless reports whether strip sets of a lot need not be cut so: further ones
// are for edge triangles alone, and where all edge triangles match those between
// the ends are for diamonds.
func (m *model) needless(l lot, o strip.Option) bool {
	if !m.want.all {
		return false
	}
	if l.sets < 0 {
		return o.Diamonds > m.options[len(m.options)-1].Diamonds
	}
	return m.stops != nil && m.plan.Spec.Spare == 0 && !m.atEnd(l.way) && o.Diamonds < m.options[0].Diamonds
}

// divide makes the lots: the strip sets of each way at the ends, and of scarce
// ones, by themselves, the others by zones.
func (m *model) divide() {
	var free [zones][2]int
	for w, one := range m.deal {
		zone := 0
		if m.want.zoned {
			zone = zoneOf(w, len(m.deal))
		}
		end := m.atEnd(w)
		for lean, n := range one.sets {
			switch {
			case m.stops == nil && !end && (m.want.loose || !m.scarce(m.deal, w, geometry.Lean(lean))):
				free[zone][lean] += n
			case n > 0:
				m.lots = append(m.lots, lot{w, geometry.Lean(lean), n})
			}
			if end && m.want.all {
				m.lots = append(m.lots, lot{w, geometry.Lean(lean), -1})
			}
		}
	}
	for zone, sets := range free {
		for lean, n := range sets {
			if n > 0 {
				m.lots = append(m.lots, lot{-1 - zone, geometry.Lean(lean), n})
			}
		}
	}
}

// atEnd reports whether a way can lie in the row at an end.
func (m *model) atEnd(way int) bool {
	for at := range m.inRow {
		if slices.Contains(m.inRow[at], way) {
			return true
		}
	}
	return false
}

// asGood asks for an answer as good as one that is known, with the edge
// triangles that don't match from as near as can be.
func (m *model) asGood(further []linear.Term) {
	if len(m.over) > 0 {
		m.Require(m.over, linear.AtMost, float64(m.want.as.aside))
	}
	if m.want.all {
		m.Require(further, linear.AtMost, float64(m.want.as.further))
		return
	}
	var matched, far []linear.Term
	var ways []int
	for _, l := range m.lots {
		if !slices.Contains(ways, l.way) {
			ways = append(ways, l.way)
		}
	}
	from := map[int][]linear.Term{} // edge triangles of a shape from a way
	for at, e := range m.ends {
		fill := []linear.Term{}
		for _, v := range m.match[at] {
			fill = append(fill, linear.Term{Variable: v, Factor: 1})
		}
		matched = append(matched, fill...)
		for _, w := range ways {
			distance := m.distance(at, w)
			v := m.Variable(distance)
			t := linear.Term{Variable: v, Factor: 1}
			fill = append(fill, t)
			far = append(far, linear.Term{Variable: v, Factor: distance})
			key := len(geometry.Shapes)*w + int(e.shape)
			if m.sixty || m.ends[0].lean == m.ends[1].lean || m.ends[0].shape != m.ends[1].shape || at == 0 {
				from[key] = append(from[key], t)
				if i := slices.Index(m.inRow[at], w); i >= 0 {
					from[key] = append(from[key], linear.Term{Variable: m.match[at][i], Factor: 1})
				}
			}
		}
		m.Require(fill, linear.Exactly, float64(m.columns))
	}
	for _, w := range ways {
		for _, shape := range []geometry.Shape{geometry.LowerTriangle, geometry.UpperTriangle} {
			if terms := from[len(geometry.Shapes)*w+int(shape)]; len(terms) > 0 {
				supply := m.sum(-1, shape, func(l lot) bool {
					return l.way == w && (m.sixty || slices.ContainsFunc(m.ends, func(e end) bool { return e.shape == shape && e.lean == l.lean }))
				})
				m.Require(append(supply, terms...), linear.AtMost, 0)
			}
		}
	}
	m.Require(matched, linear.AtLeast, float64(m.want.as.matched))
	if m.want.allowed != nil {
		m.Require(far, linear.AtMost, float64(m.want.near))
	}
}

// distance returns how far from an end's colours those of a way are.
func (m *model) distance(at, way int) float64 {
	switch {
	case slices.Contains(m.inRow[at], way):
		return 0
	case slices.Contains(m.inRow[1-at], way):
		return zones + 1
	case way >= 0:
		way = -1 - zoneOf(way, len(m.deal))
	}
	if at == 0 {
		return float64(-way)
	}
	return float64(zones + 1 + way)
}

// inner reports whether a way has strip sets of a lean between others of that
// lean.
func (d deal) inner(way int, lean geometry.Lean) bool {
	has := func(one dealt) bool { return one.sets[lean] > 0 }
	return slices.ContainsFunc(d[:way], has) && has(d[way]) && slices.ContainsFunc(d[way+1:], has)
}

// scarce reports whether the strip sets of a way could give fewer diamonds of a
// lean than a run, but need not. A run of a colour between two others fills so
// much of a row that it can't hold all three.
func (s *shading) scarce(d deal, way int, lean geometry.Lean) bool {
	most := d[way].sets[lean] * s.options[0].Diamonds
	return d.inner(way, lean) && most >= s.run[lean] && most < 2*s.run[lean]+s.options[0].Diamonds
}

// runs sees to it that ways of which there are few diamonds give a run.
func (m *model) runs() {
	for w := range m.deal {
		for _, lean := range geometry.Leans {
			if !m.scarce(m.deal, w, lean) {
				continue
			}
			if v, ok := m.give[[2]int{w, int(lean)}]; ok {
				m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.AtLeast, float64(m.run[lean]))
			} else {
				m.Require(m.sum(1, geometry.Diamond, func(l lot) bool { return l.way == w && l.lean == lean }), linear.AtLeast, float64(m.run[lean]))
			}
		}
	}
}

// sum returns what the strip sets of some lots give of a shape, times factor.
func (m *model) sum(factor float64, shape geometry.Shape, of func(l lot) bool) (terms []linear.Term) {
	for i, l := range m.lots {
		if !of(l) || l.sets < 0 && shape == geometry.Diamond {
			continue // further strip sets are for edge triangles
		}
		for j, o := range m.options {
			if n := o.Gives(shape); n > 0 && m.x[i][j] >= 0 {
				terms = append(terms, linear.Term{Variable: m.x[i][j], Factor: float64(factor * float64(n))})
			}
		}
	}
	return terms
}

// diamonds sees to it that there are enough diamonds of either lean. Those of
// the ways at the ends are counted one by one.
func (m *model) diamonds() {
	for _, lean := range geometry.Leans {
		need := float64(m.plan.Need[lean][geometry.Diamond])
		if need == 0 {
			continue
		}
		m.Require(m.sum(1, geometry.Diamond, func(l lot) bool { return l.lean == lean }), linear.AtLeast, float64(m.need[lean][geometry.Diamond]))
		var given []linear.Term
		for at, ways := range m.inRow {
			for _, w := range ways {
				if !m.givesInRow(at, w, lean) {
					continue
				}
				v, known := m.give[[2]int{w, int(lean)}]
				if !known {
					v = m.Variable(0)
				}
				if m.ends != nil {
					m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.AtLeast, 1)
				}
				if known {
					continue
				}
				m.give[[2]int{w, int(lean)}] = v
				given = append(given, linear.Term{Variable: v, Factor: 1})
				m.Require(append(m.sum(-1, geometry.Diamond, func(l lot) bool { return l.way == w && l.lean == lean }), linear.Term{Variable: v, Factor: 1}), linear.AtMost, 0)
			}
		}
		if len(given) == 0 {
			continue
		}
		m.Require(given, linear.AtMost, need)
		enough := append(slices.Clone(given), m.sum(1, geometry.Diamond, func(l lot) bool {
			_, counted := m.give[[2]int{l.way, int(lean)}]
			return l.lean == lean && (l.way < 0 || !counted)
		})...)
		m.Require(enough, linear.AtLeast, need)
	}
}

// edge counts the edge triangles that match at an end: of each way no more than
// its strip sets give, nor than touch its diamonds in the row. Those lie side
// by side, so that edge triangles touch one more place than they take, but for
// one end of the row.
func (m *model) edge(at int) {
	e, ways := m.ends[at], m.inRow[at]
	last := len(ways) - 1
	var inner []linear.Term
	for i, w := range ways {
		cost := -1.0
		if m.want.all || m.want.as != nil {
			cost = 0
		}
		v := m.Variable(cost)
		m.match[at] = append(m.match[at], v)
		supply := m.sum(-1, e.shape, func(l lot) bool { return l.way == w && m.serves(l.lean, e) })
		supply = append(supply, linear.Term{Variable: v, Factor: 1})
		if other := m.ends[0]; at == 1 && other.shape == e.shape {
			// Both ends take from the same strip sets.
			if j := slices.Index(m.inRow[0], w); j >= 0 && (m.sixty || other.lean == e.lean) {
				supply = append(supply, linear.Term{Variable: m.match[0][j], Factor: 1})
			}
		}
		m.Require(supply, linear.AtMost, 0)
		if i < last {
			inner = append(inner, linear.Term{Variable: m.give[[2]int{w, int(e.row)}], Factor: 1})
		}
	}
	width := float64(m.columns)
	if last > 0 {
		m.Require(inner, linear.AtMost, width-1)
	}
	reach := append(slices.Clone(inner), linear.Term{Variable: m.give[[2]int{ways[last], int(e.row)}], Factor: 1})
	m.Require(reach, linear.AtLeast, width)
	for i := range ways {
		for j := i; j <= last; j++ {
			if j <= i+1 || i == 0 || j == last {
				m.overlap(at, i, j, inner) // others follow from shorter ones, nearly
			}
		}
	}
	if m.want.all {
		var terms []linear.Term
		for _, v := range m.match[at] {
			terms = append(terms, linear.Term{Variable: v, Factor: 1})
		}
		m.Require(terms, linear.Exactly, width)
	}
}

// overlap limits the edge triangles that match ways i to j of the row at an end:
// no more than touch their diamonds. inner are the diamonds of all ways but the
// last, which has what the others leave of the row.
func (m *model) overlap(at, i, j int, inner []linear.Term) {
	var terms []linear.Term
	right := 1.0
	if m.atRim(at, i, j) {
		right = 0
	}
	for k := i; k <= j; k++ {
		terms = append(terms, linear.Term{Variable: m.match[at][k], Factor: 1})
	}
	factor, from, to := -1.0, i, j+1
	if j == len(m.inRow[at])-1 {
		factor, from, to = 1, 0, i
		right += float64(m.columns)
	}
	for k := from; k < to; k++ {
		terms = append(terms, linear.Term{Variable: inner[k].Variable, Factor: factor})
	}
	m.Require(terms, linear.AtMost, right)
}

// atRim reports whether ways i to j of the row at an end reach to that end of
// the row where edge triangles touch no more places than the diamonds take. At
// the bottom the ways stand in the row from left to right, at the top from
// right to left.
func (m *model) atRim(at, i, j int) bool {
	last := len(m.inRow[at]) - 1
	leftmost, rightmost := i == 0, j == last
	if at == 1 {
		leftmost, rightmost = j == last, i == 0
	}
	if m.ends[at].left {
		return rightmost
	}
	return leftmost
}

// triangles sees to it that there are enough edge triangles in all.
func (m *model) triangles() {
	for _, shape := range []geometry.Shape{geometry.LowerTriangle, geometry.UpperTriangle} {
		if m.sixty {
			if n := m.need[0][shape] + m.need[1][shape]; n > 0 {
				m.Require(m.sum(1, shape, func(lot) bool { return true }), linear.AtLeast, float64(n))
			}
			continue
		}
		for _, lean := range geometry.Leans {
			if n := m.need[lean][shape]; n > 0 {
				m.Require(m.sum(1, shape, func(l lot) bool { return l.lean == lean }), linear.AtLeast, float64(n))
			}
		}
	}
}

// answer reads a solution.
func (m *model) answer(s linear.Solution) *shade {
	out := &shade{deal: m.deal, lots: m.lots, give: map[[2]int]int{}, all: m.want.all, loose: m.want.loose, zoned: m.want.zoned, of: shadeCase{m.deal, m.inRow, m.stops}, by: m.shading}
	for i, l := range m.lots {
		var cut []int
		for _, v := range m.x[i] {
			n := 0
			if v >= 0 {
				n = s.Values[v]
			}
			if cut = append(cut, n); l.sets < 0 {
				out.further += n
			}
		}
		out.cut = append(out.cut, cut)
	}
	for key, v := range m.give {
		out.give[key] = s.Values[v]
	}
	for at, ways := range m.inRow {
		out.match[at] = make([]int, len(m.deal))
		for i, v := range m.match[at] {
			out.match[at][ways[i]] = s.Values[v]
			out.matched += s.Values[v]
		}
	}
	return out
}
