// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/pdf"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// cover is the first page: name, picture, and the sizes.
func (c *composer) cover() {
	s := c.spec()
	c.breakPage()
	c.marks = append(c.marks, pdf.Bookmark{Title: s.Name})
	c.y = 0.8
	c.y = c.lines(c.left(), c.y, titleStyle.wrap(say(s.Name), c.room()), titleStyle) + 4*point
	if s.Designer != "" {
		c.y = c.lines(c.left(), c.y, subStyle.wrap(say("Designed by "+s.Designer), c.room()), style{subStyle.size, subStyle.pitch, false})
	}
	what := fmt.Sprintf("A quilt of %s diamonds", degrees(s.Angle))
	if len(s.Strips) > 1 {
		what += fmt.Sprintf(", cut from strip sets of %s", number(len(s.Strips), "strip"))
	} else {
		what += ", cut from strips"
	}
	if len(c.sizes) > 1 {
		what += fmt.Sprintf(", in %s", number(len(c.sizes), "size"))
	}
	c.y = c.lines(c.left(), c.y, bodyStyle.wrap(say(what+"."), c.room()), bodyStyle) + 8*point

	t, under := c.sizesTable()
	var note [][]run
	if s.Note != "" {
		note = bodyStyle.wrap(say(s.Note), c.room())
	}
	// The picture gets what the rest leaves.
	below := float64(len(note))*bodyStyle.line() + 0.6
	for _, r := range t.rows {
		below += (&setTable{writer: c.writer, table: t, to: len(t.heads), wide: (c.room() - t.label) / float64(len(t.heads))}).measure(r, smallStyle).high
	}
	for _, u := range under {
		below += float64(len(bodyStyle.wrap(u, c.room())))*bodyStyle.line() + 5*point
	}
	high := max(c.low()-c.y-below-0.75, 2.5)
	first := c.sizes[0]
	f := c.picture(viewOf(first.Plan), c.room(), min(high, 7), 0)
	f.key, f.caption = "picture", "The finished quilt"+c.as(first)+": "+c.square(first.Plan.Outer)+"."
	if first.Plan.Columns > mostColumns || first.Plan.Rows > mostRows {
		f.caption = "The bottom left corner of the finished quilt" + c.as(first) + "."
	}
	c.row(f)
	if note != nil {
		c.need(float64(len(note)) * bodyStyle.line())
		c.y = c.lines(c.left(), c.y, note, bodyStyle) + 8*point
	}
	c.table(t)
	for _, u := range under {
		c.para(u)
	}
}

// as says of which size something is drawn, where there are several.
func (c *composer) as(s Size) string {
	return c.several(", " + s.words())
}

// several is said where there are several sizes.
func (c *composer) several(text string) string {
	if len(c.sizes) == 1 {
		return ""
	}
	return text
}

// words names a size in a sentence: "crib size", "60 by 72 in".
func (s Size) words() string {
	if s.Wanted.Name == "" {
		return s.Name
	}
	return s.Name + " size"
}

// sizesTable lists the sizes, and what is to be said below it.
func (c *composer) sizesTable() (t *table, under []text) {
	t = &table{key: "sizes", title: "Finished sizes", label: 1.1, corner: "size"}
	asked := false
	var beds []string
	drop := 0.0
	for _, s := range c.sizes {
		asked = asked || s.Wanted.Cover.Width > 0
		if m := s.Wanted.Mattress; m != nil {
			beds, drop = append(beds, fmt.Sprintf("%s %s", s.Name, c.square(*m))), s.Wanted.Drop
		}
	}
	finished := "finished, squared up"
	if len(c.spec().Borders) > 0 {
		finished = "finished, with borders"
	}
	first := 1
	if asked {
		first = 0
	}
	t.heads = []string{"made to cover", finished, "diamonds"}[first:]
	for _, s := range c.sizes {
		cover := "–"
		if s.Wanted.Cover.Width > 0 {
			cover = narrow(c.square(s.Wanted.Cover))
		}
		cells := []string{cover, narrow(c.square(s.Plan.Outer)), fmt.Sprintf("%s of %d", number(s.Plan.Rows, "row"), s.Plan.Columns)}
		t.add(s.head(), cells[first:]...)
	}
	if len(beds) > 0 {
		under = append(under, say(fmt.Sprintf("A bed size is that of the mattress (%s) and a drop of %s on both sides and at the foot. Mattresses differ: measure yours before you choose.", words.List(beds), c.length(drop))))
	}
	var ranges []string
	for _, s := range c.sizes {
		if w := s.Wanted; w.Most.Width > 0 {
			ranges = append(ranges, fmt.Sprintf("%s from %s to %s", s.Name, c.square(w.Least), c.square(w.Most)))
		}
	}
	if len(ranges) > 0 {
		under = append(under, say(fmt.Sprintf("Sizes are not standard. Published quilts of the name measure: %s.", words.List(ranges))))
	}
	return t, under
}

