// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// faces finds the outlines that loose lines make where more than two meet, as
// the edges of pieces that lie side by side do: the smallest areas that they
// close. It returns them and the lines that are left.
func faces(lines [][]geometry.Point) (found []geometry.Polygon, left [][]geometry.Point) {
	if len(lines) == 0 || len(lines) > maxChained {
		return nil, lines
	}
	l := link(lines)
	l.prune()
	l.around()
	done := make([][2]bool, len(lines))
	bounds := make([]bool, len(lines))
	for i := range lines {
		for side := range int32(2) {
			if l.used[i] || done[i][side] {
				continue
			}
			var chain []end
			for e := (end{int32(i), side}); !done[e.line][e.side]; e = l.left(e) {
				done[e.line][e.side] = true
				chain = append(chain, e)
			}
			// The area outside of all is on the right of its lines, and the same
			// line there and back encloses nothing.
			if g := l.points(chain); len(g) > 2 && g.Area() > same {
				found = append(found, g)
				for _, e := range chain {
					bounds[e.line] = true
				}
			}
		}
	}
	for i, line := range lines {
		if !bounds[i] {
			left = append(left, line)
		}
	}
	return found, left
}

// prune marks as used the lines of which an end meets nothing, and those which
// then end so.
func (l *links) prune() {
	var loose []int32
	free := make([]int, len(l.at)) // lines that end at a place
	drop := func(i int32) {
		l.used[i] = true
		for _, n := range l.ends[i] {
			if free[n]--; free[n] == 1 {
				loose = append(loose, n)
			}
		}
	}
	for n, ends := range l.at {
		free[n] = len(ends)
	}
	for i, e := range l.ends {
		if e[0] == e[1] { // it comes back, or is shorter than can be seen
			drop(int32(i))
		}
	}
	for n := range free {
		if free[n] == 1 {
			loose = append(loose, int32(n))
		}
	}
	for len(loose) > 0 {
		n := loose[len(loose)-1]
		loose = loose[:len(loose)-1]
		for _, e := range l.at[n] {
			if !l.used[e.line] {
				drop(e.line)
			}
		}
	}
}

// around puts the lines that end at a place in the order in which they lie round
// it, counter-clockwise.
func (l *links) around() {
	l.rank = make([][2]int32, len(l.lines))
	way := func(e end) float64 {
		line := l.lines[e.line]
		d := line[1].Sub(line[0])
		if e.side == 1 {
			d = line[len(line)-2].Sub(line[len(line)-1])
		}
		return math.Atan2(d.Y, d.X)
	}
	for n, ends := range l.at {
		ends = slices.DeleteFunc(ends, func(e end) bool { return l.used[e.line] })
		slices.SortFunc(ends, func(a, b end) int {
			return cmp.Or(cmp.Compare(way(a), way(b)), cmp.Compare(a.line, b.line), cmp.Compare(a.side, b.side))
		})
		for i, e := range ends {
			l.rank[e.line][e.side] = int32(i)
		}
		l.at[n] = ends
	}
}

// left goes on from the far end of a line by the one next to the left.
func (l *links) left(e end) end {
	there := l.at[l.ends[e.line][1-e.side]]
	i := int(l.rank[e.line][1-e.side])
	return there[(i+len(there)-1)%len(there)]
}
