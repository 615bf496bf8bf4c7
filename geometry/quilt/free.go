// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/linear"
)

// Where in the rows at the bottom or the top not all pieces lie alike, which edge
// triangles touch which way depends on where among the others each diamond comes.
// The program then counts at most as many as could match; how many do is seen
// when the answer is laid, and of several answers the best as laid is taken.

// freeCase returns the case of a deal: the ways that the rows at the ends hold at
// least, for either lean.
func (s *shading) freeCase(d deal, more int) shadeCase {
	c := shadeCase{deal: d}
	for at := range c.ways {
		has := s.inEndRow(at)
		for w := range d {
			if at == 1 {
				w = len(d) - 1 - w
			}
			if has[0] > 0 && d[w].sets[0] > 0 || has[1] > 0 && d[w].sets[1] > 0 {
				c.ways[at] = append(c.ways[at], w)
			}
			for lean, sets := range d[w].sets {
				has[lean] -= sets * s.options[0].Diamonds
			}
			if max(has[0], has[1]) <= -more*s.options[0].Diamonds {
				break
			}
		}
	}
	return c
}

// inEndRow returns how many diamonds of each lean the row at an end has.
func (s *shading) inEndRow(at int) (n [2]int) {
	row := at * (s.plan.Rows - 1)
	for lean := range n {
		n[lean] = s.start[lean][row+1] - s.start[lean][row]
	}
	return n
}

// givesInRow reports whether diamonds of a way and lean may lie in the row at an
// end.
func (m *model) givesInRow(at, way int, lean geometry.Lean) bool {
	if m.ends != nil {
		return m.ends[at].row == lean
	}
	return m.deal[way].sets[lean] > 0 && m.inEndRow(at)[lean] > 0
}

// freeEdges counts the edge triangles that may match: of each kind and way no more
// than its strip sets give and, since a diamond touches two, than twice its diamonds
// in the row.
func (m *model) freeEdges() {
	from := map[supplier][]linear.Term{} // edge triangles
	for at, ways := range m.inRow {
		touched := m.touched(at)
		for lean, kinds := range m.edges[at] {
			for shape, n := range kinds {
				var all []linear.Term
				for i := 0; n > 0 && i < len(ways); i++ {
					one := linear.Term{Variable: m.Variable(-1), Factor: 1}
					all, touched[i] = append(all, one), append(touched[i], one)
					key := supplier{ways[i], m.supplies(geometry.Lean(lean)), geometry.Shape(shape)}
					from[key] = append(from[key], one)
				}
				if n > 0 {
					m.Require(all, linear.AtMost, float64(n))
				}
			}
		}
		for _, terms := range touched {
			m.Require(terms, linear.AtMost, 0)
		}
	}
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			for w := range m.deal {
				if terms := from[supplier{w, lean, shape}]; len(terms) > 0 {
					supply := m.sum(-1, shape, func(l lot) bool { return l.way == w && m.supplies(l.lean) == lean })
					m.Require(append(supply, terms...), linear.AtMost, 0)
				}
			}
		}
	}
}

// supplies returns the lean by which strip sets of a lean give edge triangles.
func (s *shading) supplies(lean geometry.Lean) geometry.Lean {
	if s.sixty {
		return geometry.Right
	}
	return lean
}

// touched returns for each way in the row at an end -2 times its diamonds there:
// no more than it gives, and together no more than the row has.
func (m *model) touched(at int) [][]linear.Term {
	out := make([][]linear.Term, len(m.inRow[at]))
	for lean, n := range m.inEndRow(at) {
		if n == 0 {
			continue
		}
		var row []linear.Term
		for i, w := range m.inRow[at] {
			give, ok := m.give[[2]int{w, lean}]
			if !ok {
				continue
			}
			v := m.Variable(0)
			row = append(row, linear.Term{Variable: v, Factor: 1})
			out[i] = append(out[i], linear.Term{Variable: v, Factor: -2})
			m.Require([]linear.Term{{Variable: v, Factor: 1}, {Variable: give, Factor: -1}}, linear.AtMost, 0)
		}
		m.Require(row, linear.AtMost, float64(n))
	}
	return out
}

// matching is the edge triangles of a kind at an end that match a way.
type matching struct {
	at int
	supplier
}

// matches returns how many edge triangles match when an answer is laid.
func (s *shading) matches(a *shade, sets []*toned) map[matching]int {
	out := map[matching]int{}
	if s.ends != nil {
		for at, e := range s.ends {
			for w, n := range a.match[at] {
				out[matching{at, supplier{w, e.lean, e.shape}}] = n
			}
		}
		return out
	}
	room := map[supplier]int{}
	for _, t := range sets {
		for _, shape := range geometry.Shapes {
			room[supplier{t.way, s.supplies(t.lean), shape}] += s.options[t.option].Gives(shape)
		}
	}
	laid := s.laidWays(a)
	for i, w := range s.plan.seatEdges(func(i int32) int { return laid[i] }, room, s.sixty) {
		pl, at := s.plan.Pieces[i], 0
		if pl.Row >= 0 {
			at = 1
		}
		out[matching{at, supplier{w, pl.Lean, pl.Shape}}]++
	}
	return out
}

// laidWays returns the way of each diamond in the rows at the ends when an answer
// is laid, by its index in the plan's pieces.
func (s *shading) laidWays(a *shade) map[int32]int {
	given, out := s.given(a), map[int32]int{}
	for _, row := range []int{0, s.plan.Rows - 1} {
		var next [2]int // diamonds laid before
		for lean := range next {
			next[lean] = s.start[lean][row]
		}
		for i, pl := range s.plan.Line(row) {
			n, w := next[pl.Lean], 0
			for ; w < len(given)-1 && n >= given[w][pl.Lean]; w++ {
				n -= given[w][pl.Lean]
			}
			out[int32((row+1)*s.plan.Columns+i)] = w
			next[pl.Lean]++
		}
	}
	return out
}

// laid returns how many edge triangles match when an answer is laid.
func (s *shading) laid(a *shade) (n int) {
	for _, matched := range s.matches(a, s.sets(a)) {
		n += matched
	}
	return n
}
