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
	choice
	own, others int // diamonds of its lean, and of the other in a mixed one
	gives       Count
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
		u.own = take(lean, geometry.Diamond, u.diamonds)
		if u.mixed {
			u.others = take(back, geometry.Diamond, u.diamonds-u.own)
		}
		u.gives[lean][geometry.Diamond], u.gives[back][geometry.Diamond] = u.own, u.others
		lowers, uppers := u.halves(u.flip)
		for shape, n := range map[geometry.Shape]int{geometry.LowerTriangle: lowers, geometry.UpperTriangle: uppers} {
			u.gives[lean][shape] = take(lean, shape, n)
			u.gives[back][shape] = take(back, shape, n-u.gives[lean][shape])
		}
	}
}

// layouts spells the strip sets out: right-leaning ones, mixed ones,
// left-leaning ones, the fullest first.
func layouts(used []*planned) []Layout {
	out := make([]Layout, len(used))
	for i, u := range used {
		lean, own, others := u.lean, u.own, u.others
		if own == 0 && others > 0 {
			lean, own, others = lean.Other(), others, own
		}
		out[i] = Layout{
			Lean:      lean,
			Mixed:     own > 0 && others > 0,
			Staggered: u.staggered,
			Word:      u.word(own, others),
			Gives:     u.gives,
		}
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
	order := func(l Layout) int {
		switch {
		case l.Mixed:
			return 1
		case l.Lean == geometry.Left:
			return 2
		}
		return 0
	}
	return cmp.Compare(order(a), order(b))
}

// word spells a row out, with no more edge triangles than are used or needed
// to part the leans. Left-leaning diamonds stand where a base line opens a
// gap: before an upper or behind a lower; right-leaning ones before a lower or
// behind an upper.
func (u *planned) word(own, others int) string {
	lowers, uppers := u.halves(u.flip)
	usedLowers := u.gives[0][geometry.LowerTriangle] + u.gives[1][geometry.LowerTriangle]
	usedUppers := u.gives[0][geometry.UpperTriangle] + u.gives[1][geometry.UpperTriangle]
	next := u.first
	switch {
	case lowers > uppers:
		next = lower
	case uppers > lowers:
		next = upper
	}
	l, n := max(usedLowers, usedUppers-1), max(usedUppers, usedLowers-1)
	if l+n == 0 && others > 0 {
		l, n = min(lowers, 1), 1-min(lowers, 1)
	}
	switch {
	case l > n:
		next = lower
	case n > l:
		next = upper
	case l == 0:
		return strings.Repeat("D", own)
	}
	return spell(next, own, others, l+n)
}

// spell writes a row of edge triangles that alternate, beginning with next, and
// of diamonds of its own lean and of the other.
func spell(next kind, own, others, triangles int) string {
	d, e := strings.Repeat("D", own), strings.Repeat("d", others)
	if triangles == 0 {
		return d
	}
	var b strings.Builder
	if next == lower {
		b.WriteString(d)
		d = ""
	} else {
		b.WriteString(e)
		e = ""
	}
	for range triangles {
		if next == lower {
			b.WriteString("L" + e)
			e = ""
		} else {
			b.WriteString("U" + d)
			d = ""
		}
		next = other(next)
	}
	return b.String()
}
