// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"cmp"
	"fmt"
	"slices"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// dimension is a size of strips or pieces that the text and the drawings name.
// Where all sizes of the quilt are cut from the same strip sets it is said
// outright; else by its letter, and a table has the figures.
type dimension struct {
	letter rune
	what   string
	of     func(*quilt.Plan) float64
}

// measures lists them in the order in which they are needed.
func (c *composer) measures() []dimension {
	var out []dimension
	for i := range c.spec().Strips {
		what := "strip, cut width"
		if len(c.spec().Strips) > 1 {
			what = fmt.Sprintf("strip %d, cut width", i+1)
		}
		out = append(out, dimension{'A', what, func(p *quilt.Plan) float64 { return p.Spec.Strips[i].Cut }})
		if c.evenStrips() {
			out[0].what = "strips, cut width"
			break
		}
	}
	if c.sewn() {
		out = append(out, dimension{'B', "strip set, raw edge to raw edge", func(p *quilt.Plan) float64 { return p.Set.Width }})
	}
	if c.staggered() {
		out = append(out, dimension{'S', "from strip to strip in a staggered strip set", func(p *quilt.Plan) float64 { return p.Set.Offset(1) }})
	}
	return append(out,
		dimension{'C', "from cut to cut, square to the cuts", func(p *quilt.Plan) float64 { return p.Set.Width }},
		dimension{'D', "from cut to cut, along the strip edge", func(p *quilt.Plan) float64 { return p.Set.CutSide() }},
		dimension{'E', "edge triangle: from cut to cut along its wide side", func(p *quilt.Plan) float64 { return p.WideSide() }},
		dimension{'F', "diamond, cut: from tip to tip", func(p *quilt.Plan) float64 { return p.TipToTip() }},
		dimension{'G', "diamond, finished: between its sides", func(p *quilt.Plan) float64 { return p.Set.FinishedWidth() }},
		dimension{'H', "diamond, finished: each side", func(p *quilt.Plan) float64 { return p.Set.FinishedSide() }},
		dimension{'I', "diamond, finished: from point to point", func(p *quilt.Plan) float64 { return p.Set.LongDiagonal() }},
		dimension{'J', "diamond, finished: across its short way", func(p *quilt.Plan) float64 { return p.Set.ShortDiagonal() }},
	)
}

// evenStrips reports whether all strips of each strip set are cut alike.
func (c *composer) evenStrips() bool {
	return !c.some(func(p *quilt.Plan) bool {
		cuts := p.Set.Cuts
		return !geometry.Fits(slices.Max(cuts), cuts[0]) || !geometry.Fits(cuts[0], slices.Min(cuts))
	})
}

// find returns number k of the measures with a letter.
func (c *composer) find(letter rune, k int) dimension {
	for _, m := range c.measures() {
		if m.letter == letter {
			if k == 0 {
				return m
			}
			k--
		}
	}
	panic(fmt.Sprintf("no measure %c", letter))
}

// name names a measure in the text.
func (c *composer) name(letter rune) string {
	if len(c.groups) > 1 {
		return fmt.Sprintf("measure%s%c (%s)", words.Hard, letter, c.ref("measures"))
	}
	if letter == 'A' && !c.evenStrips() {
		var widths []string
		for i, st := range c.spec().Strips {
			widths = append(widths, c.length(st.Cut)+" for strip"+words.Hard+fmt.Sprint(i+1))
		}
		return words.List(widths)
	}
	return c.length(c.find(letter, 0).of(c.p))
}

// mark names a measure in a drawing.
func (c *composer) mark(letter rune, k int) string {
	if len(c.groups) > 1 {
		return string(letter)
	}
	return c.length(c.find(letter, k).of(c.p))
}

// measuresTable lists the measures, a column for each strip set.
func (c *composer) measuresTable() {
	t := &table{key: "measures", title: "Measures of strips and pieces", label: 3.35}
	for _, g := range c.groups {
		name := cmp.Or(g.names, "all sizes")
		if len(c.sizes) == 1 {
			name = loneHead
		}
		t.heads = append(t.heads, words.Capital(name))
	}
	for _, m := range c.measures() {
		var cells []string
		for _, g := range c.groups {
			value := c.length(m.of(g.plan()))
			if len(c.groups) > 1 {
				value = narrow(value)
			}
			cells = append(cells, value)
		}
		t.add(fmt.Sprintf("%c  %s", m.letter, m.what), cells...)
	}
	c.table(t)
}
