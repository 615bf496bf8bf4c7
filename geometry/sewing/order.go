// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Order is the sewing order of a quilt.
type Order struct {
	Rows      []Row   // diagonal rows, from the top left corner of the quilt to the bottom right
	Pieces    []Piece // row after row
	Kinds     []Kind  // the ways in which pieces stand
	SeamKinds []SeamKind
	Seams     []Seam // those within rows, row after row; then those between rows, from the first two on
	Joins     []Join // of rows, in the order in which they are sewn
	// Side is the finished length of every seam between two pieces.
	Side float64
	// Falls is the widest that falls away, raw, when the left (0) and the right
	// (1) side are squared up a seam allowance outside the finished edge.
	Falls [2]float64

	joinAfter []int // the join between row i and row i + 1
}

// Row is a diagonal row.
type Row struct {
	Letters       string
	Diagonal      int // as [quilt.Placement.DiagonalRow] counts
	First, Number int // its pieces are Order.Pieces[First : First+Number]
	Diamonds      int
	FirstSeam     int // its seams are Order.Seams[FirstSeam : FirstSeam+Number-1]
	// Lone: a row of one edge triangle, which is joined to row Neighbour as the
	// last thing done to that row.
	Lone      bool
	Neighbour int
	// RawEnds is how many of the two ends of its run of diamonds are raw edges,
	// no edge triangle being sewn to them.
	RawEnds int
	// Length is what its diamonds measure square to their seams once they are
	// sewn together: from raw edge to raw edge, or to the seam of an edge
	// triangle. 0 in a lone row.
	Length float64
}

// Piece is a piece in its place in the sewing order.
type Piece struct {
	quilt.Placement
	In    int // index into Order.Rows
	Place int // within the row, from 1
	Kind  int // index into Order.Kinds
}

// New returns the sewing order of the plan.
func New(p *quilt.Plan) *Order {
	o := &Order{Side: p.Set.FinishedSide()}
	o.layRows(p)
	b := &seamer{Order: o, seen: map[[5]int]int{}}
	o.Seams = make([]Seam, 0, 2*len(o.Pieces))
	for i := range o.Rows {
		b.within(&o.Rows[i])
	}
	between := b.between(p)
	o.joinRows(between)
	o.Falls = falls(o, p)
	return o
}

// layRows sorts the pieces into diagonal rows, each from its lower left end.
func (o *Order) layRows(p *quilt.Plan) {
	least := -(p.Rows / 2) // d of the row that holds the top left corner
	o.Rows = make([]Row, p.SewingRows)
	for _, pl := range p.Pieces {
		o.Rows[pl.DiagonalRow()-least].Number++
	}
	next := make([]int, len(o.Rows)) // where the row's next piece goes
	first := 0
	for i := range o.Rows {
		r := &o.Rows[i]
		r.Letters, r.Diagonal, r.First, r.Neighbour = Letters(i), least+i, first, -1
		next[i] = first
		first += r.Number
	}
	kinds, of := p.Standings()
	for _, s := range kinds {
		o.Kinds = append(o.Kinds, newKind(p, s))
	}
	o.Pieces = make([]Piece, len(p.Pieces))
	// The plan lists pieces from the bottom up, and a diagonal row has one piece
	// in each row of the lattice.
	for j, pl := range p.Pieces {
		i := pl.DiagonalRow() - least
		r := &o.Rows[i]
		o.Pieces[next[i]] = Piece{pl, i, next[i] - r.First + 1, of[j]}
		next[i]++
		if pl.Shape == geometry.Diamond {
			r.Diamonds++
		}
	}
	for i := range o.Rows {
		r := &o.Rows[i]
		if r.Diamonds == 0 {
			r.Lone = true
			continue
		}
		r.RawEnds = 2 - (r.Number - r.Diamonds)
		r.Length = float64(float64(r.Diamonds)*p.Set.FinishedWidth()) + float64(float64(r.RawEnds)*p.Set.Seam)
	}
}

// seamer collects seams and their kinds.
type seamer struct {
	*Order
	seen map[[5]int]int // pieces' kinds, sides, within
}

func (b *seamer) seam(pieces [2]int, sides [2]Side, within bool) {
	first, second := b.Pieces[pieces[0]].Kind, b.Pieces[pieces[1]].Kind
	key := [5]int{first, second, int(sides[0]), int(sides[1])}
	if within {
		key[4] = 1
	}
	kind, ok := b.seen[key]
	if !ok {
		kind = len(b.SeamKinds)
		b.seen[key] = kind
		k := SeamKind{Kinds: [2]int{first, second}, Within: within}
		for i, j := range k.Kinds {
			e, ok := b.Kinds[j].Edge(sides[i])
			if !ok {
				panic("sewing: neighbours in the lattice that share no edge")
			}
			k.Edges[i] = e
		}
		k.Under = under(k.Edges[0].Edge, k.Edges[1].Edge)
		b.SeamKinds = append(b.SeamKinds, k)
	}
	b.SeamKinds[kind].Seams++
	b.Seams = append(b.Seams, Seam{pieces, kind})
}

// within sews a row: each piece's upper right edge to the next one's lower
// left.
func (b *seamer) within(r *Row) {
	r.FirstSeam = len(b.Seams)
	for i := r.First; i+1 < r.First+r.Number; i++ {
		b.seam([2]int{i, i + 1}, [2]Side{UpperRight, LowerLeft}, true)
	}
}

// run is the seams between two neighbouring rows.
type run struct{ first, number int }

// between adds the seams between each row and the next, from the lower left
// up: the lower right edges of the one, the upper left edges of the other. The
// result has one run for each pair of neighbours.
func (b *seamer) between(p *quilt.Plan) []run {
	// at finds the piece of a place in the lattice.
	at := make([]int, p.Columns*(p.Rows+2))
	for i, pc := range b.Pieces {
		at[(pc.Row+1)*p.Columns+pc.Column] = i
	}
	out := make([]run, len(b.Rows)-1)
	for i := range out {
		out[i].first = len(b.Seams)
		r := b.Rows[i+1]
		for j := r.First; j < r.First+r.Number; j++ {
			// Up and to the left of (column, row): the row above, one column to
			// the left of even rows, since odd rows stand half a column to the
			// right.
			column, row := b.Pieces[j].Column, b.Pieces[j].Row+1
			if row&1 != 0 {
				column--
			}
			if column < 0 || row > p.Rows {
				continue
			}
			b.seam([2]int{at[(row+1)*p.Columns+column], j}, [2]Side{LowerRight, UpperLeft}, false)
		}
		out[i].number = len(b.Seams) - out[i].first
	}
	return out
}

// falls returns how far the raw pieces reach past the lines along which the
// sides are squared up.
func falls(o *Order, p *quilt.Plan) [2]float64 {
	var out [2]float64
	for _, pc := range o.Pieces {
		if pc.Column != 0 && pc.Column != p.Columns-1 {
			continue
		}
		box := o.Kinds[pc.Kind].Raw.Bounds()
		x := p.Centre(pc.Placement).X
		out[0] = max(out[0], -p.Set.Seam-(x+box.Min.X))
		out[1] = max(out[1], x+box.Max.X-(p.Finished.Width+p.Set.Seam))
	}
	return out
}
