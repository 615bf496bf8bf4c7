// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/colour"
)

// layGradient lays the diamonds of each lean from the strip sets in turn, from
// the dark end at the bottom up, each row from left to right, and the edge
// triangles so that as many as can be match.
func (p *Plan) layGradient() {
	order, laid := p.climbing(), slices.Clone(p.laid)
	if laid == nil {
		for _, l := range p.Fewest.Layouts {
			laid = append(laid, l.Gives)
		}
	}
	if len(order) == 0 {
		return
	}
	take := func(pl *Placement, k int) bool {
		if left := &laid[k][pl.Lean][pl.Shape]; *left > 0 {
			*left--
			pl.StripSet = k
			return true
		}
		return false
	}
	var next [2]int
	for i := range p.Pieces {
		if pl := &p.Pieces[i]; pl.Shape == geometry.Diamond {
			for next := &next[pl.Lean]; *next < len(order) && !take(pl, order[*next]); *next++ {
			}
		}
	}
	p.layEdges(order, take)
}

// layEdges lays the edge triangles: from left to right each one that matches,
// of several the one that could not lie farther right; then the others. The
// strip sets stand in the row beside them in the order of the gradient, so no
// more can match (earliest deadline first). Where not all pieces at the ends lie
// alike each one has a seat.
func (p *Plan) layEdges(order []int, take func(pl *Placement, k int) bool) {
	ways, way := p.Colourways()
	matches := p.toTake(way)
	for _, row := range []int{-1, p.Rows} {
		first := (row + 1) * p.Columns
		var rest []int
		for i := first; i < first+p.Columns; i++ {
			done := false
			for _, w := range matches(i) {
				done = done || slices.ContainsFunc(ways[w].StripSets, func(k int) bool { return take(&p.Pieces[i], k) })
			}
			if !done {
				rest = append(rest, i)
			}
		}
		// At the top from the light end, so that what doesn't match is near.
		from := slices.Clone(order)
		if row == p.Rows {
			slices.Reverse(from)
			slices.Reverse(rest)
		}
		next := map[Stand]int{} // of from
		for _, i := range rest {
			stand := p.Pieces[i].Stand()
			for next[stand] < len(from) && !take(&p.Pieces[i], from[next[stand]]) {
				next[stand]++
			}
		}
	}
}

// toTake tells of an edge triangle of which colourways it may be, to match: that in which
// it has a seat, or those beside it, the one that ends first before the other.
func (p *Plan) toTake(way []int) func(i int) []int {
	beside := func(j int32) int { return way[p.Pieces[j].StripSet] }
	if !p.freeEnds() {
		return func(i int) (out []int) {
			for _, j := range p.beside(i) {
				out = append(out, beside(j))
			}
			return out
		}
	}
	room := map[supplier]int{}
	for k, w := range way {
		for lean, of := range p.laid[k] {
			for shape, n := range of {
				room[supplier{w, geometry.Lean(lean), geometry.Shape(shape)}] += n
			}
		}
	}
	seated := p.seatEdges(beside, room, false)
	return func(i int) []int {
		w, ok := seated[i]
		return []int{w}[:isTrue(ok)]
	}
}

// climbing returns the strip sets in the order in which their pieces are laid from the
// bottom up. Those that are there already stand on a shortest walk through their
// colours, in CIELAB, which begins at its darker end. All strips count, each by
// how much of it shows. Strip sets of the same colours stay in cutting order.
func (p *Plan) climbing() []int {
	if p.order != nil {
		return p.order
	}
	ways, _ := p.Colourways()
	stops := make([][]colour.Lab, len(ways))
	for w, way := range ways {
		for _, c := range way.Colours {
			stops[w] = append(stops[w], colour.LabOf(colour.RGB(c)))
		}
	}
	var order []int
	for _, w := range colour.Walk(stops, p.shares()) {
		order = append(order, ways[w].StripSets...)
	}
	return order
}

// Climb returns the names of the colours of a fabric in the order in which a
// gradient lays them from the bottom up.
func (p *Plan) Climb(key string) (out []string) {
	i := slices.IndexFunc(p.Spec.Strips, func(st Strip) bool { return st.Fabric == key })
	for _, k := range p.climbing() {
		if n := p.ColourNames(k)[i]; !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// Above returns how many diamonds of a gradient lie above a lighter colour: one
// that comes later in the order of the gradient and lies in a lower row.
func (p *Plan) Above() (n int) {
	_, way := p.Colourways()
	rank, last := map[int]int{}, 0 // of colourways
	for _, k := range p.climbing() {
		if _, ok := rank[way[k]]; !ok {
			rank[way[k]] = len(rank)
		}
	}
	passed, row := 0, 0
	for _, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond {
			continue
		}
		if pl.Row > row {
			passed, row = last, pl.Row
		}
		now := rank[way[pl.StripSet]]
		if now < passed {
			n++
		}
		last = max(last, now)
	}
	return n
}

// shares returns how much of a diamond each strip covers, lowest first, in
// thousandths, rounded.
func (p *Plan) shares() []int {
	sum := 0.0
	var out []int
	for _, st := range p.Spec.Strips {
		sum += st.Cut - float64(2*p.Spec.Seam)
	}
	for _, st := range p.Spec.Strips {
		out = append(out, int(math.Round(1000*(st.Cut-float64(2*p.Spec.Seam))/sum)))
	}
	return out
}
