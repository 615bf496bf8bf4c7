// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"cmp"
	"slices"
	"strings"

	"lozenge/geometry"
)

// planned is a strip set that will be cut, and what of it is used.
type planned struct {
	rich
	lean  geometry.Lean
	flip  bool // the odd edge triangle goes to the other half
	mixed bool // its diamonds may be of either lean
	gives Count
}

// halves returns how a row's edge triangles divide.
func (u *planned) halves() (lowers, uppers int) {
	more, fewer := (u.triangles+1)/2, u.triangles/2
	if u.flip {
		more, fewer = fewer, more
	}
	return more, fewer
}

// serve decides which pieces of each strip set are used, so that each need is
// met and no more: strip sets later in line are cut less. The diamonds of a
// strip set with edge triangles may be divided between the leans; where the
// leans are not mixed the other lean needs none of them.
func serve(used []*planned, need Count) {
	take := func(lean geometry.Lean, shape geometry.Shape, n int) int {
		n = min(n, need[lean][shape])
		need[lean][shape] -= n
		return n
	}
	slices.SortStableFunc(used, func(a, b *planned) int { return cmp.Compare(a.triangles, b.triangles) })
	for _, u := range used {
		lean, back := u.lean, u.lean.Other()
		own := take(lean, geometry.Diamond, u.diamonds)
		u.gives[lean][geometry.Diamond] = own
		if u.mixed {
			u.gives[back][geometry.Diamond] = take(back, geometry.Diamond, u.diamonds-own)
		}
		lowers, uppers := u.halves()
		for shape, n := range map[geometry.Shape]int{geometry.LowerTriangle: lowers, geometry.UpperTriangle: uppers} {
			u.gives[lean][shape] = take(lean, shape, n)
			u.gives[back][shape] = take(back, shape, n-u.gives[lean][shape])
		}
	}
}

// layouts spells the strip sets out: right-leaning ones, mixed ones,
// left-leaning ones, the fullest first.
func layouts(used []*planned) []Layout {
	var out []Layout
	for _, u := range used {
		out = append(out, u.layout())
	}
	slices.SortStableFunc(out, Compare)
	return out
}

// Compare puts layouts in the order in which they are cut: right-leaning ones,
// mixed ones, left-leaning ones, the fullest first.
func Compare(a, b Layout) int {
	return cmp.Or(CompareLeans(a, b), cmp.Compare(len(b.Word), len(a.Word)), cmp.Compare(b.Word, a.Word))
}

// CompareLeans is that order without regard to how full they are.
func CompareLeans(a, b Layout) int {
	return cmp.Compare(a.place(), b.place())
}

// place is 0 for a right-leaning strip set, 1 for a mixed and 2 for a
// left-leaning one.
func (l Layout) place() int {
	if l.Mixed {
		return 1
	}
	return 2 * int(l.Lean)
}

// layout spells a strip set out, with no more edge triangles than are used or
// needed to part the leans.
func (u *planned) layout() Layout {
	own, others := u.gives[u.lean][geometry.Diamond], u.gives[u.lean.Other()][geometry.Diamond]
	lowers, uppers := u.halves()
	usedLowers := u.gives[0][geometry.LowerTriangle] + u.gives[1][geometry.LowerTriangle]
	usedUppers := u.gives[0][geometry.UpperTriangle] + u.gives[1][geometry.UpperTriangle]
	l, n := max(usedLowers, usedUppers-1), max(usedUppers, usedLowers-1)
	if l+n == 0 && own > 0 && others > 0 {
		l, n = min(lowers, 1), 1-min(lowers, 1)
	}
	first := begin(l, n, begin(lowers, uppers, u.first))
	return newLayout(u.lean, own, others, l+n, first, u.staggered, u.gives)
}

// begin returns with which edge triangle a row of so many begins: with one of
// those that are more, else with equal.
func begin(lowers, uppers int, equal kind) kind {
	switch {
	case lowers > uppers:
		return lower
	case uppers > lowers:
		return upper
	}
	return equal
}

// newLayout returns a strip set of edge triangles that alternate, beginning with
// first, and of diamonds of its own lean and of the other. Left-leaning diamonds
// stand where a base line opens a gap: before an upper or behind a lower;
// right-leaning ones before a lower or behind an upper.
func newLayout(lean geometry.Lean, own, others, triangles int, first kind, staggered bool, gives Count) Layout {
	if own == 0 && others > 0 {
		lean, own, others = lean.Other(), others, own
	}
	word := strings.Repeat("D", own)
	if triangles > 0 {
		before, behind, pair := word, strings.Repeat("d", others), "LU"
		if first == upper {
			before, behind, pair = behind, before, "UL"
		}
		word = before + pair[:1] + behind + strings.Repeat(pair[1:]+pair[:1], triangles/2)
		word = word[:own+others+triangles]
	}
	return Layout{Lean: lean, Mixed: others > 0, Staggered: staggered, Word: word, Gives: gives}
}
