// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"fmt"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/linear"
)

// fill is a whole piece of fabric with so many strips of each width side by
// side, and how often it is cut so.
type fill struct {
	holds []int
	times int
}

// Limits of the packing, all counted, so that it is the same everywhere.
const (
	mostPatterns = 10_000    // ways to fill a piece: beyond, the largest go first
	relaxSteps   = 5_000     // of the simplex method
	searchWork   = 2_000_000 // patterns priced anew
	layPieces    = 5_000     // tried for the few pieces that rounding leaves
)

// packEps is far above the rounding of what strips are worth, which are
// quotients of small whole numbers, and far below their differences.
const packEps = 1e-8

// pack lays strips, each width once and the widest first, side by side across
// as few whole pieces of the room as it can. More may lie in them than is
// wanted. least is a number below which there is no way: the number of pieces
// for up to three widths, of which up to mostPatterns ways fill a piece.
//
// A pattern is a number of strips of each width that fill a piece. The least
// is a whole-number program over all patterns (Gilmore and Gomory, A linear
// programming approach to the cutting-stock problem, 1961). Its relaxation is
// solved and rounded down, and the few pieces left are searched. Its duals say
// what each strip is worth; what a pattern is worth short of 1 is lost. A
// packing may lose just what it has more pieces than the relaxation: so where
// rounding finds none, all ways of losing that are tried. With nothing to lose
// all pieces lie on one face of the hull of the patterns. For up to three
// widths that is a lattice polygon, in whose multiples every lattice point is
// a sum of lattice points of the polygon (from memory: lattice polygons are
// normal); so that rounding finds a packing then if there is one.
func pack(items []Need, room float64) (fills []fill, least int) {
	r := make([]int, len(items))
	area := 0.0
	for i, x := range items {
		r[i] = x.Number
		area += float64(x.Width * float64(x.Number))
	}
	p := packing{items: items, room: room}
	pieces, done := 0.0, p.enumerate()
	if done {
		_, pieces, done = p.relax(r)
	}
	if !done {
		return p.greedy(r), int(math.Ceil(area/(room+geometry.Fit) - packEps))
	}
	least = int(math.Ceil(pieces - packEps))
	proven := len(items) <= 3
	for n := least; ; n++ {
		p.steps, p.seen = 1+int(searchWork/len(p.patterns)), map[string]bool{}
		if fills, ok := p.search(r, n); ok {
			return fills, least
		}
		if proven = proven && p.steps > 0; proven {
			least = n + 1
		}
	}
}

// holds returns how many pieces of the size go into the room, at most n.
func holds(size, room float64, n int) int {
	// Rounding is far below Fit, so the quotient can only be one too small.
	q := math.Floor(room / size)
	if geometry.Fits(float64((q+1)*size), room) {
		q++
	}
	return int(max(0, min(q, float64(n))))
}

// packing is what a search knows.
type packing struct {
	items    []Need
	room     float64
	patterns [][]int // first, for each width, the one of nothing else
	columns  []linear.Column
	steps    int // relaxations left
	seen     map[string]bool
}

// enumerate finds all patterns to which nothing can be added; false when they
// are too many.
func (p *packing) enumerate() bool {
	for i, x := range p.items {
		alone := make([]int, len(p.items))
		alone[i] = holds(x.Width, p.room, x.Number)
		p.patterns = append(p.patterns, alone)
	}
	now := make([]int, len(p.items))
	var fill func(i int, left float64)
	fill = func(i int, left float64) {
		if i == len(now) {
			p.patterns = append(p.patterns, slices.Clone(now))
			return
		}
		x := p.items[i]
		most := holds(x.Width, left, x.Number)
		least := 0
		if i == len(now)-1 {
			least = most
		}
		for n := most; n >= least && len(p.patterns) <= mostPatterns; n-- {
			now[i] = n
			fill(i+1, left-float64(float64(n)*x.Width))
		}
	}
	fill(0, p.room)
	for _, holds := range p.patterns {
		c := linear.Column{Cost: 1}
		for i, n := range holds {
			c.Put(i, float64(n))
		}
		p.columns = append(p.columns, c)
	}
	for i := range p.items { // more of a width than is wanted
		p.columns = append(p.columns, linear.Column{Row: []int32{int32(i)}, Entry: []float64{-1}})
	}
	return len(p.patterns) <= mostPatterns
}

