// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"cmp"
	"slices"
	"sort"
)

// Join is one seam that joins rows: those of side 0, which lie up and to the
// left, to those of side 1.
type Join struct {
	// Round 0 joins lone edge triangles to their neighbours; round 1 joins rows
	// in pairs, and each later round what the rounds before it have joined.
	Round int
	Rows  [2][2]int // first and last row of each side; they meet at Rows[0][1] and Rows[1][0]
	// Its seams are Order.Seams[First : First+Number], from the lower left up;
	// it has Number - 1 crossings.
	First, Number int
	Length        float64 // finished
	Bias          [2]int  // how many of the Number edges are bias, on each side
	Lower         [2]int  // in how many of its seams that side had better lie underneath
	Under         int     // the side for which Lower is larger, or Either
	// Across is how many rows of diamonds lie side by side once it is sewn.
	Across int
}

// JoinAfter returns which join, an index into Joins, sews row i to row i + 1; -1
// after the last row.
func (o *Order) JoinAfter(row int) int {
	if row < 0 || row >= len(o.joinAfter) {
		return -1
	}
	return o.joinAfter[row]
}

// Changes reports whether now one side, now the other had better lie underneath.
func (j Join) Changes() bool { return j.Lower[0] > 0 && j.Lower[1] > 0 }

// joinRows plans the joins: lone edge triangles first, then the rows in halves,
// each part cut where its pieces are most nearly halved. The last join is the
// longest of all, of several as long the one nearest the middle.
func (o *Order) joinRows(between []run) {
	if len(between) == 0 {
		return
	}
	// Units are what is joined in halves: rows with their lone triangles.
	type unit struct{ first, last int }
	var units []unit
	for i := range o.Rows {
		if !o.Rows[i].Lone {
			units = append(units, unit{i, i})
		}
	}
	for i := range o.Rows {
		r := &o.Rows[i]
		if !r.Lone {
			continue
		}
		// A lone row stands outermost.
		if i == 0 {
			r.Neighbour, units[0].first = 1, 0
			o.join(0, [2]int{0, 0}, [2]int{1, 1}, between[0])
		} else {
			r.Neighbour, units[len(units)-1].last = i-1, i
			// A single row may have a lone triangle on either side.
			o.join(0, [2]int{units[len(units)-1].first, i - 1}, [2]int{i, i}, between[i-1])
		}
	}
	// before[i] is how many pieces lie in the units before i.
	before := make([]int, len(units)+1)
	for i, u := range units {
		before[i+1] = before[i]
		for j := u.first; j <= u.last; j++ {
			before[i+1] += o.Rows[j].Number
		}
	}
	seam := func(i int) run { return between[units[i-1].last] } // between units i-1 and i
	longest := 0
	for i := 1; i < len(units); i++ {
		longest = max(longest, seam(i).number)
	}
	lone := len(o.Joins)
	// halve joins units[from:to] and returns the round in which that is done.
	var halve func(from, to int) int
	halve = func(from, to int) int {
		if to-from < 2 {
			return 0
		}
		half := nearest(before, from, to, func(i int) bool {
			return to-from < len(units) || seam(i).number == longest
		})
		round := 1 + max(halve(from, half), halve(half, to))
		o.join(round, [2]int{units[from].first, units[half-1].last}, [2]int{units[half].first, units[to-1].last}, seam(half))
		return round
	}
	halve(0, len(units))
	slices.SortStableFunc(o.Joins[lone:], func(a, b Join) int {
		return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Rows[0][0], b.Rows[0][0]))
	})
	o.joinAfter = make([]int, len(between))
	for i, j := range o.Joins {
		o.joinAfter[j.Rows[0][1]] = i
	}
}

// nearest returns the unit strictly between from and to before which the pieces
// are most nearly halved, of those that are allowed; of two as near the first.
func nearest(before []int, from, to int, allowed func(int) bool) int {
	// The middle lies between the units on both sides of it.
	target := before[from] + before[to]
	middle := from + sort.Search(to-from, func(i int) bool { return 2*before[from+i] >= target })
	off := func(i int) int {
		d := 2*before[i] - target
		return max(d, -d)
	}
	best := -1
	for i, j := middle-1, middle; i > from || j < to; i, j = i-1, j+1 {
		for _, k := range []int{i, j} {
			if k > from && k < to && allowed(k) && (best < 0 || off(k) < off(best)) {
				best = k
			}
		}
		if best >= 0 {
			break
		}
	}
	return best
}

func (o *Order) join(round int, first, second [2]int, r run) {
	j := Join{
		Round: round, Rows: [2][2]int{first, second},
		First: r.first, Number: r.number,
		Length: float64(r.number) * o.Side,
		Under:  Either,
	}
	for _, s := range o.Seams[r.first : r.first+r.number] {
		k := &o.SeamKinds[s.Kind]
		for side := range k.Edges {
			if k.Edges[side].Bias() {
				j.Bias[side]++
			}
			if k.Under == side {
				j.Lower[side]++
			}
		}
	}
	switch {
	case j.Lower[0] > j.Lower[1]:
		j.Under = 0
	case j.Lower[1] > j.Lower[0]:
		j.Under = 1
	}
	for i := first[0]; i <= second[1]; i++ {
		if !o.Rows[i].Lone {
			j.Across++
		}
	}
	o.Joins = append(o.Joins, j)
}
