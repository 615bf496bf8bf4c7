// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// A ribbon is fabric of one strip that runs on from piece to piece: the strips
// of two pieces that touch along a seam belong together. A band of colour is a
// ribbon. They are found by joining, whatever the setting.

// Band returns the number of the band of colour to which strip i of a piece,
// from 0 for the lowest, belongs. Pieces whose strips have the same number join
// into one band. The lowest and the highest strip have bands of their own kind;
// those of either kind are numbered across the way they run, to the right or
// else upwards, from the one of the first diamond in the bottom row, 0; before it
// lie those below 0. A ribbon of a strip between has the number of the lowest
// strip in its first diamond: mostly it is an island of that piece alone.
func (p *Plan) Band(pl Placement, i int) int {
	return int(p.ribbons[i][(pl.Row+1)*p.Columns+pl.Column])
}

// join numbers the ribbons of each strip.
func (p *Plan) join() [][]int32 {
	cut := *p
	if len(p.Set.Cuts) == 1 {
		// A single strip touches all pieces around; its lower half runs on as the
		// lowest of several does.
		half := (p.Set.Cuts[0] + 2*p.Set.Seam) / 2
		if two, err := strip.New([]float64{half, half}, p.Set.Seam, p.Set.Angle, p.Set.Tips, 0); err == nil {
			cut.Set = two
		}
	}
	kinds, of := cut.Standings()
	last := len(p.Spec.Strips) - 1
	out := make([][]int32, last+1)
	for i := range out {
		root := p.joined(kinds, of, i, nil)
		if i == 0 || i == last {
			out[i] = p.number(root)
			continue
		}
		out[i] = slices.Clone(out[0])
		first := map[int32]int32{}
		for k, pl := range p.Pieces {
			if _, ok := first[root[k]]; !ok && pl.Shape == geometry.Diamond {
				first[root[k]] = out[0][k]
			}
		}
		for k := range out[i] {
			if n, ok := first[root[k]]; ok {
				out[i][k] = n
			}
		}
	}
	return out
}

// joined returns, for every piece, one that stands for all of its ribbon of a
// strip. Where it is given, meet is told of each two pieces in which that strip
// runs on, the lower one first.
func (p *Plan) joined(kinds []Standing, of []int, strip int, meet func(i, j int32)) []int32 {
	root := make([]int32, len(p.Pieces))
	for i := range root {
		root[i] = int32(i)
	}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	type pair struct {
		lower, upper int  // kinds
		right        bool // the upper one stands to the right
	}
	touch := map[pair]bool{}
	for i, pl := range p.Pieces {
		at := p.Centre(pl)
		for _, j := range p.touching(i) {
			if int(j) <= i {
				continue
			}
			by := p.Centre(p.Pieces[j]).Sub(at)
			key := pair{of[i], of[j], by.X > 0}
			meets, known := touch[key]
			if !known {
				meets = shared(kinds[of[i]].Patches[strip], kinds[of[j]].Patches[strip].Move(by)) > seamShared
				touch[key] = meets
			}
			if meets {
				root[find(j)] = find(int32(i))
				if meet != nil {
					meet(int32(i), j)
				}
			}
		}
	}
	for i := range root {
		root[i] = find(int32(i))
	}
	return root
}

// seamShared is the length, in the pattern's unit, over which strips must touch
// to run on into each other.
const seamShared = 1e-6

// shared returns the length of the edges that two polygons on either side of
// them have in common.
func shared(a, b geometry.Polygon) (sum float64) {
	for i, from := range a {
		to := a[(i+1)%len(a)]
		long := to.Sub(from)
		length := long.Len()
		if length < seamShared {
			continue
		}
		u := long.Mul(1 / length)
		for j, p := range b {
			q := b[(j+1)%len(b)]
			off := func(v geometry.Point) float64 { d := v.Sub(from); return float64(d.X*u.Y) - float64(d.Y*u.X) }
			along := func(v geometry.Point) float64 { d := v.Sub(from); return float64(d.X*u.X) + float64(d.Y*u.Y) }
			if max(off(p), -off(p), off(q), -off(q)) < seamShared && along(p) > along(q) {
				sum += max(min(along(p), length)-max(along(q), 0), 0)
			}
		}
	}
	return sum
}

// number numbers ribbons across the way they run. Those that the quilt's rim
// cuts to pieces keep one number, and edge triangles that are turned, so that
// the bands stop there, take that of the diamond beside them.
func (p *Plan) number(root []int32) []int32 {
	x, y := p.across(root)
	type ribbon struct {
		root     int32
		pieces   int
		at       float64
		from, to float64 // along the way it runs
	}
	known := map[int32]*ribbon{}
	var all []*ribbon
	for i, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond && p.Spec.EdgeGrain == Straight {
			continue
		}
		r := known[root[i]]
		if r == nil {
			r = &ribbon{root: root[i], from: math.Inf(1), to: math.Inf(-1)}
			known[root[i]] = r
			all = append(all, r)
		}
		c := p.Centre(pl)
		r.pieces++
		r.at += float64(c.X*x) + float64(c.Y*y)
		along := float64(c.X*y) - float64(c.Y*x)
		r.from, r.to = min(r.from, along), max(r.to, along)
	}
	for _, r := range all {
		r.at /= float64(r.pieces)
	}
	slices.SortStableFunc(all, func(a, b *ribbon) int { return cmp.Compare(a.at, b.at) })
	// From ribbon to ribbon it is as far as from a column to the next, or from a
	// row to the next but one; at the rim somewhat less. Those that run beside each
	// other, as a ring around a ring, are not parts of one.
	apart := 0.4 * 2 * p.RowStep * p.ColumnStep
	place := map[int32]int32{}
	n, first := int32(0), 0 // of those with that number
	for k, r := range all {
		beside := func(o *ribbon) bool { return r.from < o.to && o.from < r.to }
		if k > 0 && (r.at-all[k-1].at > apart || slices.ContainsFunc(all[first:k], beside)) {
			n, first = n+1, k
		}
		place[r.root] = n
	}
	zero := place[root[p.Columns]] // of the first diamond in the bottom row
	out := make([]int32, len(root))
	for i := range out {
		n, ok := place[root[i]]
		if !ok {
			n = place[root[p.beside(i)[0]]]
		}
		out[i] = n - zero
	}
	return out
}

// across returns the direction across the ribbons: they run up, to the right or
// along one of the diagonals, whichever keeps most pieces in their ribbon.
func (p *Plan) across(root []int32) (x, y float64) {
	best, most := [2]int{1, 0}, 0
	for _, step := range [][2]int{{0, 2}, {1, 0}, {1, 2}, {-1, 2}} {
		n := 0
		for i, pl := range p.Pieces {
			column, row := pl.Column+step[0], pl.Row+step[1]
			if column >= 0 && column < p.Columns && row <= p.Rows && root[i] == root[(row+1)*p.Columns+column] {
				n++
			}
		}
		if n > most {
			best, most = step, n
		}
	}
	x, y = float64(best[1])*p.RowStep, -float64(best[0])*p.ColumnStep
	if x == 0 {
		y = -y
	}
	return x, y
}
