// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// way is a way of cutting a strip set, and how many strip sets of each size
// are cut so.
type way struct {
	name string
	like quilt.Like
	plan *quilt.Plan
	n    []int // how many, one for each size
}

// holds reports whether strip sets of size k are cut so.
func (w way) holds(k int, like quilt.Like) bool {
	return w.n[k] > 0 && w.like.Lean == like.Lean && w.like.Word == like.Word && w.like.Staggered == like.Staggered
}

// counts writes how many strip sets of each size are cut so.
func (w way) counts() []string {
	var out []string
	for _, n := range w.n {
		out = append(out, count(n))
	}
	return dashes(out)
}

// waysOf returns all ways in which the plans' strip sets are cut, those of
// the same widths together; in each group right-leaning ones first, then those
// of both leans, then left-leaning ones, the fullest first.
func (c *composer) waysOf(plans []*quilt.Plan) []way {
	var out []way
	from := 0
	var last *quilt.Plan // the first of its group
	for _, k := range c.byGroup() {
		p := plans[k]
		if last == nil || !sameSet(last, p) {
			from, last = len(out), p
		}
		for _, like := range p.Alike() {
			i := slices.IndexFunc(out[from:], func(w way) bool {
				return w.like.Lean == like.Lean && w.like.Word == like.Word && w.like.Staggered == like.Staggered
			})
			if i < 0 {
				out = append(out, way{like: like, plan: p, n: make([]int, len(plans))})
				i = len(out) - 1 - from
			}
			w := &out[from+i]
			w.n[k] += like.Number
		}
		slices.SortStableFunc(out[from:], func(a, b way) int {
			return cmp.Or(cmp.Compare(a.order(), b.order()), cmp.Compare(len(b.like.Word), len(a.like.Word)), cmp.Compare(b.like.Word, a.like.Word))
		})
	}
	for i := range out {
		out[i].name = words.Letters(i)
	}
	return out
}

func (w way) order() int {
	switch {
	case w.like.Mixed:
		return 1
	case w.like.Lean == geometry.Left:
		return 2
	}
	return 0
}

// rowWords spells a row out from its left end, as it lies on the mat.
func (c *composer) rowWords(l strip.Layout) string {
	return words.HeldNumbers(words.Row(c.spec(), l, c.spec().Face.Seen(l.Lean)))
}

// waysOfCutting draws each way of cutting a strip set and says which are cut
// so.
func (c *composer) waysOfCutting() {
	c.sub("ways of cutting", "How each "+c.set()+" is cut")
	ways := c.waysOf(c.plans())
	intro := fmt.Sprintf("To waste little, the %s are not all cut alike: the list from %s on says which of yours are cut which way. The cuts are numbered from the left, the starting cut first; grey is left over.", words.Noun(2, c.set()), c.ref("set list"))
	if len(ways) == 1 {
		intro = fmt.Sprintf("All %s are cut alike. The cuts are numbered from the left, the starting cut first; grey is left over.", words.Noun(2, c.set()))
	}
	if c.spec().Face == geometry.FaceDown {
		intro += " They are drawn wrong side up, as they lie on the mat."
	}
	c.para(say(intro))
	for from := 0; from < len(ways); from += 2 {
		var beside []*figure
		for i := from; i < min(from+2, len(ways)); i++ {
			beside = append(beside, c.wayFigure(ways[i], i))
		}
		c.row(beside...)
	}
}

// wayFigure draws a strip set that is cut in way i from end to end with its
// cuts.
func (c *composer) wayFigure(w way, i int) *figure {
	p := w.plan
	rowOf := p.Row(w.like.Layout)
	cloths, start := sheet.Cloth(p, w.like, rowOf)
	at := geometry.Point{X: start}
	bounds := geometry.EmptyRect()
	for _, b := range cloths {
		bounds = bounds.Union(b)
	}
	f := fit(bounds, (c.room()-figuresApart)/2, 1.6, margins{0.02, 0.02, 0.2, 0.2})
	f.key = fmt.Sprint("way ", i)
	f.caption = fmt.Sprintf("Way %s, %s, from the left: %s. It takes %s of %s.", w.name, words.Lean(w.like.Layout), c.rowWords(w.like.Layout), c.length(p.Set.Uses(w.like.Layout)), c.length(w.like.Length-p.Spec.EndTrim))
	if len(c.groups) > 1 {
		of := slices.IndexFunc(c.groups, func(g group) bool { return sameSet(g.plan(), p) })
		f.caption += " For " + c.groups[of].names + "."
	}
	f.draw = func(d *pen) {
		for _, b := range cloths {
			d.fill(waste, b.Polygon())
		}
		for i := range rowOf.Pieces {
			d.bands(p, rowOf.Piece(i).Outline.Move(at), cloth)
		}
		for _, b := range cloths {
			d.path(draw.Mark, false, true, b.Polygon()...)
		}
		number := cutNumbers{pen: d, below: math.Inf(-1), above: math.Inf(-1)}
		for _, cut := range rowOf.Cuts() {
			if cut.Kind == strip.TipTrimCut {
				continue
			}
			if line, ok := bounds.Clip(cut.Line.Move(at)); ok {
				d.strong(line)
				number.put(geometry.Point{X: line.A.X, Y: bounds.Min.Y}, geometry.Point{X: line.B.X, Y: bounds.Max.Y})
			}
		}
	}
	return f
}

// cutNumbers counts the cuts of a strip set from the left, each below or above it
// where there is room.
type cutNumbers struct {
	*pen
	n            int
	below, above float64 // where the labels end, on the page
}

func (c *cutNumbers) put(low, high geometry.Point) {
	c.n++
	text := fmt.Sprint(c.n)
	wide := smallStyle.width(text) + 0.05
	for _, end := range []struct {
		taken *float64
		p     geometry.Point
		where side
	}{{&c.below, c.on(low), below}, {&c.above, c.on(high), above}} {
		x := min(max(end.p.X, c.at.X+wide/2), c.at.X+c.width-wide/2)
		if x-wide/2 >= *end.taken {
			*end.taken = x + wide/2
			c.labelOn(geometry.Point{X: x, Y: end.p.Y}, end.where, text)
			return
		}
	}
}
