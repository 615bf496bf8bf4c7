// SPDX-License-Identifier: Apache-2.0

package strip

import "lozenge/geometry"

// stock is what strip sets of one length can be cut for.
type stock struct {
	rows   []rich
	whole  ladder // any row
	parted ladder // rows with an edge triangle, in which both leans may stand
	best   []int  // row for each rung of whole
}

// newStock counts edge triangles as value does.
func newStock(rows []rich, value func(triangles int) int) stock {
	s := stock{rows: rows}
	top := 0
	for _, r := range rows {
		top = max(top, r.diamonds)
	}
	for g := range top + 1 {
		best := beside(rows, g, value)
		s.whole, s.best = append(s.whole, value(rows[best].triangles)), append(s.best, best)
		if i := beside(rows[1:], g, value); i >= 0 {
			s.parted = append(s.parted, value(rows[1+i].triangles))
		}
	}
	return s
}

// beside returns which row that holds g diamonds counts for most, the first of
// several; -1 when none holds them.
func beside(rows []rich, g int, value func(triangles int) int) int {
	best := -1
	for i, r := range rows {
		if r.diamonds >= g && (best < 0 || value(r.triangles) > value(rows[best].triangles)) {
			best = i
		}
	}
	return best
}

// pooled solves for edge triangles that serve both leans (at 60 degrees, or
// because only one lean is needed).
func pooled(rows []rich, need Count, mix bool) []Layout {
	lowers := need[0][geometry.LowerTriangle] + need[1][geometry.LowerTriangle]
	uppers := need[0][geometry.UpperTriangle] + need[1][geometry.UpperTriangle]
	// When both halves are needed every edge triangle counts, an odd one
	// going where it is wanted; when one is, the larger half of each row.
	value := func(t int) int { return t }
	if min(lowers, uppers) == 0 {
		value = func(t int) int { return (t + 1) / 2 }
	}
	s := newStock(rows, value)
	used := s.plan(need, lowers+uppers, mix)
	if !share(used, lowers, uppers) {
		used = s.plan(need, 2*max(lowers, uppers), mix)
		share(used, lowers, uppers)
	}
	serve(used, need)
	return layouts(used)
}

// plan finds the fewest strip sets that give the diamonds of need and so many
// edge triangles.
func (s stock) plan(need Count, triangles int, mix bool) []*planned {
	right, left := need.Diamonds(geometry.Right), need.Diamonds(geometry.Left)
	if mix && right > 0 && left > 0 {
		return s.mixed(right, left, triangles)
	}
	return s.apart([2]int{right, left}, triangles, need[geometry.Right] == [3]int{})
}

// apart finds the fewest strip sets of one lean each. Edge triangles alone are
// cut right-leaning, or left-leaning when only that lean needs anything.
func (s stock) apart(diamonds [2]int, triangles int, onlyLeft bool) []*planned {
	if diamonds[0]+diamonds[1]+triangles == 0 {
		return nil
	}
	top := len(s.whole) - 1
	var fewest [2]int
	for l, d := range diamonds {
		if d > 0 {
			fewest[l] = (d + top - 1) / top
		}
	}
	f := newSummit(s.whole)
	give := func(lean, n int) int { return f.most(n, diamonds[lean]) }
	// divide returns how many of n strip sets are right-leaning: of all ways that
	// suffice the one most like the diamonds; -1 when none does.
	divide := func(n int) int {
		from, to := fewest[0], n-fewest[1]
		switch {
		case diamonds[0] > 0 && diamonds[1] > 0:
		case diamonds[1] > 0 || onlyLeft:
			to = 0
		default:
			from = n
		}
		rights, off := -1, 0
		for r := from; r <= to; r++ {
			if d := r*diamonds[1] - (n-r)*diamonds[0]; give(0, r)+give(1, n-r) >= triangles && (rights < 0 || max(d, -d) < off) {
				rights, off = r, max(d, -d)
			}
		}
		return rights
	}
	n := least(fewest[0]+fewest[1], func(n int) bool { return divide(n) >= 0 })
	rights := divide(n)
	atRight := min(max(triangles*rights/n, triangles-give(1, n-rights)), give(0, rights))
	var out []*planned
	for lean, rows := range [][]int{f.rows(rights, diamonds[0], atRight), f.rows(n-rights, diamonds[1], triangles-atRight)} {
		for _, g := range rows {
			out = append(out, &planned{rich: s.rows[s.best[g]], lean: geometry.Lean(lean)})
		}
	}
	return out
}

// mixed finds the fewest strip sets when those with edge triangles may hold
// both leans; those without hold one.
func (s stock) mixed(right, left, triangles int) []*planned {
	top := len(s.whole) - 1
	relaxed, parted := newSummit(s.whole), newSummit(s.parted)
	// rest returns how many diamonds pure strip sets of one lean leave to be
	// cut from the others, and how many of them are right-leaning.
	rest := func(pure int) (diamonds, rights int) {
		rights = min(pure, right/top)
		best := -1
		for r := rights; r <= min(pure, rights+1); r++ {
			if d := max(right-r*top, 0) + max(left-(pure-r)*top, 0); best < 0 || d < best {
				best, diamonds, rights = d, d, r
			}
		}
		return diamonds, rights
	}
	works := func(n, pure int) bool {
		d, _ := rest(pure)
		if n == pure {
			return d == 0 && triangles == 0
		}
		return len(s.parted) > 0 && parted.most(n-pure, d) >= triangles
	}
	// No fewer than if every strip set could hold both.
	n := least(1, func(n int) bool { return relaxed.most(n, right+left) >= triangles })
	for ; ; n++ {
		for pure := min(n, (right+top-1)/top+(left+top-1)/top); pure >= 0; pure-- {
			if !works(n, pure) {
				continue
			}
			d, rights := rest(pure)
			var out []*planned
			for i := range pure {
				lean := geometry.Right
				if i >= rights {
					lean = geometry.Left
				}
				out = append(out, &planned{rich: s.rows[0], lean: lean})
			}
			for _, g := range parted.rows(n-pure, d, triangles) {
				// The one with the most edge triangles.
				row := 1 + beside(s.rows[1:], g, func(t int) int { return t })
				out = append(out, &planned{rich: s.rows[row], mixed: true})
			}
			return out
		}
	}
}

// share gives the odd edge triangle of each row to one of the halves: to the
// lowers until they have enough, then to the uppers, so that strip sets cut
// alike stay together. It reports whether both then have enough.
func share(used []*planned, lowers, uppers int) bool {
	for _, u := range used {
		lowers -= u.triangles / 2
		uppers -= u.triangles / 2
	}
	for _, u := range used {
		if u.triangles%2 == 0 {
			continue
		}
		if u.flip = lowers <= 0; u.flip {
			uppers--
		} else {
			lowers--
		}
	}
	return lowers <= 0 && uppers <= 0
}
