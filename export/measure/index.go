// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"iter"
	"math"
	"slices"

	"lozenge/geometry"
)

// index finds the areas near a place: by cells, and those of many cells by
// themselves.
type index struct {
	paths []Path
	box   geometry.Rect
	n     int // cells each way
	cells [][]int
	large []int
	seen  map[int]bool
}

// mostCells is how many cells a small area covers at most.
const mostCells = 16

func (p *Page) index(areas []int) *index {
	x := &index{paths: p.Paths, box: geometry.EmptyRect(), n: 1 + int(math.Sqrt(float64(min(len(areas), 1<<16)))), seen: map[int]bool{}}
	for _, a := range areas {
		b := p.Paths[a].Cover.Box()
		x.box = x.box.Grow(b.Min, b.Max)
	}
	x.cells = make([][]int, x.n*x.n)
	for _, a := range areas {
		in := x.covered(p.Paths[a].Cover.Box())
		if in.size() > mostCells {
			x.large = append(x.large, a)
			continue
		}
		for c := range in.all(x.n) {
			x.cells[c] = append(x.cells[c], a)
		}
	}
	return x
}

// cells are those from a column and a row to others.
type cells struct{ from, to [2]int }

func (c cells) size() int { return (c.to[0] - c.from[0] + 1) * (c.to[1] - c.from[1] + 1) }

// all are the numbers of the cells, n being how many there are in a column.
func (c cells) all(n int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := c.from[0]; i <= c.to[0]; i++ {
			for j := c.from[1]; j <= c.to[1]; j++ {
				if !yield(i*n + j) {
					return
				}
			}
		}
	}
}

// covered returns the cells that a box touches.
func (x *index) covered(b geometry.Rect) cells {
	if !(x.box.Width() > 0 && x.box.Height() > 0) || !meets(b, x.box) {
		return cells{to: [2]int{-1, -1}}
	}
	cell := func(p geometry.Point) [2]int {
		at := func(v, size float64) int { return int(min(max(v/size*float64(x.n), 0), float64(x.n-1))) }
		return [2]int{at(p.X-x.box.Min.X, x.box.Width()), at(p.Y-x.box.Min.Y, x.box.Height())}
	}
	return cells{cell(b.Min), cell(b.Max)}
}

// near returns the areas that a box may touch, in their order.
func (x *index) near(b geometry.Rect, looks *int) []int {
	in := x.covered(b)
	*looks += len(x.large) + in.size()
	out := slices.Clone(x.large)
	clear(x.seen)
	for c := range in.all(x.n) {
		for _, a := range x.cells[c] {
			if !x.seen[a] {
				x.seen[a] = true
				out = append(out, a)
			}
		}
	}
	if len(out) > len(x.large) {
		slices.Sort(out)
	}
	return out
}
