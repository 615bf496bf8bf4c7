// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// Line is one straight cut, from A to B as the blade goes.
type Line struct {
	geometry.Segment
	Block int  // the first of the rows that share cuts with its row, or its row
	Frees bool // it lies on the rim of its row and so comes after the others
}

// Lines returns the union of all outlines of the sheet as straight cuts:
// every point once, what lies on one line and touches (within
// [geometry.Fit]) as one cut. They are in the order in which to cut them: row
// by row, or block by block where rows share cuts; first what lies within the
// rows, so that no piece is free while it is still being cut, then the rims.
// Among these the order is chosen to shorten the way between cuts, beginning
// at (0, 0).
func (s Sheet) Lines() []Line {
	var edges []edge
	for i, r := range s.Rows {
		for k := range r.Pieces {
			p := r.Piece(k)
			for j, e := range p.Edges {
				edges = append(edges, edge{
					Segment: geometry.Segment{A: p.Outline[j], B: p.Outline[(j+1)%len(p.Outline)]},
					row:     i,
					trim:    e.Kind == geometry.TipTrim,
				})
			}
		}
	}
	lines := union(edges, len(s.Rows))
	out := make([]Line, 0, len(lines))
	var at geometry.Point
	for i := range s.Rows {
		for _, frees := range []bool{false, true} {
			var pass []Line
			for _, l := range lines {
				if l.Block == i && l.Frees == frees {
					pass = append(pass, l)
				}
			}
			if len(pass) > most {
				slices.SortStableFunc(pass, func(a, b Line) int { return cmp.Compare(a.A.Y+a.B.Y, b.A.Y+b.B.Y) })
			}
			for part := range slices.Chunk(pass, most) {
				nearest(part, at)
				improve(part, at)
				at = part[len(part)-1].B
				out = append(out, part...)
			}
		}
	}
	return out
}

// most is how many lines are put in order at once: of a crowded sheet one
// level stretch after the other.
const most = 2000

// edge is an edge of a piece.
type edge struct {
	geometry.Segment
	row  int
	trim bool
}

// carrier is a straight line through the plane with all edges on it.
type carrier struct {
	at, along geometry.Point // a point of it, and its unit direction
	edges     []edge
}

// near reports whether both ends of s lie on the line.
func (c *carrier) near(s geometry.Segment) bool {
	return math.Abs(c.along.Cross(s.A.Sub(c.at))) <= geometry.Fit && math.Abs(c.along.Cross(s.B.Sub(c.at))) <= geometry.Fit
}

// bucket is the width of the classes by which lines of a direction are found.
const bucket = 1.0 / 1024

// carriers gathers the edges by the line on which they lie. The longest come
// first: they tell directions best.
type carriers struct {
	all        []*carrier
	directions []geometry.Point
	found      map[place][]*carrier
}

// place is where a line of a direction lies, in buckets.
type place struct {
	direction int
	offset    int64
}

func (c *carriers) add(e edge) {
	middle := e.A.Add(e.B).Mul(0.5)
	for d, along := range c.directions {
		b := int64(math.Floor(along.Cross(middle) / bucket))
		for o := b - 1; o <= b+1; o++ {
			for _, line := range c.found[place{d, o}] {
				if line.near(e.Segment) {
					line.edges = append(line.edges, e)
					return
				}
			}
		}
	}
	along := e.B.Sub(e.A)
	if along.X < 0 || (along.X == 0 && along.Y < 0) {
		along = along.Mul(-1)
	}
	along = along.Mul(1 / along.Len())
	line := &carrier{at: e.A, along: along, edges: []edge{e}}
	d := slices.IndexFunc(c.directions, func(p geometry.Point) bool { return math.Abs(p.Cross(along)) < geometry.Clip })
	if d < 0 {
		d = len(c.directions)
		c.directions = append(c.directions, along)
	}
	key := place{d, int64(math.Floor(c.directions[d].Cross(middle) / bucket))}
	c.found[key] = append(c.found[key], line)
	c.all = append(c.all, line)
}

// union returns every point of the edges once; they are of that many rows.
func union(edges []edge, rows int) []Line {
	edges = slices.Clone(edges)
	// Rounded, since the last bit of a length is not the same everywhere.
	size := func(e edge) float64 { return math.Round(e.B.Sub(e.A).Len() * 1e6) }
	slices.SortStableFunc(edges, func(a, b edge) int { return cmp.Compare(size(b), size(a)) })
	c := &carriers{found: map[place][]*carrier{}}
	for _, e := range edges {
		c.add(e)
	}
	blocks := make([]int, rows) // of each row the block, or a row nearer to it
	for i := range blocks {
		blocks[i] = i
	}
	var out []Line
	for _, line := range c.all {
		out = append(out, line.union(blocks)...)
	}
	for i := range out {
		out[i].Block = find(blocks, out[i].Block)
	}
	return out
}

// find returns the first row of the block of a row.
func find(blocks []int, row int) int {
	for blocks[row] != row {
		row = blocks[row]
	}
	return row
}

// union returns the cuts on the line, and joins the rows that share one.
func (c *carrier) union(blocks []int) []Line {
	type span struct {
		from, to float64
		ends     geometry.Segment
		edge
	}
	spans := make([]span, len(c.edges))
	for i, e := range c.edges {
		s := span{ends: e.Segment, edge: e}
		s.from, s.to = c.along.Dot(e.A.Sub(c.at)), c.along.Dot(e.B.Sub(c.at))
		if s.from > s.to {
			s.from, s.to = s.to, s.from
			s.ends = geometry.Segment{A: e.B, B: e.A}
		}
		spans[i] = s
	}
	slices.SortStableFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []Line
	for i := 0; i < len(spans); {
		line := Line{Segment: spans[i].ends, Block: spans[i].row}
		end := spans[i].to
		trims, shared := true, false
		reach := map[int]float64{} // how far the edges of each row have come
		for ; i < len(spans) && spans[i].from <= end+geometry.Fit; i++ {
			s := spans[i]
			was, ok := reach[s.row]
			if ok && s.from < was-geometry.Fit {
				shared = true
			}
			if !ok || s.to > was {
				reach[s.row] = s.to
			}
			if s.to > end {
				end, line.B = s.to, s.ends.B
			}
			if a, b := find(blocks, line.Block), find(blocks, s.row); a != b {
				blocks[max(a, b)] = min(a, b)
			}
			trims = trims && s.trim
		}
		line.Frees = !trims && !shared
		out = append(out, line)
	}
	return out
}
