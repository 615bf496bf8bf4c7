// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Edges is how the colours of the edge triangles go with those of the
// diamonds that they touch.
type Edges struct {
	// Unmatched counts the edge triangles whose colour in some fabric is that
	// of no diamond that they touch.
	Unmatched int
	// More is how many further strip sets would make all match: in a gradient
	// of the colours at its ends, else as planned for each row of colours by
	// itself, with each edge triangle that does not match in the colours of a
	// diamond beside it. It is nil where no strip set gives the pieces, and
	// where strip sets are not chosen here.
	More *int
	// Fewer is how many strip sets less would do if edge triangles need not
	// match, and Leaves how many then would not. Both are 0 unless the rule is
	// Matched.
	Fewer, Leaves int
}

// Edges returns how the colours of the edge triangles go with the diamonds.
func (p *Plan) Edges() Edges {
	e := Edges{Fewer: p.fewer, Leaves: p.leaves}
	if !p.Fewest.OK() || len(p.Fewest.Layouts) == 0 {
		return e
	}
	e.Unmatched = p.unmatched()
	if p.sewn != nil {
		return e
	}
	more := 0
	if e.Unmatched > 0 && p.Spec.ColourOrder != Bands {
		var ok bool
		if p.Spec.ColourOrder == Gradient && !p.freeEnds() {
			more, ok = p.moreToMatch()
		} else if all := p.fewest(p.groupBy(p.like), p.terms(p.Yield.Length)); all.OK() {
			more, ok = max(len(all.Layouts)-len(p.Fewest.Layouts), 0), true
		}
		if !ok {
			return e
		}
	}
	e.More = &more
	return e
}

// ShadeLeft returns how many pieces of a gradient are out of place where fewer might be
// and not all was tried: see freeEnds.
func (p *Plan) ShadeLeft() int {
	if !p.freeEnds() || !p.Spec.AnyColourful() {
		return 0
	}
	return p.Above() + p.unmatched()
}

// freeEnds reports whether a gradient was planned without its ends: where not all
// pieces there lie alike, which edge triangles match is seen when it is laid.
func (p *Plan) freeEnds() bool { return p.shade != nil && p.shade.by.ends == nil }

// unmatched counts the edge triangles that don't match.
func (p *Plan) unmatched() (n int) {
	for i, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond && !p.matched(i) {
			n++
		}
	}
	return n
}

// like returns the numbers of the colours of piece i or, for an edge triangle
// that does not match, of a diamond beside it.
func (p *Plan) like(i int) []int {
	if p.Pieces[i].Shape != geometry.Diamond && !p.matched(i) {
		i = int(p.beside(i)[0])
	}
	return p.ColourNumbers(p.Pieces[i].StripSet)
}

// matchScattered takes further strip sets so that edge triangles match diamonds
// that are scattered without them.
func (p *Plan) matchScattered(terms strip.Terms) {
	if !p.Fewest.OK() || len(p.Fewest.Layouts) == 0 {
		return
	}
	p.assign()
	leaves := p.unmatched()
	groups := p.groupBy(p.like)
	f := p.fewest(groups, terms)
	if leaves == 0 || !f.OK() {
		return
	}
	p.wanted = make([]string, len(p.Pieces))
	for i := range p.Pieces {
		p.wanted[i] = keyOf(p.like(i))
	}
	f.fewer, f.leaves = max(len(f.Layouts)-len(p.Fewest.Layouts), 0), leaves
	p.groups = groups
	p.sew(f)
}

// beside returns the indices in Pieces of the diamonds that share an edge with
// piece i.
func (p *Plan) beside(i int) (out []int32) {
	for _, j := range p.touching(i) {
		if j >= 0 && p.Pieces[j].Shape == geometry.Diamond {
			out = append(out, j)
		}
	}
	return out
}

// matched reports whether each colour of piece i is, in its fabric, that of a
// diamond beside it.
func (p *Plan) matched(i int) bool {
	own := p.Colours(p.Pieces[i].StripSet)
	for k, st := range p.Spec.Strips {
		found := false
		for _, j := range p.beside(i) {
			for m, c := range p.Colours(p.Pieces[j].StripSet) {
				found = found || c == own[k] && p.Spec.Strips[m].Fabric == st.Fabric
			}
		}
		if !found {
			return false
		}
	}
	return true
}
