// SPDX-License-Identifier: Apache-2.0

package strip

import "lozenge/geometry"

// Least is the shortest row that holds so many diamonds and edge triangles.
type Least struct {
	Diamonds, Triangles int
	Length              float64 // of strip set
	Staggered           bool    // sewn offset; diamonds alone
	first               kind    // of its edge triangles
}

// Least returns, for every number of diamonds and edge triangles that fit into
// length together, the shortest row that holds them: by edge triangles, then
// by diamonds. An odd edge triangle may be of either half: a row turned by
// half a turn has its halves exchanged. So long a row of cut lines is also
// enough for the same diamonds of both leans, where they are mixed.
func (s Set) Least(length float64, stagger bool) []Least {
	var out []Least
	ruler := newRuler(s)
	for t := 0; ; t++ {
		for d := 0; ; d++ {
			if d+t == 0 {
				continue
			}
			l := ruler.least(d, t)
			if t == 0 && stagger && len(s.Cuts) > 1 {
				if offset := s.staggeredLength(d); offset < l.Length {
					l.Length, l.Staggered = offset, true
				}
			}
			if !geometry.Fits(l.Length, length) {
				if d == 0 {
					return out
				}
				break
			}
			out = append(out, l)
		}
	}
}

func (r *ruler) least(d, t int) Least {
	l := Least{Diamonds: d, Triangles: t}
	for i, first := range []kind{upper, lower} {
		if n := r.with(d, t, first); i == 0 || n < l.Length {
			l.Length, l.first = n, first
		}
	}
	return l
}

// Layout returns a strip set cut as l, of that lean. others of its diamonds are
// of the other lean, which takes an edge triangle; uppers of its edge
// triangles are upper ones, half of them or one more or less. gives says which
// pieces serve a need.
func (l Least) Layout(lean geometry.Lean, others, uppers int, gives Count) Layout {
	first := begin(l.Triangles-uppers, uppers, l.first)
	return newLayout(lean, l.Diamonds-others, others, l.Triangles, first, l.Staggered, gives)
}
