// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Pieces lays pieces that are each cut from a single fabric, the straight
// grain along the sheet. Each goes to the first of the beds that it fits on.
// At 60 degrees the leans are mixed along a row where that takes fewer rows.
//
// Without a seam an edge triangle is the same piece whichever side is the
// wide one, so it is counted by its lean alone; at 60 degrees not even that
// matters.
//
// Rows are the fewest that give the need ([strip.Set.Fewest]); they fill one
// sheet after the other, the fullest first, so that the last holds the rest, and sheets that come out alike are one [Sheet] with
// a number. The error is a [*TooLarge].
func Pieces(set strip.Set, need strip.Count, beds []Bed) ([]Sheet, error) {
	total := 0
	for lean := range need {
		n := need[lean][geometry.LowerTriangle] + need[lean][geometry.UpperTriangle]
		total += n
		need[lean][geometry.LowerTriangle], need[lean][geometry.UpperTriangle] = (n+1)/2, n/2
	}
	if set.Angle == 60 {
		need[geometry.Left][geometry.LowerTriangle], need[geometry.Left][geometry.UpperTriangle] = 0, 0
		need[geometry.Right][geometry.LowerTriangle], need[geometry.Right][geometry.UpperTriangle] = (total+1)/2, total/2
	}
	return lay(beds, set, need, bedWork{length: math.Inf(1), mix: true, single: true})
}

// StripSets lays lengths of strip set, no longer than length, along the
// sheet; diamonds also slanted or across where a sheet then holds more of
// them and fewer sheets are needed. mix allows both leans in one length.
// Otherwise it does as [Pieces].
func StripSets(set strip.Set, need strip.Count, beds []Bed, length float64, mix bool) ([]Sheet, error) {
	return lay(beds, set, need, bedWork{length: length, mix: mix, slant: true})
}

// bedWork says how a need is laid on one kind of sheet.
type bedWork struct {
	length float64 // of the longest strip
	mix    bool
	slant  bool
	single bool // fabric: a row turned half round is the same row
}

func lay(beds []Bed, set strip.Set, need strip.Count, w bedWork) ([]Sheet, error) {
	var out []Sheet
	for _, bed := range beds {
		length := bed.along(w.length)
		var slanted *Sheet
		if w.slant && need.Diamonds(geometry.Right)+need.Diamonds(geometry.Left) > 0 {
			slanted = bed.slanted(set, w.length)
		}
		var here strip.Count
		for lean := range need {
			for shape := range need[lean] {
				s := geometry.Shape(shape)
				if bed.holds(set, s, length) || (s == geometry.Diamond && slanted != nil) {
					here[lean][shape], need[lean][shape] = need[lean][shape], 0
				}
			}
		}
		out = append(out, fullestFirst(bed.fill(set, here, w, slanted))...)
	}
	for _, shape := range geometry.Shapes {
		if need[0][shape]+need[1][shape] > 0 {
			return nil, tooLarge(set, shape, beds)
		}
	}
	return out, nil
}

// fill lays a need that fits on a bed, with the fewest sheets. Each lean of
// diamonds may fill some sheets slanted: as many as it can fill, one more, or
// none.
func (b Bed) fill(set strip.Set, need strip.Count, w bedWork, slanted *Sheet) []Sheet {
	if slanted == nil {
		return b.lay(set, need, w)
	}
	holds := slanted.Gives().Diamonds(geometry.Right)
	right, left := need.Diamonds(geometry.Right), need.Diamonds(geometry.Left)
	choices := func(n int) []int {
		c := []int{n / holds, (n + holds - 1) / holds}
		if b.holds(set, geometry.Diamond, b.along(w.length)) {
			c = append([]int{0}, c...)
		} else {
			c = c[1:] // they don't fit any other way
		}
		return slices.Compact(c)
	}
	var best []Sheet
	fewest := math.MaxInt
	for _, r := range choices(right) {
		for _, l := range choices(left) {
			rest := need
			rest[geometry.Right][geometry.Diamond] = max(right-r*holds, 0)
			rest[geometry.Left][geometry.Diamond] = max(left-l*holds, 0)
			sheets := append(slanted.times(min(right, r*holds), geometry.Right), slanted.times(min(left, l*holds), geometry.Left)...)
			sheets = append(sheets, b.lay(set, rest, w)...)
			if n := number(sheets); n < fewest {
				fewest, best = n, sheets
			}
		}
	}
	return best
}

// number returns how many sheets there are.
func number(sheets []Sheet) int {
	n := 0
	for _, s := range sheets {
		n += s.Number
	}
	return n
}

// lay lays a need in rows along the sheet.
func (b Bed) lay(set strip.Set, need strip.Count, w bedWork) []Sheet {
	if need.Total() == 0 {
		return nil
	}
	terms := strip.Terms{Length: b.along(w.length)}
	rows := set.Fewest(need, terms).Layouts
	if w.mix && set.Angle == 60 {
		terms.MixLeans = true
		if mixed := set.Fewest(need, terms).Layouts; len(mixed) < len(rows) {
			rows = mixed
		}
	}
	// A lone half may leave a strip set nothing to be cut for.
	rows = slices.DeleteFunc(rows, func(l strip.Layout) bool { return l.Word == "" })
	if w.single {
		for i := range rows {
			rows[i].Word = min(rows[i].Word, halfRound(rows[i].Word))
		}
	}
	return b.sheets(set, rows)
}

// sheets fills one sheet after the other with rows.
func (b Bed) sheets(set strip.Set, rows []strip.Layout) []Sheet {
	halves := func(l strip.Layout) int { return len(l.Word) + strings.Count(l.Word, "D") }
	rows = slices.Clone(rows)
	slices.SortStableFunc(rows, func(a, b strip.Layout) int { return halves(b) - halves(a) })
	each := b.rows(set.Width)
	var out []Sheet
	for len(rows) > 0 {
		n := min(each, len(rows))
		if i := slices.IndexFunc(out, func(s Sheet) bool { return s.alike(rows[:n]) }); i >= 0 {
			out[i].Number++
		} else {
			out = append(out, b.stack(set, rows[:n]))
		}
		rows = rows[n:]
	}
	return out
}

// fullestFirst puts sheets that hold more before others.
func fullestFirst(sheets []Sheet) []Sheet {
	slices.SortStableFunc(sheets, func(a, b Sheet) int {
		if x, y := a.Area(), b.Area(); math.Abs(x-y) > geometry.Fit {
			return cmp.Compare(y, x)
		}
		return 0
	})
	return sheets
}

// halfRound returns what a row spells when it is turned half round.
func halfRound(word string) string {
	turned := []byte(strings.NewReplacer("U", "L", "L", "U").Replace(word))
	slices.Reverse(turned)
	return string(turned)
}

func (s Sheet) alike(rows []strip.Layout) bool {
	return slices.EqualFunc(s.Rows, rows, func(r Row, l strip.Layout) bool { return r.Lean == l.Lean && r.Word == l.Word })
}

// stack lays rows above each other, the first at the bottom.
func (b Bed) stack(set strip.Set, rows []strip.Layout) Sheet {
	s := Sheet{Bed: b, Number: 1}
	for i, l := range rows {
		row := strip.MustRow(set, l.Lean, l.Word)
		y := b.Margin + float64(float64(i)*(set.Width+b.Gap))
		s.Rows = append(s.Rows, Row{Row: row, At: geometry.Point{X: b.Margin, Y: y}})
	}
	return s
}
