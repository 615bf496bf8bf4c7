// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
)

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
	if s.ends == nil {
		return []shadeCase{s.freeCase(d, more)}
	}
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

// Limits of the search, in what a step of the simplex method costs.
const (
	shadeWork  = 6_000_000   // for the most that match
	matchWork  = 4_000_000   // for the fewest further strip sets in which all do
	nudgeSteps = 200         // for each try at fewer diamonds above a lighter colour
	nearWork   = 2_000_000   // for the nearest others
	soonWork   = 1_000_000   // for any answer that does
	mostSets   = 200         // of more strip sets only a few cases are tried
	firstSteps = 400         // of each case for a first answer
	firstWork  = 400_000_000 // of all cases for it
	mostTries  = 400         // cases
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
	if s.ends == nil {
		return loose
	}
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
			if n > 0 && s.inside(geometry.Lean(lean), from, upTo[lean]) {
				return true
			}
		}
	}
	return false
}

// inside reports whether diamonds of a lean, from one number to another one, lie
// in one row between others.
func (s *shading) inside(lean geometry.Lean, from, upTo int) bool {
	row, begins := s.row(lean, from)
	last, ends := s.row(lean, upTo)
	return row == last && !begins && !ends
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
	return s.asided(b)
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
	than := float64(want.further + 1)
	var answers []*shade
	if a != nil {
		answers, than = append(answers, a), a.out()
	}
	if sets > mostSets/4 {
		work /= 2
	}
	cases := s.toTry(sets, want)
	tried, first := 0, firstWork
	for _, each := range []int{500, math.MaxInt} {
		for _, c := range cases {
			if c.bound >= than {
				continue
			}
			m := s.model(c.shadeCase, want)
			limit := min(each, work/m.Work())
			if len(answers) == 0 && !want.all {
				limit = max(limit, min(firstSteps, first/m.Work())) // an answer first of all
			}
			if limit <= 0 || tried > mostTries {
				break
			}
			tried++
			before := work
			found := m.solve(than, limit, &work)
			first -= before - work
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

// solve looks for a solution that costs less, in so many steps at most, and takes what
// they cost off the work that is left.
func (m *model) solve(than float64, steps int, work *int) linear.Solution {
	left := steps
	found := m.Solve(than, &left)
	*work -= (steps - left) * m.Work()
	return found
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
					limit := *work / m.Work()
					if !ok || limit <= 0 {
						continue
					}
					*work -= build * m.Work()
					m.Require([]linear.Term{{Variable: v, Factor: 1}}, linear.Exactly, float64(a.give[key]+by))
					if found := m.solve(a.out(), min(limit, nudgeSteps), work); found.Values != nil {
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
	if s.ends == nil {
		a.matched = s.laid(a)
	}
	return a
}

// out is what the search makes least: diamonds out of place and edge triangles that
// don't match, or further strip sets, which count for more than all of those.
func (a *shade) out() float64 {
	if a.all {
		return float64(a.further) + float64(a.aside)/(1<<30)
	}
	return float64(a.aside - a.matched)
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
