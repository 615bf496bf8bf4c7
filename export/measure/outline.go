// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"math"

	"lozenge/geometry"
)

// same is how near two points must lie, in inches, to be one, and how far a
// point may lie off a line to lie on it: what no blade and no eye resolves.
const same = 0.0005

// corners returns the corners of an outline, without points that repeat the
// one before or lie on the straight line between their neighbours, and
// counter-clockwise.
func corners(g geometry.Polygon) geometry.Polygon { return cornersWithin(g, same) }

// cornersWithin is corners for points that lie so near to each other to be one.
func cornersWithin(g geometry.Polygon, same float64) geometry.Polygon {
	out := make(geometry.Polygon, 0, len(g))
	for _, p := range g {
		if len(out) == 0 || p.Sub(out[len(out)-1]).Len() > same {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].Sub(out[len(out)-1]).Len() <= same {
		out = out[:len(out)-1]
	}
	straight := func(i, n int) bool {
		a, p, b := out[(i+n-1)%n], out[i], out[(i+1)%n]
		d := b.Sub(a)
		return math.Abs(d.Cross(p.Sub(a))) <= same*d.Len() && p.Sub(a).Dot(b.Sub(p)) >= 0
	}
	// Start at a corner, so that none is dropped for what is dropped later.
	if len(out) > 2 {
		kept := make(geometry.Polygon, 0, len(out))
		n := len(out)
		for i := range out {
			if !straight(i, n) {
				kept = append(kept, out[i])
			}
		}
		out = kept
	}
	if out.Area() < 0 {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// outlines returns what is closed on the page, how many cut lines are not, and
// those that were not joined, unless there are too many. Loose lines of one role
// whose ends meet all the way round are an outline too.
func (p *Page) outlines(cut func(*Path) bool) (closed []outline, open int, left [][]geometry.Point) {
	const (
		whole = iota
		square
		line
		other
	)
	kind := func(path *Path) int {
		points := path.Points
		switch meets := len(points) > 3 && points[0].Sub(points[len(points)-1]).Len() <= same; {
		case path.Closed || meets:
			return whole
		case path.Role == Square:
			return square
		case cut(path):
			return line
		}
		return other
	}
	// Counted first: there may be a million of them.
	var n [other + 1]int
	for i := range p.Paths {
		n[kind(&p.Paths[i])]++
	}
	closed = make([]outline, 0, n[whole]+1)
	loose := make([][]geometry.Point, 0, min(n[line], maxChained))
	var looseSquare [][]geometry.Point
	for i := range p.Paths {
		switch path := &p.Paths[i]; kind(path) {
		case whole:
			closed = append(closed, outline{i, path.Points, path.Role})
		case square:
			looseSquare = append(looseSquare, path.Points)
		case line:
			if n[line] <= maxChained {
				loose = append(loose, path.Points)
			}
		}
	}
	rings, left := join(loose)
	open = len(left)
	if n[line] > maxChained {
		open = n[line]
	}
	for _, g := range rings {
		closed = append(closed, outline{-1, g, Cut})
	}
	rings, _ = join(looseSquare)
	for _, g := range rings {
		closed = append(closed, outline{-1, g, Square})
	}
	return closed, open, left
}

// isCut returns the test for lines that are cut. Where the file does not say
// what a line is for, areas of colour beside lines are letters and grounds.
func (d *Drawing) isCut() func(*Path) bool {
	stroked := false
	for i := range d.Pages {
		for j := range d.Pages[i].Paths {
			path := &d.Pages[i].Paths[j]
			stroked = stroked || path.Role == Unknown && !path.Filled
		}
	}
	return func(p *Path) bool {
		return p.Role == Cut || !d.Roles && p.Role == Unknown && !(stroked && p.Filled)
	}
}

// maxChained is how many loose lines are tried to be joined.
const maxChained = 100_000

// join finds loose lines whose ends meet, two by two, all the way round, and
// returns the outlines that they make and the lines that are left. A file
// that went through another program often has each edge as a line of its
// own.
func join(lines [][]geometry.Point) (rings []geometry.Polygon, left [][]geometry.Point) {
	if len(lines) == 0 || len(lines) > maxChained {
		return nil, lines
	}
	nodes := nodes{cells: make(map[[2]int32][]int32, len(lines))}
	type end struct{ line, side int32 }
	var at [][]end // ends by node
	ends := make([][2]int32, len(lines))
	for i, l := range lines {
		for side, p := range [...]geometry.Point{l[0], l[len(l)-1]} {
			n := nodes.at(p)
			if int(n) == len(at) {
				at = append(at, nil)
			}
			at[n] = append(at[n], end{int32(i), int32(side)})
			ends[i][side] = n
		}
	}
	used := make([]bool, len(lines))
	for i := range lines {
		if used[i] {
			continue
		}
		var ring geometry.Polygon
		var chain []int32
		line, side := int32(i), int32(0)
		start := ends[i][0]
		closed := false
		for {
			used[line] = true
			chain = append(chain, line)
			points := lines[line]
			for k := range len(points) - 1 {
				if side == 0 {
					ring = append(ring, points[k])
				} else {
					ring = append(ring, points[len(points)-1-k])
				}
			}
			n := ends[line][1-side]
			if len(at[n]) != 2 {
				break
			}
			if n == start {
				closed = true
				break
			}
			next := at[n][0]
			if next.line == line {
				next = at[n][1]
			}
			if used[next.line] {
				break
			}
			line, side = next.line, next.side
		}
		if closed && len(ring) > 2 {
			rings = append(rings, ring)
			continue
		}
		for _, k := range chain {
			left = append(left, lines[k])
		}
	}
	return rings, left
}

// nodes gives points that lie within [same] of each other one number.
type nodes struct {
	cells  map[[2]int32][]int32
	points []geometry.Point
}

func (n *nodes) at(p geometry.Point) int32 {
	const size = 4 * same
	// A DXF may have coordinates beyond all cells.
	cell := func(v float64) int32 { return int32(math.Floor(min(max(v/size, -1<<30), 1<<30))) }
	for x := cell(p.X - same); x <= cell(p.X+same); x++ {
		for y := cell(p.Y - same); y <= cell(p.Y+same); y++ {
			for _, i := range n.cells[[2]int32{x, y}] {
				if n.points[i].Sub(p).Len() <= same {
					return i
				}
			}
		}
	}
	i := int32(len(n.points))
	n.points = append(n.points, p)
	c := [2]int32{cell(p.X), cell(p.Y)}
	n.cells[c] = append(n.cells[c], i)
	return i
}
