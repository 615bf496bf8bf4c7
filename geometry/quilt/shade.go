// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// A gradient and its cutting are planned together. The strip sets stand in a
// row from the dark end to the light one; the diamonds of either lean are laid
// in turn, so that going up they never turn back. What is left to choose is
// which strip sets give how many edge triangles, so that as many as can be are
// of a colour that the row beside them has. That is a program in whole numbers:
// how many strip sets of each colour and lean are cut in which way, how many
// diamonds they give, and how many edge triangles match.

// shading is the question for one number of strip sets.
type shading struct {
	plan    *Plan
	need    Count // spares included
	options []strip.Option
	columns int
	ends    []end            // the bottom edge and the top edge; none where in the rows there not all pieces lie alike
	edges   [2]Count         // edge triangles at the bottom and at the top
	start   [2][]int         // diamonds of each lean below a row
	rowOf   [2][]int         // of each diamond of a lean, in the order in which they are laid
	run     [2]int           // diamonds of a lean, at most, that are one too few for a row of them
	right   int              // strip sets that lean right in a plan with the fewest
	sixty   bool             // an edge triangle serves both leans
	tops    map[int][3][]int // scheduler.most, by strip sets
}

// end is the quilt's bottom or top edge and the row of diamonds beside it.
type end struct {
	shape geometry.Shape // of its edge triangles
	lean  geometry.Lean  // of the diamonds of which they are halves
	row   geometry.Lean  // of the row of diamonds
	left  bool           // edge triangle c touches diamonds c-1 and c of the row, not c and c+1
}

// shade is an answer: strip sets with their colours.
type shade struct {
	deal    deal
	lots    []lot
	cut     [][]int        // cut[i][j]: strip sets of lot i that are cut as option j
	give    map[[2]int]int // diamonds of the ways at the ends, by way and lean
	match   [2][]int       // edge triangles of each way that match, at the bottom and the top
	matched int            // all together
	all     bool           // all must match
	loose   bool           // a row may hold more than two neighbouring colours
	zoned   bool           // the ways between the ends stand in zones
	further int            // strip sets beside those of the deal
	aside   int            // diamonds above a lighter colour
	of      shadeCase
	by      *shading
}

// lot is strip sets of the same lean, and of the same way unless none of their
// pieces can lie at an edge.
type lot struct {
	way  int // below 0: those of a zone between the ends
	lean geometry.Lean
	sets int
}

func (p *Plan) shading(terms strip.Terms) *shading {
	s := &shading{plan: p, need: p.Need.With(p.Spec.Spare), options: p.Set.Options(terms, p.Need.With(p.Spec.Spare)), columns: p.Columns, sixty: p.Spec.Angle == 60, tops: map[int][3][]int{}}
	plain := true
	for i, row := range []int{-1, p.Rows} {
		line, beside := p.Line(row), p.Line(min(max(row, 0), p.Rows-1))
		s.edges[i] = countPieces(line)
		s.ends = append(s.ends, end{line[0].Shape, line[0].Lean, beside[0].Lean, row&1 == 0})
		plain = plain && s.edges[i][line[0].Lean][line[0].Shape] == p.Columns && countPieces(beside).Diamonds(beside[0].Lean) == p.Columns
	}
	if !plain {
		s.ends = nil
	}
	for row := range p.Rows {
		in := countPieces(p.Line(row))
		for lean := range s.start {
			n := in.Diamonds(geometry.Lean(lean))
			s.start[lean] = append(s.start[lean], len(s.rowOf[lean]))
			s.rowOf[lean] = append(s.rowOf[lean], slices.Repeat([]int{row}, n)...)
			s.run[lean] = max(s.run[lean], n-1)
		}
	}
	for lean := range s.start {
		s.start[lean] = append(s.start[lean], len(s.rowOf[lean]))
		s.rowOf[lean] = append(s.rowOf[lean], p.Rows)
	}
	return s
}

// row returns the row in which the next diamond lies when so many of a lean are
// laid, and whether it begins it.
func (s *shading) row(lean geometry.Lean, laid int) (row int, begins bool) {
	row = s.rowOf[lean][min(laid, len(s.rowOf[lean])-1)]
	return row, s.start[lean][row] == laid
}

// serves reports whether edge triangles from strip sets of a lean can lie at an
// end.
func (s *shading) serves(lean geometry.Lean, e end) bool { return s.sixty || lean == e.lean }

