// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"math"

	"lozenge/geometry"
)

// outlines returns what is closed on the page, how many cut lines are not, and
// those that were not joined. Loose lines of one role whose ends meet all the
// way round are an outline too; where no line has a role, so are those of which
// more than two meet.
func (p *Page) outlines(cut func(*Path) bool, roles bool) (closed []outline, left [][]geometry.Point) {
	var loose, looseSquare [][]geometry.Point
	for i := range p.Paths {
		path := &p.Paths[i]
		points := path.Points
		switch meets := len(points) > 3 && points[0].Sub(points[len(points)-1]).Len() <= meet; {
		case path.Closed || meets:
			if meets {
				points = points[:len(points)-1]
			}
			closed = append(closed, outline{i, points, path.Role})
		case path.Role == Square:
			looseSquare = append(looseSquare, points)
		case cut(path):
			loose = append(loose, points)
		}
	}
	rings, left := join(loose)
	if !roles {
		more, rest := faces(left)
		rings, left = append(rings, more...), rest
	}
	for _, g := range rings {
		closed = append(closed, outline{-1, g, Cut})
	}
	rings, _ = join(looseSquare)
	for _, g := range rings {
		closed = append(closed, outline{-1, g, Square})
	}
	return closed, left
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
	l := link(lines)
	for i := range lines {
		if l.used[i] {
			continue
		}
		chain, closed := l.follow(int32(i))
		if ring := l.points(chain); closed && len(ring) > 2 {
			rings = append(rings, ring)
			continue
		}
		for _, e := range chain {
			left = append(left, lines[e.line])
		}
	}
	return rings, left
}

// end is that of a line: side 0 is where it begins.
type end struct{ line, side int32 }

// links are lines by the places where they end.
type links struct {
	lines [][]geometry.Point
	ends  [][2]int32 // the place of both ends of each
	at    [][]end    // by place
	used  []bool
	rank  [][2]int32 // of both ends of each, round the place; see around
}

func link(lines [][]geometry.Point) *links {
	l := &links{lines: lines, ends: make([][2]int32, len(lines)), used: make([]bool, len(lines))}
	nodes := nodes{cells: make(map[[2]int32][]int32, len(lines))}
	for i, line := range lines {
		for side, p := range [...]geometry.Point{line[0], line[len(line)-1]} {
			n := nodes.at(p)
			if int(n) == len(l.at) {
				l.at = append(l.at, nil)
			}
			l.at[n] = append(l.at[n], end{int32(i), int32(side)})
			l.ends[i][side] = n
		}
	}
	return l
}

// follow goes from a line to the next as long as just two meet, and tells
// whether it came back.
func (l *links) follow(line int32) (chain []end, closed bool) {
	start := l.ends[line][0]
	for e := (end{line, 0}); ; {
		l.used[e.line] = true
		chain = append(chain, e)
		n := l.ends[e.line][1-e.side]
		if len(l.at[n]) != 2 || n == start {
			return chain, len(l.at[n]) == 2
		}
		next := l.at[n][0]
		if next.line == e.line {
			next = l.at[n][1]
		}
		if l.used[next.line] {
			return chain, false
		}
		e = next
	}
}

// points returns those of a chain, each line without its last.
func (l *links) points(chain []end) geometry.Polygon {
	var out geometry.Polygon
	for _, e := range chain {
		points := l.lines[e.line]
		for k := range len(points) - 1 {
			if e.side == 1 {
				k = len(points) - 1 - k
			}
			out = append(out, points[k])
		}
	}
	return out
}

// meet is how far apart, in inches, the ends of two lines may lie to meet: what
// a program leaves that writes hundredths of a millimetre, or three decimals of
// an inch.
const meet = 0.002

// nodes gives points that lie within [meet] of each other one number.
type nodes struct {
	cells  map[[2]int32][]int32
	points []geometry.Point
}

func (n *nodes) at(p geometry.Point) int32 {
	const size = 4 * meet
	// A DXF may have coordinates beyond all cells.
	cell := func(v float64) int32 { return int32(math.Floor(min(max(v/size, -1<<30), 1<<30))) }
	for x := cell(p.X - meet); x <= cell(p.X+meet); x++ {
		for y := cell(p.Y - meet); y <= cell(p.Y+meet); y++ {
			for _, i := range n.cells[[2]int32{x, y}] {
				if n.points[i].Sub(p).Len() <= meet {
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
