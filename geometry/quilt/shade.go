// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/linear"
	"lozenge/geometry/strip"
)

// A gradient and its cutting are planned together. The strip sets stand in a
// row from the dark end to the light one; the diamonds of either lean are laid
// in turn, so that going up they never turn back. What is left to choose is
// which strip sets give how many edge triangles, so that as many as can be are
// of a colour that the row beside them has. That is a program in whole numbers:
// how many strip sets of each colour and lean are cut in which way, how many
// diamonds they give, and how many edge triangles match.

// shading is the question for one number of strip sets.
type shading struct {
	plan    *Plan
	need    Count // spares included
	options []strip.Option
	columns int
	ends    [2]end // the bottom edge and the top edge
	right   int    // strip sets that lean right in a plan with the fewest
	sixty   bool   // an edge triangle serves both leans
}

// end is the quilt's bottom or top edge and the row of diamonds beside it.
type end struct {
	shape geometry.Shape // of its edge triangles
	lean  geometry.Lean  // of the diamonds of which they are halves
	row   geometry.Lean  // of the row of diamonds
	left  bool           // edge triangle c touches diamonds c-1 and c of the row, not c and c+1
}

// shade is an answer: strip sets with their colours.
type shade struct {
	deal    deal
	lots    []lot
	cut     [][]int        // cut[i][j]: strip sets of lot i that are cut as option j
	give    map[[2]int]int // diamonds of the ways at the ends, by way and lean
	match   [2][]int       // edge triangles of each way that match, at the bottom and the top
	matched int            // all together
	all     bool           // all must match
	loose   bool           // a row may hold more than two neighbouring colours
	zoned   bool           // the ways between the ends stand in zones
	further int            // strip sets beside those of the deal
	aside   int            // diamonds above a lighter colour
	of      shadeCase
	by      *shading
}

// lot is strip sets of the same lean, and of the same way unless none of their
// pieces can lie at an edge.
type lot struct {
	way  int // below 0: those of a zone between the ends
	lean geometry.Lean
	sets int
}

func (p *Plan) shading(terms strip.Terms) *shading {
	s := &shading{plan: p, need: p.Need.With(p.Spec.Spare), options: p.Set.Options(terms), columns: p.Columns, sixty: p.Spec.Angle == 60}
	for i, row := range []int{-1, p.Rows} {
		pl := p.Pieces[(row+1)*p.Columns]
		beside := p.Pieces[(min(max(row, 0), p.Rows-1)+1)*p.Columns]
		s.ends[i] = end{pl.Shape, pl.Lean, beside.Lean, row&1 == 0}
	}
	return s
}

// serves reports whether edge triangles from strip sets of a lean can lie at an
// end.
func (s *shading) serves(lean geometry.Lean, e end) bool { return s.sixty || lean == e.lean }

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

// rowWays returns the ways with strip sets of the lean of the row at an end,
// counted from there, and how many of them it holds at least; 0 when there are
// too few.
func (s *shading) rowWays(d deal, at int) (ways []int, least int) {
	lean, most := s.ends[at].row, 0
	for _, o := range s.options {
		most = max(most, o.Diamonds)
	}
	for w, one := range d {
		if one.sets[lean] > 0 {
			ways = append(ways, w)
		}
	}
	if at == 1 {
		slices.Reverse(ways)
	}
	room := 0
	for ; least < len(ways) && room < s.columns; least++ {
		room += most * d[ways[least]].sets[lean]
	}
	if room < s.columns {
		least = 0
	}
	return ways, least
}

// shadeCase is a deal and the ways that the rows at the bottom and at the top
// hold, from the end of the walk inwards.
type shadeCase struct {
	deal deal
	ways [2][]int
	// stops is the schedule that the answer keeps to; nil where it is free.
	stops []stop
}

// cases returns which ways the rows at the ends may hold: as few as can be, or
// up to so many more.
func (s *shading) cases(deals []deal, more int) (out []shadeCase) {
	for _, d := range deals {
		out = append(out, s.casesOf(d, more)...)
	}
	return out
}

