// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"

	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// cut is a line to be cut, in inches, from its lower end to its upper.
type cut struct {
	number int
	line   geometry.Segment
}

func (c cut) move(d geometry.Point) cut { return cut{c.number, c.line.Move(d)} }

// at returns where the line crosses the height y.
func (c cut) at(y float64) float64 {
	d := c.line.B.Sub(c.line.A)
	return c.line.A.X + float64(d.X*((y-c.line.A.Y)/d.Y))
}

// piece is what lies between two neighbouring cuts across the cloth.
type piece struct {
	index     int // in its row
	name      string
	low, high float64 // extent along the cloth
	trims     []cut
}

// run is cloth that is slid through the picture. Lengths are in inches; x
// runs along the cloth, y = 0 is its lower edge.
type run struct {
	height float64
	across []cut // left to right; piece i lies between i and i+1
	pieces []piece
	seams  []geometry.Segment
	rims   []geometry.Segment // long edges of the cloth
	ends   []geometry.Segment // its left end, a line for each strip
	left   float64            // of all that must be seen of the left end
	bands  []float64          // heights in the middle of each strip

	title string // what lies there
	name  string // "strip set": what is slid
	lay   string // how to lay it down
	more  string // what else to know at the beginning
	again int    // how often the run is cut, at least 1
	foot  string // written below the lower edge, or ""
}

// ofLayout returns the run of strip sets that are cut alike.
func ofLayout(p *quilt.Plan, like quilt.Like) *run {
	spec := p.Spec
	row := p.Row(like.Layout)
	strips, start := sheet.Cloth(p, like, row)
	in := func(g geometry.Point) geometry.Point {
		return geometry.Point{X: spec.Unit.Inches(g.X), Y: spec.Unit.Inches(g.Y)}
	}
	r := &run{height: spec.Unit.Inches(row.Set.Width), name: "strip set", again: like.Number}
	cuts := row.Cuts()
	for i := range cuts {
		l := cuts[i].Line
		cuts[i].Line = geometry.Segment{A: in(l.A), B: in(l.B)}
	}
	r.sortCuts(row, cuts, in)

	for i := range strips {
		s := &strips[i]
		s.Min, s.Max = in(s.Min.Sub(geometry.Point{X: start})), in(s.Max.Sub(geometry.Point{X: start}))
		r.bands = append(r.bands, (s.Min.Y+s.Max.Y)/2)
		r.left = min(r.left, s.Min.X)
		r.ends = append(r.ends, geometry.Segment{A: s.Min, B: geometry.Point{X: s.Min.X, Y: s.Max.Y}})
	}
	r.seams = sheet.Seams(strips)
	low, high := strips[0], strips[len(strips)-1]
	r.rims = []geometry.Segment{
		{A: low.Min, B: geometry.Point{X: low.Max.X, Y: low.Min.Y}},
		{A: geometry.Point{X: high.Min.X, Y: high.Max.Y}, B: high.Max},
	}

	r.title = fmt.Sprintf("%s, %s, %s", words.StripSets(like), words.Way(like), words.Face(spec.Face))
	ends := "left end"
	if like.Staggered {
		ends = "the strips' left ends"
	}
	r.lay = "Lay the strip set down with its first strip nearest you, edges and " + ends + " on the thin lines."
	r.more = "Strips from below: " + words.FromBelow(spec) + "."
	return r
}

// sortCuts gives each piece, from the left, the cuts across the cloth to its
// left and right and the trims of its tips. [strip.Row.Cuts] promises that
// order: the starting cut, the cut that frees each piece, then the trims of
// each piece.
func (r *run) sortCuts(row strip.Row, cuts []strip.Cut, in func(geometry.Point) geometry.Point) {
	n := len(row.Pieces)
	var trims []cut
	for i, c := range cuts {
		if i <= n {
			r.across = append(r.across, cut{c.Number, c.Line})
		} else {
			trims = append(trims, cut{c.Number, c.Line})
		}
	}
	for i := range n {
		k := i
		if row.Lean == geometry.Left {
			k = n - 1 - i
		}
		p := row.Piece(k)
		box := p.Outline.Bounds()
		here := piece{index: k, name: words.Shape(p.Shape), low: in(box.Min).X, high: in(box.Max).X}
		for _, e := range p.Edges {
			if e.Kind == geometry.TipTrim {
				here.trims = append(here.trims, trims[0])
				trims = trims[1:]
			}
		}
		r.pieces = append(r.pieces, here)
	}
}

// extent returns how far piece i and the cuts on both sides of it reach along
// the cloth.
func (r *run) extent(i int) (low, high float64) {
	p, a, b := r.pieces[i], r.across[i].line, r.across[i+1].line
	return min(p.low, a.A.X, a.B.X, b.A.X, b.B.X), max(p.high, a.A.X, a.B.X, b.A.X, b.B.X)
}
