// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/strip"
)

// Sewn is the strip sets that a plan sews, of which sheets are laid.
type Sewn struct {
	Set      strip.Set
	Layouts  []strip.Layout
	Length   float64 // of each
	Alike    bool    // pieces of one serve as those of any other: all have the same colours
	MixLeans bool
}

// OutOf lays what is needed on sheets with lengths that come out of the strip
// sets that are sewn, and returns how many strip sets those take: more than
// are sewn only where a sheet can't hold their whole length, and the ends of
// the shorter ones take too much.
//
// Where all strip sets are alike they may be cut up in any way that takes no
// more of them, so it does as [StripSets]. Else each is cut into lengths that
// fit, as few in all as can be, with the pieces that the plan cuts from it.
// The error is that of StripSets.
func OutOf(sewn Sewn, need strip.Count, beds []Bed) (sheets []Sheet, stripSets int, err error) {
	any, err := StripSets(sewn.Set, need, beds, sewn.Length, sewn.MixLeans)
	if err != nil {
		return nil, 0, err
	}
	anySets := sewn.number(any)
	if sewn.Alike && anySets <= len(sewn.Layouts) {
		return any, anySets, nil
	}
	for _, b := range beds {
		rows, n, ok := sewn.cutUp(b.along(sewn.Length))
		if !ok || b.rows(sewn.Set.Width) == 0 {
			continue
		}
		own := b.sheets(sewn.Set, rows)
		if sewn.Alike {
			if n = sewn.number(own); anySets <= n {
				break
			}
		}
		return own, n, nil
	}
	return any, anySets, nil
}

// number returns into how few strip sets the lengths on sheets go.
func (s Sewn) number(sheets []Sheet) int {
	var lengths []float64
	for _, one := range sheets {
		for _, r := range one.Rows {
			lengths = append(lengths, slices.Repeat([]float64{r.Length}, one.Number)...)
		}
	}
	return fabric.Fewest(lengths, s.Length)
}

// cutUp cuts every strip set into rows no longer than most, and returns how
// many strip sets they take: what is too much for one comes out of others.
func (s Sewn) cutUp(most float64) (rows []strip.Layout, stripSets int, ok bool) {
	type cut struct {
		rows    []strip.Layout
		lengths []float64
	}
	known := map[strip.Layout]cut{}
	var more []float64
	for _, l := range s.Layouts {
		c, seen := known[l]
		if !seen {
			c.rows, c.lengths = parts(s.Set, l, most)
			known[l] = c
		}
		if len(c.rows) == 0 && l.Word != "" {
			return nil, 0, false
		}
		rows = append(rows, c.rows...)
		left := s.Length
		for _, length := range c.lengths {
			if geometry.Fits(length, left) {
				left -= length
			} else {
				more = append(more, length)
			}
		}
	}
	// Those that are cut alike lie on the same sheets.
	slices.SortStableFunc(rows, func(a, b strip.Layout) int {
		return cmp.Or(cmp.Compare(a.Lean, b.Lean), cmp.Compare(len(b.Word), len(a.Word)), cmp.Compare(a.Word, b.Word))
	})
	return rows, len(s.Layouts) + fabric.Fewest(more, s.Length), true
}

// parts cuts a strip set across where its neighbours part, into rows no longer
// than most that are as short as can be together; none where a piece is longer.
func parts(set strip.Set, l strip.Layout, most float64) (rows []strip.Layout, lengths []float64) {
	n := len(l.Word)
	type best struct {
		sum, length float64 // of all parts up to here, and of the last
		from        int
	}
	upTo := make([]best, n+1)
	for i := 1; i <= n; i++ {
		upTo[i].sum = math.Inf(1)
		for j := i - 1; j >= 0; j-- {
			row, err := strip.NewRow(set, l.Lean, l.Word[j:i])
			if err != nil || !geometry.Fits(row.Length, most) {
				break
			}
			if sum := upTo[j].sum + row.Length; sum < upTo[i].sum-geometry.Fit {
				upTo[i] = best{sum, row.Length, j}
			}
		}
	}
	if math.IsInf(upTo[n].sum, 1) {
		return nil, nil
	}
	for i := n; i > 0; i = upTo[i].from {
		part := l
		part.Word = l.Word[upTo[i].from:i]
		rows, lengths = append(rows, part), append(lengths, upTo[i].length)
	}
	slices.Reverse(rows)
	slices.Reverse(lengths)
	return rows, lengths
}
