// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Possible is a quilt that what is there makes: so many strip sets, or a scrap
// bin.
type Possible struct {
	Columns, Rows           int
	Diamonds, EdgeTriangles int
	Finished                Size
	StripSets               int     // that it takes, as far as was looked; of the chosen one as it is planned
	Leaves                  float64 // whole unused strip sets and the ends of the others, as length of strip set
	Chosen                  bool    // it is the one that is planned

	side float64 // of strip set that a diamond takes
}

// UsesUp reports whether less is left than another diamond takes.
func (c Possible) UsesUp() bool { return c.Leaves < c.side-geometry.Fit }

// MaxStripSets is the most strip sets from which quilts are chosen.
const MaxStripSets = 400

// mostAsked bounds how many quilts are planned to learn what so many strip sets
// make, where that depends on their colours.
const mostAsked = 400

// Limits of what quilts are chosen from.
const (
	mostChosen = 10_000       // diamonds in all
	mostEach   = MaxYield / 2 // of a strip set
)

// MostLong is how many times as long as wide, or as wide as long, a quilt is at
// most of which that is learned by planning it.
const MostLong = 4.0

// NotMade says that what is there does not make the quilt that is asked for.
type NotMade struct {
	Asked   Possible   // what is asked for; 0 where no quilt is
	From    string     // "12 strip sets"
	Choices []Possible // what can be had, none of them chosen
	Proven  bool       // that it can't be had; else no way was found
}

// Error returns what can't be had in one line.
func (e *NotMade) Error() string {
	said := e.From + " make no quilt"
	if e.Asked.Columns > 0 {
		said += fmt.Sprintf(" of %d columns and %d rows", e.Asked.Columns, e.Asked.Rows)
	}
	if e.Proven {
		return said + ", however they are cut"
	}
	return said + ", as far as was found"
}

// Possible returns a quilt of the plan's pieces in another size.
func (p *Plan) Possible(columns, rows int) Possible {
	return Possible{Columns: columns, Rows: rows, Diamonds: columns * rows, EdgeTriangles: 2 * columns, Finished: finished(p.Set.Cutting, columns, rows), side: p.Set.CutSide()}
}

// Unbeaten leaves away every quilt that has no more columns and no more rows
// than another one, and returns the others with the fewest columns first.
func Unbeaten(all []Possible) (out []Possible) {
	slices.SortFunc(all, func(a, b Possible) int {
		return cmp.Or(cmp.Compare(a.Columns, b.Columns), cmp.Compare(a.Rows, b.Rows))
	})
	rows := 0
	for _, one := range slices.Backward(all) {
		if one.Rows > rows {
			out, rows = append(out, one), one.Rows
		}
	}
	slices.Reverse(out)
	return out
}

// Choose returns which of several quilts is planned where she picks none: among
// those of which the width is half the height at least and no more than it, the
// one with the most diamonds; of several, or where there is none, the one whose
// width is to its height most nearly as 3 to 4. -1 when there is none at all.
func Choose(all []Possible) int {
	best := -1
	key := func(i int) (within bool, diamonds int, off float64) {
		ratio := all[i].Finished.Width / all[i].Finished.Height
		within = ratio > 0.5-geometry.Fit && ratio < 1+geometry.Fit
		if within {
			diamonds = all[i].Diamonds
		}
		return within, diamonds, math.Abs(math.Log(ratio / 0.75))
	}
	for i := range all {
		if best < 0 {
			best = i
			continue
		}
		in, d, off := key(i)
		bestIn, bestD, bestOff := key(best)
		if c := cmp.Or(isTrue(in)-isTrue(bestIn), cmp.Compare(d, bestD)); c > 0 || c == 0 && off < bestOff-1e-12 {
			best = i
		}
	}
	return best
}

// newOfStripSets plans a quilt from so many strip sets: that of which she gives
// the size, or the one to choose. The error is a [*NotMade] when they do not
// make it.
func newOfStripSets(spec Spec) (*Plan, error) {
	n := spec.StripSets
	if n < 1 || n > MaxStripSets {
		return nil, geometry.Wrong("strip_sets", fmt.Sprintf("%d is not within 1 to %d", n, MaxStripSets), "")
	}
	spec.StripSets = 0
	asked := spec.Columns > 0 || spec.Finish != nil
	if !asked {
		spec.Columns, spec.Rows = 1, 1
	}
	p, err := New(spec)
	if err != nil {
		return nil, err
	}
	if p.Yield.Plain > min(mostChosen/n, mostEach) {
		return nil, geometry.Wrong("strip_sets", fmt.Sprintf("%d of %d diamonds are too many to choose from", n, p.Yield.Plain), "give columns and rows instead")
	}
	m := maker{p, n, p.Spec.Layout.Needs()}
	choices := m.choices()
	from := fmt.Sprintf("%d strip sets", n)
	if n == 1 {
		from = "1 strip set"
	}
	if asked && !(p.Fewest.OK() && len(p.Fewest.Layouts) <= n) {
		return nil, &NotMade{p.Possible(p.Columns, p.Rows), from, choices, !m.makes(p.Columns, p.Rows)}
	}
	for i := 0; !asked; asked = len(p.Fewest.Layouts) <= n {
		if i = Choose(choices); i < 0 {
			return nil, &NotMade{From: from, Proven: !m.makes(1, 1)}
		}
		spec.Columns, spec.Rows = choices[i].Columns, choices[i].Rows
		if p, err = New(spec); err != nil {
			return nil, err
		}
		choices = slices.Delete(choices, i, i+1) // it stands there again as planned
	}
	own := p.Possible(p.Columns, p.Rows)
	own.StripSets, own.Leaves, own.Chosen = len(p.Fewest.Layouts), p.rest(p.Fewest.Layouts, n), true
	p.Choices, p.Spec.StripSets = WithChosen(choices, own), n
	return p, nil
}

