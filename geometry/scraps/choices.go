// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"math"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// mostClose is the diamonds of a quilt for which the fewest strip sets are
// looked for where it is only one to choose from.
const mostClose = 300

// Quilt plans the quilt of a pattern whose strip sets come from a scrap bin. sized
// says that the pattern gives its size, that of p; else the quilt is chosen among
// those that the scraps make. The error is an [*Error] when a scrap can't be; when
// the scraps don't make the quilt it is a [*quilt.NotMade], and the Plan says what
// is lacking.
func Quilt(p *quilt.Plan, scraps []Scrap, sized bool) (*Plan, error) {
	if sized {
		out, err := New(p, scraps, false)
		if err != nil {
			return nil, err
		}
		if out.Enough {
			return out, out.lookOn(p, scraps)
		}
		choices, err := Choices(p, scraps)
		if err != nil {
			return nil, err
		}
		return out, &quilt.NotMade{Asked: p.Possible(p.Columns, p.Rows), From: from, Choices: choices, Proven: out.Proven}
	}
	choices, err := Choices(p, scraps)
	if err != nil {
		return nil, err
	}
	i := quilt.Choose(choices)
	if i < 0 {
		out, err := New(p, scraps, false)
		if err != nil {
			return nil, err
		}
		return out, &quilt.NotMade{From: from, Proven: out.Proven}
	}
	b, err := newBin(p, scraps)
	if err != nil {
		return nil, err
	}
	b.cutUp(balanced, math.MaxInt32)
	of, err := b.sized(Size{choices[i].Columns, choices[i].Rows})
	if err != nil {
		return nil, err
	}
	out, err := New(of, scraps, false)
	if err != nil {
		return nil, err
	}
	if !out.Enough {
		return out, &quilt.NotMade{From: from, Choices: choices}
	}
	choices[i].StripSets, choices[i].Leaves, choices[i].Chosen = len(out.Sets), b.leaves(out.Length), true
	out.Quilt.Choices = choices
	return out, out.lookOn(of, scraps)
}

// lookOn looks for what a little more would make.
func (out *Plan) lookOn(p *quilt.Plan, scraps []Scrap) error {
	b, err := newBin(p, scraps)
	if err == nil {
		out.Quilt.Next = b.next(out.Made)
	}
	return err
}

const from = "the scraps"

// Choices returns the quilts that the scraps make and none beats, as many as are
// found: none more than four times as long as wide or as wide as long.
func Choices(p *quilt.Plan, scraps []Scrap) ([]quilt.Possible, error) {
	b, err := newBin(p, scraps)
	if err != nil {
		return nil, err
	}
	s, roof := b.search()
	bands := p.Spec.ColourOrder == quilt.Bands
	return quilt.Settle(p, s.corners(roof), func(columns, rows int) (quilt.Possible, bool) {
		size := Size{columns, rows}
		made := s.made(size)
		if made == nil {
			return quilt.Possible{}, false
		}
		if bands {
			of, err := b.sized(size)
			if err != nil {
				return quilt.Possible{}, false
			}
			one := newBander(b, of).assign(fewTries)
			if made = one.made; !one.enough() {
				return quilt.Possible{}, false
			}
		}
		one := p.Possible(columns, rows)
		one.StripSets, one.Leaves = len(made.sets), b.leaves(made.length())
		return one, true
	}), nil
}

// mostColumns bounds the numbers of columns that are looked at; of more every so
// many are.
const mostColumns = 40

// corners returns quilts that the scraps make or hardly don't, none of which
// another one beats. Columns come one after the other; how many rows they allow is
// guessed from the diamonds that those before did.
func (s *search) corners(roof int) (out []quilt.Possible) {
	known := map[Size]bool{}
	makes := func(columns, rows int) bool {
		size := Size{columns, rows}
		ok, is := known[size]
		if !is {
			_, a := s.ask(size)
			ok = a.found
			known[size] = ok
		}
		return ok
	}
	columns := s.columns(roof)
	guess, most := roof, roof
	for i, c := range columns {
		rows := geometry.Last(min(most, roof/c), guess/c, func(rows int) bool { return makes(c, rows) })
		if rows == 0 {
			continue
		}
		most, guess = rows, c*rows
		if i+1 < len(columns) {
			// Those between may allow as many rows.
			for c+1 < columns[i+1] && makes(c+1, rows) {
				c++
			}
		}
		out = append(out, s.plan.Possible(c, rows))
	}
	return quilt.Unbeaten(out)
}

// columns returns the numbers of columns that are looked at: of quilts that are
// not too long or too wide, as far as can be told before.
func (s *search) columns(roof int) (out []int) {
	var all []int
	for c := 1; c <= roof; c++ {
		// No more rows are possible, and hardly ever less than half as many.
		size := s.plan.Possible(c, roof/c).Finished
		if ratio := size.Width / size.Height; ratio*2 >= 1/quilt.MostLong && ratio <= quilt.MostLong {
			all = append(all, c)
		}
	}
	n := len(all)
	if roof > mostClose {
		n = min(n, mostColumns)
	}
	for i := range n {
		out = append(out, all[i*len(all)/n])
	}
	return out
}

// leaves returns how much more could be sewn from the scraps, by the fabric that
// lacks most.
func (b *bin) leaves(sewn float64) float64 {
	least := math.Inf(1)
	for f, stuff := range b.fabrics {
		sum, takes := 0.0, 0
		for _, s := range b.strips {
			if s.fabric == f {
				sum += s.length
			}
		}
		for _, n := range stuff.takes {
			takes += n
		}
		least = min(least, sum/float64(takes))
	}
	return max(least-sewn, 0)
}

// made plans a size; nil when no way was found.
func (s *search) made(size Size) *cutPlan {
	t, a := s.ask(size)
	if !a.found {
		return nil
	}
	count := s.count(size)
	if size.Columns*size.Rows <= mostClose {
		if plan := s.solve(count); plan.found {
			return plan
		}
	}
	s.cutUp(balanced, math.MaxInt32)
	return s.spell(t, a, count)
}