func (s *shading) casesOf(d deal, more int) (out []shadeCase) {
	var ends [2][]shadeCase // with one end each
	for at := range ends {
		ways, least := s.rowWays(d, at)
		for n := least; n > 0 && n <= min(least+more, len(ways)); n++ {
			var c shadeCase
			c.ways[at] = ways[:n]
			ends[at] = append(ends[at], c)
		}
	}
	for _, bottom := range ends[0] {
		for _, top := range ends[1] {
			out = append(out, shadeCase{deal: d, ways: [2][]int{bottom.ways[0], top.ways[1]}})
		}
	}
	return out
}

// wish is what an answer is searched for.
type wish struct {
	all bool // all edge triangles must match: the fewest further strip sets
	// loose: a row of diamonds may hold more than two neighbouring colours of its
	// lean.
	loose bool
	more  int  // ways in a row at an end than are needed at least
	zoned bool // the ways between the ends are told apart by zones
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
		if l.sets < 0 && want.as == nil {
			cost = 1
			if c.stops != nil {
				cost = perFurther
			}
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
	m.triangles()
	if want.as != nil {
		m.asGood(further)
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
	for at := range m.ends {
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
					return l.way == w && (m.sixty || slices.ContainsFunc(m.ends[:], func(e end) bool { return e.shape == shape && e.lean == l.lean }))
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

// run is how many diamonds of a colour between two others fill so much of a row
// that it can't hold all three.
func (s *shading) run() int { return s.columns - 1 }

// scarce reports whether the strip sets of a way could give fewer diamonds of a
// lean than a run, but need not.
func (s *shading) scarce(d deal, way int, lean geometry.Lean) bool {
	most := d[way].sets[lean] * s.options[0].Diamonds
	return d.inner(way, lean) && most >= s.run() && most < 2*s.run()+s.options[0].Diamonds
}

// runs sees to it that ways of which there are few diamonds give a run.
func (m *model) runs() {
	for w := range m.deal {
		for _, lean := range geometry.Leans {
			if !m.scarce(m.deal, w, lean) {
				continue
			}
			if v, ok := m.give[[2]int{w, int(lean)}]; ok {
				m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.AtLeast, float64(m.run()))
			} else {
				m.Require(m.sum(1, geometry.Diamond, func(l lot) bool { return l.way == w && l.lean == lean }), linear.AtLeast, float64(m.run()))
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
				if m.ends[at].row != lean {
					continue
				}
				v, known := m.give[[2]int{w, int(lean)}]
				if !known {
					v = m.Variable(0)
				}
				m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.AtLeast, 1)
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
		for i, w := range ways {
			out.match[at][w] = s.Values[m.match[at][i]]
			out.matched += s.Values[m.match[at][i]]
		}
	}
	return out
}

// Limits of the search, in what a step of the simplex method costs.
const (
	shadeWork  = 6_000_000 // for the most that match
	matchWork  = 4_000_000 // for the fewest further strip sets in which all do
	nudgeSteps = 200       // for each try at fewer diamonds above a lighter colour
	nearWork   = 2_000_000 // for the nearest others
	mostSets   = 200       // of more strip sets only a few cases are tried
	firstSteps = 400       // for a first answer
	mostTries  = 400       // cases
	fewCases   = 8
	mostMore   = 8    // further ways in a row at an end
	kindSteps  = 2500 // steps for the fewest different rows of cuts
)

// best returns the answer in which most edge triangles match and of these one
// with few different rows of cuts; nil when none was found.
func (s *shading) best(sets int) *shade {
	var loose *shade
	for more := 1; loose == nil && more <= mostMore; more *= 2 {
		loose = s.search(sets, nil, wish{more: more, loose: true}, shadeWork)
	}
	want, a := wish{loose: true}, loose
	strict := s.plan.Rows >= s.plan.Spec.mostColours()
	if strict && loose != nil && s.crowded(loose) {
		a = s.search(sets, nil, wish{more: 1}, shadeWork)
	}
	if a = s.scheduled(sets, a, want, strict); a == nil && strict {
		a = s.scheduled(sets, loose, want, false)
	}
	if a == nil {
		return nil
	}
	return s.neater(a)
}

// crowded reports whether a row of diamonds holds colours of its lean that are not
// neighbours: all of one colour and of those on both sides of it.
func (s *shading) crowded(a *shade) bool {
	var upTo [2]int
	for _, given := range s.given(a) {
		for lean, n := range given {
			from := upTo[lean]
			upTo[lean] += n
			inside := from%s.columns > 0 && upTo[lean]%s.columns > 0 && upTo[lean] < s.plan.Need[lean][geometry.Diamond]
			if n > 0 && inside && from/s.columns == upTo[lean]/s.columns {
				return true
			}
		}
	}
	return false
}

// matched returns the answer with the fewest further strip sets in which all
// edge triangles match, beside those of a or of others.
func (s *shading) matched(sets int, a *shade) *shade {
	b := s.search(sets, s.completed(a), wish{all: true, loose: a.loose, more: 1}, matchWork)
	return s.neater(s.scheduled(sets, b, wish{all: true, loose: true}, !a.loose))
}

// completed returns an answer with the further strip sets that it lacks, of edge
// triangles alone: so many that each place of the rows at the ends can have one
// of its own colours.
func (s *shading) completed(a *shade) *shade {
	m := s.model(a.of, wish{all: true, loose: a.loose, zoned: a.zoned})
	b := m.answer(m.Nothing())
	b.give = a.give
	base := 0
	for i, l := range b.lots {
		if l.sets >= 0 {
			copy(b.cut[i], a.cut[base])
			base++
		}
	}
	for at, e := range s.ends {
		left, ways := s.columns, a.of.ways[at]
		for i, w := range ways {
			room := left
			if i < len(ways)-1 {
				room = a.give[[2]int{w, int(e.row)}]
			}
			left -= room
			b.match[at][w] = room
			missing := room - a.match[at][w]
			option := 0
			for j, o := range s.options {
				if o.Gives(e.shape) > s.options[option].Gives(e.shape) {
					option = j
				}
			}
			if missing > 0 {
				most := s.options[option].Gives(e.shape)
				lot := slices.Index(b.lots, lot{w, e.lean, -1})
				b.cut[lot][option] += (missing + most - 1) / most
				b.further += (missing + most - 1) / most
			}
		}
	}
	b.matched = 2 * s.columns
	return b
}

// tryable is a case and what no answer to it costs less than, as far as is known.
type tryable struct {
	shadeCase
	bound float64
}

// toTry returns the cases of a search.
func (s *shading) toTry(sets int, want wish) (out []*tryable) {
	walks := s.plan.Spec.walks()
	for _, right := range s.rights(sets) {
		deals := s.plan.Spec.deals(sets, right, walks, s.aside)
		if want.more > 1 || sets > mostSets {
			deals = deals[:min(len(deals), fewCases)]
		}
		for _, c := range s.cases(deals, min(want.more, mostMore)) {
			out = append(out, &tryable{c, math.Inf(-1)})
		}
	}
	if sets > mostSets {
		// A strip set more or less of a colour makes no odds.
		out = out[:min(len(out), fewCases)]
	}
	return out
}

// search looks for the best answer: that in which most match or, given one in
// which all match, for one with fewer further strip sets. No case is searched
// for long before the others have been; where an answer as good as the linear
// program allows is found the search ends.
func (s *shading) search(sets int, a *shade, want wish, work int) *shade {
	than := 1.0
	var answers []*shade
	if a != nil {
		answers, than = append(answers, a), a.cost()
	}
	if sets > mostSets/4 {
		work /= 2
	}
	cases := s.toTry(sets, want)
	tried := 0
	for _, each := range []int{500, math.MaxInt} {
		for _, c := range cases {
			if c.bound >= than {
				continue
			}
			m := s.model(c.shadeCase, want)
			limit := min(each, work/m.Work())
			if len(answers) == 0 {
				limit = max(limit, firstSteps) // an answer first of all
			}
			if limit == 0 || tried > mostTries {
				break
			}
			tried++
			left := limit
			found := m.Solve(than, &left)
			work -= (limit - left) * m.Work()
			c.bound = max(c.bound, found.Bound)
			if found.Values != nil {
				b := s.asided(m.answer(found))
				if len(answers) == 0 || b.out() < answers[len(answers)-1].out() {
					answers = append(answers, b)
					than = min(than, b.out())
				}
			}
			if found.Proven {
				c.bound = math.Inf(1)
			}
		}
	}
	if len(answers) == 0 {
		return nil
	}
	return s.nudged(answers[len(answers)-1], want, &work)
}

// nudged returns an answer or, where one with a few more or fewer diamonds of a
// colour at an end has fewer pieces out of place, that one: fewer of its diamonds
// may lie above a lighter colour.
func (s *shading) nudged(a *shade, want wish, work *int) *shade {
	const build = 20 // steps that it takes to set a program up
	for better := true; better && a.aside > 0; {
		better = false
		for w := range a.deal {
			for lean := range 2 {
				key := [2]int{w, lean}
				for _, by := range []int{-1, 1, -2, 2} {
					m := s.model(a.of, want)
					v, ok := m.give[key]
					if limit := *work / m.Work(); !ok || limit <= 0 {
						continue
					} else {
						*work -= build * m.Work()
						m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.Exactly, float64(a.give[key]+by))
						left := min(limit, nudgeSteps)
						before := left
						found := m.Solve(a.out(), &left)
						*work -= (before - left) * m.Work()
						if found.Values == nil {
							continue
						}
						if b := m.answer(found); s.asided(b).out() < a.out() {
							a, better = b, true
						}
					}
				}
			}
		}
	}
	return a
}

// asided counts the diamonds of an answer that lie above a lighter colour.
func (s *shading) asided(a *shade) *shade {
	a.aside = s.above(a)
	return a
}

// neater returns an answer as good in which the edge triangles that don't match
// come from nearer, with fewer different rows of cuts.
func (s *shading) neater(a *shade) *shade {
	near := -1
	m := s.model(a.of, wish{all: a.all, loose: a.loose, zoned: true, as: a})
	steps := nearWork / m.Work()
	if got := m.Solve(math.Inf(1), &steps); got.Values != nil {
		if b := s.asided(m.answer(got)); b.aside <= a.aside {
			a, near = b, int(got.Cost)
		}
	}
	if near < 0 {
		return a
	}
	steps = kindSteps
	return s.fewerKinds(a, near, &steps)
}

// cost is what a program makes least: edge triangles that match count against
// it, or further strip sets for it.
func (a *shade) cost() float64 {
	if a.all {
		return float64(a.further)
	}
	return float64(-a.matched)
}

// out is what the search makes least: the cost and the diamonds that are out of
// place; a further strip set counts for more than all of those.
func (a *shade) out() float64 {
	if a.all {
		return float64(a.further) + float64(a.aside)/(1<<30)
	}
	return float64(a.aside - a.matched)
}

// aside returns how many diamonds lie above a lighter colour when a colour ends
// after so many strip sets of each lean that give as many diamonds as they can.
func (s *shading) aside(sets [2]int) int {
	return s.aboveEnd([2]int{}, [2]int{sets[0] * s.options[0].Diamonds, sets[1] * s.options[0].Diamonds})
}

// aboveEnd returns how many diamonds of a colour lie above a lighter one when
// there are so many of each lean up to its beginning and up to its end.
func (s *shading) aboveEnd(from, upTo [2]int) int {
	lean, below := s.later(upTo)
	if lean < 0 {
		return 0
	}
	return max(min(upTo[lean], s.plan.Need[lean][geometry.Diamond])-max(below, from[lean]), 0)
}

// later returns the lean whose lighter colours begin in the later row, and how
// many of its diamonds lie in no row above the first lighter colour of the other
// one; -1 where there is only one lean.
func (s *shading) later(upTo [2]int) (lean, below int) {
	// The first row of each lean with a lighter colour.
	need := s.plan.Need
	var first [2]int
	for _, lean := range geometry.Leans {
		if need[lean][geometry.Diamond] == 0 {
			return -1, 0
		}
		first[lean] = 2*(upTo[lean]/s.columns) + int(lean)
		if upTo[lean] >= need[lean][geometry.Diamond] {
			first[lean] = s.plan.Rows
		}
	}
	later := geometry.Left
	if first[geometry.Left] < first[geometry.Right] {
		later = geometry.Right
	}
	rows := (first[later.Other()] + 1 - int(later)) / 2 // of that lean under the other one's
	return int(later), rows * s.columns
}

// above returns how many diamonds of an answer lie above a lighter colour.
func (s *shading) above(a *shade) int { return s.aboveAll(s.given(a)) }

// aboveAll is that for so many diamonds of each way and lean.
func (s *shading) aboveAll(given [][2]int) (n int) {
	var upTo [2]int
	for _, one := range given {
		from := upTo
		upTo[0], upTo[1] = upTo[0]+one[0], upTo[1]+one[1]
		n += s.aboveEnd(from, upTo)
	}
	return n
}

// rights returns how many of the strip sets may lean right, the share of the
// right-leaning diamonds first.
func (s *shading) rights(sets int) (out []int) {
	most := s.options[0].Diamonds
	var d, least [2]int
	for lean := range d {
		if d[lean] = s.need[lean][geometry.Diamond]; d[lean] > 0 {
			least[lean] = (d[lean] + most - 1) / most
		}
	}
	even := (2*sets*d[0] + d[0] + d[1]) / (2 * (d[0] + d[1]))
	for r := least[0]; r <= sets-least[1]; r++ {
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(max(a-even, even-a), max(b-even, even-b)) })
	// Those of which the fewest are known to do, and some that are as even.
	if i := slices.Index(out, s.right); i > 0 {
		out = slices.Insert(slices.Delete(out, i, i+1), min(i, 1), s.right)
	}
	return out[:min(len(out), 5)]
}

// kind is a row of cuts: an option and the lean of the strip sets.
type kind struct {
	lean   geometry.Lean
	option int
}

// kinds returns the different rows of cuts, those of which there are fewest
// first.
func (a *shade) kinds() (out []kind) {
	number := map[kind]int{}
	for i, l := range a.lots {
		for j, n := range a.cut[i] {
			if k := (kind{l.lean, j}); n > 0 {
				if number[k] == 0 {
					out = append(out, k)
				}
				number[k] += n
			}
		}
	}
	slices.SortStableFunc(out, func(a, b kind) int {
		return cmp.Or(cmp.Compare(number[a], number[b]), cmp.Compare(a.option, b.option), cmp.Compare(a.lean, b.lean))
	})
	return out
}

// fewerKinds looks for an answer as good with fewer different rows of cuts:
// without one of them, or with another one in place of two.
func (s *shading) fewerKinds(a *shade, near int, steps *int) *shade {
	// with returns an answer with these kinds only.
	with := func(kinds []kind) *shade {
		m := s.model(a.of, wish{a.all, a.loose, 0, true, a, near, func(lean geometry.Lean, option int) bool { return slices.Contains(kinds, kind{lean, option}) }})
		if got := m.Solve(float64(near)+0.5, steps); got.Values != nil {
			if b := s.asided(m.answer(got)); b.aside <= a.aside {
				return b
			}
		}
		return nil
	}
	better := func() *shade {
		for _, kinds := range s.fewer(a.kinds()) {
			if *steps <= 0 {
				return nil
			}
			if b := with(kinds); b != nil {
				return b
			}
		}
		return nil
	}
	for b := better(); b != nil; b = better() {
		a = b
	}
	return a
}

// fewer returns ways to have one kind less: without one of them, or with another
// one in place of two.
func (s *shading) fewer(kinds []kind) (out [][]kind) {
	without := func(drop ...int) (rest []kind) {
		for j, k := range kinds {
			if !slices.Contains(drop, j) {
				rest = append(rest, k)
			}
		}
		return rest
	}
	for i := range kinds {
		out = append(out, without(i))
	}
	for i := range kinds {
		for j := range i {
			for option := range s.options {
				for _, lean := range geometry.Leans {
					if k := (kind{lean, option}); !slices.Contains(kinds, k) {
						out = append(out, append(without(i, j), k))
					}
				}
			}
		}
	}
	return out
}

// shades reports whether strip sets are planned as a gradient.
func (p *Plan) shades(terms strip.Terms) bool {
	return p.Spec.ColourOrder == Gradient && !(terms.MixLeans && p.Spec.Angle == 60)
}

// shaded gives as many strip sets their colours and cuts, and takes further
// ones where all edge triangles must match.
func (p *Plan) shaded(f sewing, terms strip.Terms) sewing {
	if !p.shades(terms) {
		return p.dealt(f)
	}
	s, sets := p.shading(terms), len(f.Layouts)
	s.right, _, _ = f.Number()
	a := s.best(sets)
	if a == nil {
		return p.dealt(f)
	}
	out := s.sewing(a)
	out.shade = a
	if p.Spec.Edges != Matched {
		return out
	}
	thrifty := *p
	thrifty.Pieces = slices.Clone(p.Pieces)
	thrifty.sew(out)
	thrifty.layGradient()
	if leaves := thrifty.unmatched(); leaves > 0 {
		if b := s.matched(sets, a); b != nil {
			out = s.sewing(b)
			out.fewer, out.leaves = len(out.Layouts)-sets, leaves
		}
	}
	return out
}

// moreToMatch returns how many further strip sets would make all edge triangles
// of a gradient match.
func (p *Plan) moreToMatch() (n int, ok bool) {
	if p.shade == nil {
		return 0, false
	}
	s, sets := p.shade.by, len(p.Fewest.Layouts)
	b := s.matched(sets, p.shade)
	if b == nil {
		return 0, false
	}
	return len(s.sewing(b).Layouts) - sets, true
}

// dealt gives strip sets that are cut already their colours: both leans and
// mixed ones have their turns all along, those with edge triangles at both
// ends.
func (p *Plan) dealt(f sewing) sewing {
	var leans [3][]int // right-leaning ones, mixed ones, left-leaning ones
	for k, l := range f.Layouts {
		of := int(2 * l.Lean)
		if l.Mixed {
			of = 1
		}
		leans[of] = append(leans[of], k)
	}
	turn := make([]float64, len(f.Layouts))
	for _, sets := range leans {
		plain := func(k int) bool { return !strings.ContainsAny(f.Layouts[k].Word, "LU") }
		var dark, light []int
		for i, k := range sets {
			if plain(k) || i%2 == 0 {
				dark = append(dark, k)
			} else {
				light = append(light, k)
			}
		}
		slices.SortStableFunc(dark, func(a, b int) int { return isTrue(plain(a)) - isTrue(plain(b)) })
		for i, k := range append(dark, light...) {
			turn[k] = (float64(i) + 0.5) / float64(len(sets))
		}
	}
	for k := range f.Layouts {
		f.order = append(f.order, k)
	}
	slices.SortStableFunc(f.order, func(a, b int) int { return cmp.Compare(turn[a], turn[b]) })
	n, walks := len(f.order), p.Spec.walks()
	f.numbers = make([][]int, n)
	for q, k := range f.order {
		for _, walk := range walks {
			f.numbers[k] = append(f.numbers[k], walk[(2*q+1)*len(walk)/(2*n)])
		}
	}
	return f
}
