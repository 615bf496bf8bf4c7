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
	Length   float64   // of each, of the longest where they differ
	Lengths  []float64 // of each where they differ, as those from scraps; else nil
	Alike    bool      // pieces of one serve as those of any other: all have the same colours
	MixLeans bool
}

// Lengths is how the lengths on sheets come out of strip sets.
type Lengths struct {
	// Straight is how many strip sets they take, cut straight across: more
	// than are sewn only where a sheet can't hold their whole length, and the
	// ends of the shorter ones take too much.
	Straight int
	// Apart says that they come out of those that are sewn, each length next
	// to the one beside it, when these are cut apart along the line that two
	// pieces share.
	Apart bool
}

// OutOf lays what is needed on sheets with lengths that come out of the strip
// sets that are sewn.
//
// Where all strip sets are alike they may be cut up in any way that takes no
// more of them, so it does as [StripSets]. Else each is cut into lengths that
// fit, as short in all as can be, with the pieces that the plan cuts from it;
// where its pieces don't fit along a sheet, as StripSets lays them. The error
// is that of StripSets.
func OutOf(sewn Sewn, need strip.Count, beds []Bed) ([]Sheet, Lengths, error) {
	any, err := StripSets(sewn.Set, need, beds, sewn.Length, sewn.MixLeans)
	if err != nil {
		return nil, Lengths{}, err
	}
	takes := Lengths{Straight: sewn.number(any)}
	if sewn.Alike && takes.Straight <= len(sewn.Layouts) {
		return any, takes, nil
	}
	for _, b := range beds {
		rows, n, ok := sewn.cutUp(b.along(sewn.Length))
		if !ok || b.rows(sewn.Set.Width) == 0 {
			continue
		}
		own := fullestFirst(b.sheets(sewn.Set, rows))
		if sewn.Alike {
			n = sewn.number(own)
		}
		return own, Lengths{n, true}, nil
	}
	return any, takes, nil
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
	for k, l := range s.Layouts {
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
		if s.Lengths != nil {
			left = s.Lengths[k]
		}
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
