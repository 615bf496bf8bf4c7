// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry/strip"
)

// Lengths are counted in whole ticks here, so that what is left of a scrap
// after any number of cuts is exact and the same on every processor.
const (
	perUnit = 1 << 36
	// slack is how much too short a scrap may be: geometry.Fit in ticks.
	slack = 68
)

func ticks(length float64) int64 { return int64(math.Round(length * perUnit)) }

func unticks(n int64) float64 { return float64(n) / perUnit }

// table holds the lengths that are worth cutting: each is the least length of
// some row of cut lines, and what the best rows of that length give.
type table struct {
	lengths []int64 // ascending
	// most[k][d] is the most edge triangles that go with d diamonds into
	// lengths[k]; the last d is the most diamonds.
	most [][]int
	all  []strip.Least // rows, shortest first, end trim included
	rows map[held]strip.Least
}

// held is what a row holds.
type held struct{ diamonds, triangles int }

// newTable lists the lengths up to the longest, of rows that hold no more than
// so much.
func newTable(set strip.Set, longest, endTrim float64, stagger bool, most held) *table {
	t := &table{rows: map[held]strip.Least{}}
	for _, l := range set.Least(longest-endTrim, stagger) {
		if l.Diamonds <= most.diamonds && l.Triangles <= most.triangles {
			l.Length += endTrim
			t.all = append(t.all, l)
			t.rows[held{l.Diamonds, l.Triangles}] = l
		}
	}
	slices.SortStableFunc(t.all, func(a, b strip.Least) int { return cmp.Compare(ticks(a.Length), ticks(b.Length)) })
	var now []int
	for _, l := range t.all {
		if n := ticks(l.Length); len(t.lengths) == 0 || t.lengths[len(t.lengths)-1] != n {
			t.lengths = append(t.lengths, n)
			t.most = append(t.most, nil)
		}
		for len(now) <= l.Diamonds {
			now = append(now, 0)
		}
		for d := range l.Diamonds + 1 {
			now[d] = max(now[d], l.Triangles)
		}
		t.most[len(t.most)-1] = slices.Clone(now)
	}
	return t
}

// class returns the longest length that fits into so many ticks, -1 for none.
func (t *table) class(length int64) int {
	k, _ := slices.BinarySearch(t.lengths, length+slack+1)
	return k - 1
}

// length returns how long the shortest row is that holds so much.
func (t *table) length(d, triangles int) int64 {
	if d+triangles == 0 {
		return 0
	}
	return ticks(t.rows[held{d, triangles}].Length)
}

// thin returns two tables with no more than about so many lengths: one of
// lengths and rows that are there, and one that promises more than there is,
// for bounds. Both are the table itself when it is short enough.
func (t *table) thin(most int) (real, promise *table) {
	n := len(t.lengths)
	if n <= most {
		return t, t
	}
	real, promise = &table{rows: t.rows}, &table{rows: t.rows}
	for i := range most {
		from, to := i*n/most, (i+1)*n/most
		real.lengths = append(real.lengths, t.lengths[from])
		real.most = append(real.most, t.most[from])
		promise.lengths = append(promise.lengths, t.lengths[from])
		promise.most = append(promise.most, t.most[to-1])
	}
	return real, promise
}