// greedy fills piece after piece with the widest that still go in.
func (p *packing) greedy(r []int) (out []fill) {
	for {
		f, room := fill{make([]int, len(r)), math.MaxInt}, p.room
		for i, x := range p.items {
			if n := holds(x.Width, room, r[i]); n > 0 {
				f.holds[i], f.times = n, min(f.times, r[i]/n)
				room -= float64(float64(n) * x.Width)
			}
		}
		if f.times == math.MaxInt {
			return out
		}
		out, r = append(out, f), less(r, f)
	}
}

// less returns r without what a fill holds, nothing where that is more.
func less(r []int, f fill) []int {
	out := slices.Clone(r)
	for i, n := range f.holds {
		out[i] = max(out[i]-f.times*n, 0)
	}
	return out
}

// relax solves the relaxation for the strips r; column c of the program is
// pattern c. It reports how many pieces it takes, and whether it came to an
// end.
func (p *packing) relax(r []int) (program *linear.Program, pieces float64, done bool) {
	right := make([]float64, len(r))
	for i, n := range r {
		right[i] = float64(n)
	}
	program = linear.New(right, slices.Clone(p.columns[:len(r)]))
	for _, c := range p.columns[len(r):] {
		program.Add(c)
	}
	done = program.Optimise(relaxSteps)
	for k, c := range program.Basis {
		pieces += float64(program.Columns[c].Cost * program.Level[k])
	}
	return program, pieces, done
}

// search looks for a packing of r in so many pieces.
func (p *packing) search(r []int, pieces int) ([]fill, bool) {
	key := fmt.Sprint(r, pieces)
	if p.seen[key] || p.steps <= 0 {
		return nil, false
	}
	p.seen[key] = true
	p.steps--
	program, needed, _ := p.relax(r)
	lost := float64(pieces) - needed + packEps
	if lost < 0 {
		return nil, false
	}
	if found, ok := p.round(r, pieces, program.Levels()); ok {
		return found, true
	}
	for c := len(r); c < len(p.patterns); c++ {
		if loss := program.Reduced(&program.Columns[c]); loss > packEps && loss <= lost {
			one := fill{p.patterns[c], 1}
			if found, ok := p.search(less(r, one), pieces-1); ok {
				return append(found, one), true
			}
		}
	}
	for i, worth := range program.Duals {
		if worth > packEps && worth <= lost {
			more := slices.Clone(r)
			more[i]++
			if found, ok := p.search(more, pieces); ok {
				return found, true
			}
		}
	}
	return nil, false
}

// round takes each pattern as often as the relaxation does, rounded down, and
// looks for a way to lay what is left into the pieces that are left. Where
// there are enough it rounds up.
func (p *packing) round(r []int, pieces int, levels []float64) ([]fill, bool) {
	var down, up []fill
	downs, ups, rest := 0, 0, r
	for c, holds := range p.patterns {
		n := int(levels[c] + packEps)
		if levels[c] > packEps {
			up = append(up, fill{holds, int(math.Ceil(levels[c] - packEps))})
			ups += up[len(up)-1].times
		}
		if n > 0 {
			down, downs = append(down, fill{holds, n}), downs+n
			rest = less(rest, down[len(down)-1])
		}
	}
	left := layPieces
	if more, ok := p.lay(rest, pieces-downs, &left); ok {
		return append(down, more...), true
	}
	return up, ups <= pieces
}

// lay lays r into so many pieces. The widest strip left goes into the next
// piece, with each pattern that holds one.
func (p *packing) lay(r []int, pieces int, tries *int) ([]fill, bool) {
	widest := slices.IndexFunc(r, func(n int) bool { return n > 0 })
	if widest < 0 {
		return nil, true
	}
	sum := 0.0
	for i, n := range r {
		sum += float64(p.items[i].Width * float64(n))
	}
	switch {
	case pieces >= 1 && geometry.Fits(sum, p.room):
		return []fill{{r, 1}}, true
	case pieces < 2 || sum > float64(float64(pieces)*(p.room+geometry.Fit)):
		return nil, false
	}
	for _, holds := range p.patterns {
		if holds[widest] == 0 {
			continue
		}
		// Two pieces are always tried to the end: the proof asks for it.
		if *tries--; *tries < 0 && pieces > 2 {
			return nil, false
		}
		one := fill{holds, 1}
		if rest, ok := p.lay(less(r, one), pieces-1, tries); ok {
			return append(rest, one), true
		}
	}
	return nil, false
}