// WithChosen returns the choices with the one that is planned; where that is none
// of them it stands among them all the same.
func WithChosen(choices []Possible, own Possible) []Possible {
	out := slices.Clone(choices)
	i, found := slices.BinarySearchFunc(out, own, func(a, b Possible) int {
		return cmp.Or(cmp.Compare(a.Columns, b.Columns), cmp.Compare(b.Rows, a.Rows))
	})
	if found {
		out[i] = own
		return out
	}
	return slices.Insert(out, i, own)
}

// maker looks for the quilts that so many strip sets make; any of them has a
// plan of the same pattern.
type maker struct {
	*Plan
	sets  int
	needs func(columns, rows int) Count
}

// choices returns the quilts that the strip sets make and none beats, as many as
// it finds, those with the fewest columns first.
func (m maker) choices() (out []Possible) {
	for columns, most := 1, m.Spec.mostDiamonds(); ; {
		rows := geometry.Last(most, 1, func(rows int) bool { return m.makes(columns, rows) })
		if rows == 0 {
			break
		}
		columns = geometry.Last(m.Spec.mostDiamonds()/rows, columns, func(c int) bool { return c <= columns || m.makes(c, rows) })
		out = append(out, m.of(columns, rows))
		columns, most = columns+1, rows-1
	}
	if s := m.Spec; s.ColourOrder == Bands && s.AnyColourful() || s.Edges == Matched && s.AnyColourful() {
		out = m.asked(out)
	}
	return out
}

// fewestOf returns the fewest strip sets for a quilt of that size, whatever their
// colours.
func (m maker) fewestOf(columns, rows int) ([]strip.Layout, bool) {
	f := m.Set.Fewest(m.needs(columns, rows).With(m.Spec.Spare), m.terms(m.Yield.Length))
	return f.Layouts, f.OK()
}

func (m maker) makes(columns, rows int) bool {
	if columns > m.Spec.mostDiamonds()/rows {
		return false
	}
	layouts, ok := m.fewestOf(columns, rows)
	return ok && len(layouts) <= m.sets
}

// of returns a quilt that the strip sets make.
func (m maker) of(columns, rows int) Possible {
	one := m.Possible(columns, rows)
	layouts, _ := m.fewestOf(columns, rows)
	one.StripSets, one.Leaves = len(layouts), m.rest(layouts, m.sets)
	return one
}

// asked asks for strip sets of the quilts in their colours, and of smaller ones where
// those take more.
func (m maker) asked(all []Possible) []Possible {
	spec := m.Spec
	spec.Finish = nil
	return Settle(m.Plan, all, func(columns, rows int) (Possible, bool) {
		spec.Columns, spec.Rows = columns, rows
		p, err := begin(spec)
		if err != nil || !p.within(m.sets) {
			return Possible{}, false
		}
		one := p.Possible(columns, rows)
		one.StripSets, one.Leaves = len(p.Fewest.Layouts), p.rest(p.Fewest.Layouts, m.sets)
		return one, true
	})
}

// within chooses strip sets of the plan in its colours, no more than so many, if they
// are found soon: [New] looks for longer, and among those for the best.
func (p *Plan) within(sets int) bool {
	terms := p.terms(p.Yield.Length)
	f := p.fewest(p.groups, terms)
	p.sew(f)
	further := sets - len(f.Layouts)
	if !f.OK() || further < 0 {
		return false
	}
	if p.Spec.Edges != Matched || p.Spec.ColourOrder == Bands {
		return true
	}
	if p.shades(terms) {
		s := p.shading(terms)
		s.right, _, _ = f.Number()
		a := s.within(len(f.Layouts), further)
		if a == nil {
			return false
		}
		p.sew(s.sewing(a))
		p.shade = a
	}
	if p.Spec.ColourOrder == Scattered || p.freeEnds() {
		p.matchScattered(terms)
	}
	return len(p.Fewest.Layouts) <= sets
}

// Settle asks for each quilt whether it is made, and for those next smaller than
// one that is not; p is a plan of the same pattern.
func Settle(p *Plan, all []Possible, made func(columns, rows int) (Possible, bool)) (out []Possible) {
	known := map[[2]int]bool{}
	for n := 0; len(all) > 0 && n < mostAsked; {
		one := p.Possible(all[0].Columns, all[0].Rows)
		all = all[1:]
		size := [2]int{one.Columns, one.Rows}
		beaten := slices.ContainsFunc(out, func(o Possible) bool { return o.Columns >= one.Columns && o.Rows >= one.Rows })
		ratio := one.Finished.Width / one.Finished.Height
		if known[size] || beaten || one.Columns < 1 || one.Rows < 1 || ratio > MostLong || ratio < 1/MostLong {
			continue
		}
		known[size] = true
		n += 1 + one.Columns*one.Rows/1000
		if found, ok := made(one.Columns, one.Rows); ok {
			out = append(out, found)
			continue
		}
		all = append(all, Possible{Columns: one.Columns - 1, Rows: one.Rows}, Possible{Columns: one.Columns, Rows: one.Rows - 1})
	}
	return Unbeaten(out)
}

// rest returns how much strip set is left of so many strip sets: whole ones that
// are not used, and the ends of the others.
func (p *Plan) rest(layouts []strip.Layout, sets int) float64 {
	left := float64(sets-len(layouts)) * (p.Yield.Length + p.Spec.EndTrim)
	for _, l := range alike(layouts, p.SetLength) {
		left += float64(l.Number) * max(p.Yield.Length-p.Set.Uses(l.Layout), 0)
	}
	return left
}