// matched returns the answer with the fewest further strip sets in which all
// edge triangles match, beside those of a or of others.
func (s *shading) matched(sets int, a *shade) *shade {
	c := s.completed(a)
	if soon := s.search(sets, nil, wish{all: true, loose: a.loose, further: c.further - 1, more: 1}, soonWork); soon != nil {
		c = soon
	}
	b := s.search(sets, c, wish{all: true, loose: a.loose, more: 1}, matchWork)
	return s.neater(s.scheduled(sets, b, wish{all: true, loose: true}, !a.loose))
}

// within returns an answer in which all edge triangles match with no more than so many
// further strip sets, if one is found soon; where the ends are free, any answer.
func (s *shading) within(sets, further int) *shade {
	if s.ends == nil {
		return s.search(sets, nil, wish{loose: true, more: 1}, soonWork)
	}
	strict := s.plan.Rows >= s.plan.Spec.mostColours()
	a := s.search(sets, nil, wish{all: true, loose: !strict, further: further, more: 1}, soonWork)
	if a == nil && sets <= fewSets {
		a = s.among(sets, nil, wish{all: true, loose: true, further: further}, strict)
	}
	return a
}

// shades reports whether strip sets are planned as a gradient.
func (p *Plan) shades(terms strip.Terms) bool {
	return p.Spec.ColourOrder == Gradient && !(terms.MixLeans && p.Spec.Angle == 60)
}

// shaded gives as many strip sets their colours and cuts, and takes further
// ones where all edge triangles must match.
func (p *Plan) shaded(f sewing, terms strip.Terms) sewing {
	if !p.shades(terms) {
		return p.dealt(f)
	}
	s, sets := p.shading(terms), len(f.Layouts)
	s.right, _, _ = f.Number()
	a := s.best(sets)
	if a == nil {
		return p.dealt(f)
	}
	out := s.sewing(a)
	out.shade = a
	if p.Spec.Edges != Matched || s.ends == nil {
		return out
	}
	thrifty := *p
	thrifty.Pieces = slices.Clone(p.Pieces)
	thrifty.sew(out)
	thrifty.layGradient()
	if leaves := thrifty.unmatched(); leaves > 0 {
		if b := s.matched(sets, a); b != nil {
			out = s.sewing(b)
			out.fewer, out.leaves = len(out.Layouts)-sets, leaves
		}
	}
	return out
}

// moreToMatch returns how many further strip sets would make all edge triangles
// of a gradient match.
func (p *Plan) moreToMatch() (n int, ok bool) {
	if p.shade == nil {
		return 0, false
	}
	s, sets := p.shade.by, len(p.Fewest.Layouts)
	b := s.matched(sets, p.shade)
	if b == nil {
		return 0, false
	}
	return len(s.sewing(b).Layouts) - sets, true
}

// dealt gives strip sets that are cut already their colours: both leans and
// mixed ones have their turns all along, those with edge triangles at both
// ends.
func (p *Plan) dealt(f sewing) sewing {
	var leans [3][]int // right-leaning ones, mixed ones, left-leaning ones
	for k, l := range f.Layouts {
		of := int(2 * l.Lean)
		if l.Mixed {
			of = 1
		}
		leans[of] = append(leans[of], k)
	}
	turn := make([]float64, len(f.Layouts))
	for _, sets := range leans {
		plain := func(k int) bool { return !strings.ContainsAny(f.Layouts[k].Word, "LU") }
		var dark, light []int
		for i, k := range sets {
			if plain(k) || i%2 == 0 {
				dark = append(dark, k)
			} else {
				light = append(light, k)
			}
		}
		slices.SortStableFunc(dark, func(a, b int) int { return isTrue(plain(a)) - isTrue(plain(b)) })
		for i, k := range append(dark, light...) {
			turn[k] = (float64(i) + 0.5) / float64(len(sets))
		}
	}
	for k := range f.Layouts {
		f.order = append(f.order, k)
	}
	slices.SortStableFunc(f.order, func(a, b int) int { return cmp.Compare(turn[a], turn[b]) })
	n, walks := len(f.order), p.Spec.walks()
	f.numbers = make([][]int, n)
	for q, k := range f.order {
		for _, walk := range walks {
			f.numbers[k] = append(f.numbers[k], walk[(2*q+1)*len(walk)/(2*n)])
		}
	}
	return f
}