// A quilt with more columns or rows is shown in part: nothing would be seen
// of its pieces, and the file would grow beyond all measure.
const mostColumns, mostRows = 80, 100

// view is what is shown of a quilt: all of it, or its bottom left corner.
type view struct {
	plan   *quilt.Plan
	shown  geometry.Rect
	whole  bool
	around []geometry.Rect // the outlines of the borders, inside to outside; none where only a corner is shown
	out    geometry.Rect   // shown, with the borders
}

func viewOf(p *quilt.Plan) view {
	shown := p.Frame()
	shown.Max.X = min(shown.Max.X, (float64(mostColumns)-0.5)*p.ColumnStep)
	shown.Max.Y = min(shown.Max.Y, float64(mostRows+1)*p.RowStep)
	s := view{plan: p, shown: shown, whole: shown == p.Frame(), out: shown}
	if s.whole {
		s.around = borders(p)
	}
	if n := len(s.around); n > 0 {
		s.out = s.around[n-1]
	}
	return s
}

// borders returns the outlines of the quilt with each of its borders.
func borders(p *quilt.Plan) []geometry.Rect {
	var out []geometry.Rect
	far := 0.0
	for _, b := range p.Spec.Borders {
		far += b.Cut - 2*p.Spec.Seam
		out = append(out, p.Frame().Inset(-far))
	}
	return out
}

// part returns what is shown of polygons.
func (s view) part(polygons []geometry.Polygon) []geometry.Polygon {
	var out []geometry.Polygon
	for _, g := range polygons {
		// Beside the quilt the picture shows its fabrics.
		if b := g.Bounds(); b.Max.Y <= geometry.Fit || b.Min.X >= s.shown.Max.X || b.Min.Y >= s.shown.Max.Y {
			continue
		}
		if !s.whole {
			g = g.Within(s.shown)
		}
		if g != nil {
			out = append(out, g)
		}
	}
	return out
}

// line draws what is shown of a line.
func (s view) line(d *pen, role draw.Role, thin bool, l geometry.Segment) {
	if part, ok := s.shown.Clip(l); ok {
		d.path(role, thin, false, part.A, part.B)
	}
}

// rims draws the seams between pieces, the quilt's outline and its borders,
// butted, sides first, or mitred.
func (s view) rims(d *pen, role draw.Role) {
	for _, seam := range s.plan.Seams() {
		s.line(d, role, true, seam)
	}
	d.outline(s.shown.Polygon())
	before := s.shown
	for i, out := range s.around {
		d.outline(out.Polygon())
		for _, l := range corners(before, out, s.plan.Spec.Borders[i].Corners) {
			d.path(draw.Mark, false, false, l.A, l.B)
		}
		before = out
	}
}

// corners returns the seams at the four corners of a border.
func corners(inner, out geometry.Rect, kind quilt.Corners) []geometry.Segment {
	var lines []geometry.Segment
	for _, k := range []int{0, 3, 1, 2} {
		a, b := inner.Polygon()[k], out.Polygon()[k]
		if kind == quilt.Butted {
			b.Y = a.Y
		}
		lines = append(lines, geometry.Segment{A: a, B: b})
	}
	return lines
}

// picture draws what is shown of a quilt in colour; numbers leaves so much
// room at its left, in inches, and numbers the rows there.
func (c *composer) picture(s view, wide, high, numbers float64) *figure {
	p := s.plan
	f := fit(s.out, wide, high, margins{left: numbers + 0.02, right: 0.02, low: 0.02, high: 0.02})
	fills := c.fillsOf(p)
	f.draw = func(d *pen) {
		for i := len(s.around) - 1; i >= 0; i-- {
			d.fill(p.Spec.FirstColour(p.Spec.Borders[i].Fabric).String(), s.around[i].Polygon())
		}
		for _, fill := range fills {
			d.fill(fill.Colour, s.part(fill.Polygons)...)
		}
		s.rims(d, draw.Mark)
		if numbers > 0 {
			rowNumbers(d, s)
		}
	}
	return f
}

// fillsOf returns the coloured areas of a quilt, drawn once.
func (c *composer) fillsOf(p *quilt.Plan) []draw.Fill {
	if c.pictures[p] == nil {
		c.pictures[p] = sheet.Picture(p).Fills
	}
	return c.pictures[p]
}

// rowNumbers numbers the rows at the left, as many of them as there is room
// for.
func rowNumbers(d *pen, s view) {
	step := s.plan.RowStep * d.scale
	every := 1
	for _, n := range []int{1, 2, 5, 10, 20, 50} {
		every = n
		if float64(n)*step > 0.16 {
			break
		}
	}
	for row := range s.plan.Rows {
		y := float64(row+1) * s.plan.RowStep
		first := row == 0 && float64(every-1)*step > 0.16
		if (row+1)%every != 0 && !first || y > s.shown.Max.Y || y < s.shown.Min.Y {
			continue
		}
		d.label(geometry.Point{X: s.out.Min.X, Y: y}, toLeft, fmt.Sprint(row+1))
	}
}
