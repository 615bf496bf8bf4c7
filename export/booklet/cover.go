// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"math"
	"strings"

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
	f := c.picture(first.Plan, c.room(), min(high, 7), 0)
	f.key = "picture"
	f.caption = "The finished quilt" + c.as(first) + ": " + c.square(first.Plan.Outer) + "."
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
	if len(c.sizes) == 1 {
		return ""
	}
	return ", " + s.words()
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
	for _, s := range c.sizes {
		asked = asked || s.Wanted.Cover.Width > 0
		if m := s.Wanted.Mattress; m != nil {
			beds = append(beds, fmt.Sprintf("%s %s", s.Name, c.square(*m)))
		}
	}
	finished := "finished, squared up"
	if len(c.spec().Borders) > 0 {
		finished = "finished, with borders"
	}
	t.heads = []string{finished, "diamonds"}
	if asked {
		t.heads = append([]string{"made to cover"}, t.heads...)
	}
	for _, s := range c.sizes {
		cells := []string{strings.ReplaceAll(c.square(s.Plan.Outer), twinMark, "\n"), fmt.Sprintf("%s of %s", number(s.Plan.Rows, "row"), fmt.Sprint(s.Plan.Columns))}
		if asked {
			cover := "–"
			if s.Wanted.Cover.Width > 0 {
				cover = strings.ReplaceAll(c.square(s.Wanted.Cover), twinMark, "\n")
			}
			cells = append([]string{cover}, cells...)
		}
		name := s.Name
		if name == "" {
			name = "this quilt"
		}
		t.add(words.Capital(name), cells...)
	}
	if len(beds) > 0 {
		drop := 0.0
		for _, s := range c.sizes {
			if s.Wanted.Mattress != nil {
				drop = s.Wanted.Drop
			}
		}
		under = append(under, say(fmt.Sprintf("A bed size is that of the mattress (%s) and a drop of %s on both sides and at the foot. Mattresses differ: measure yours before you choose.", words.List(beds), c.length(drop))))
	}
	return t, under
}

// A quilt with more columns or rows is shown in part: nothing would be seen
// of its pieces, and the file would grow beyond all measure.
const mostColumns, mostRows = 80, 100

// window returns what is shown of a quilt: all of it, or its bottom left
// corner.
func window(p *quilt.Plan) geometry.Rect {
	frame := p.Frame()
	frame.Max.X = min(frame.Max.X, (float64(mostColumns)-0.5)*p.ColumnStep)
	frame.Max.Y = min(frame.Max.Y, float64(mostRows+1)*p.RowStep)
	return frame
}

// around is how far the borders reach beyond the squared-up quilt, each.
func bordersAround(p *quilt.Plan) []float64 {
	var out []float64
	sum := 0.0
	for _, b := range p.Spec.Borders {
		sum += b.Cut - 2*p.Spec.Seam
		out = append(out, sum)
	}
	return out
}

// picture draws a quilt in colour, with its borders; numbers leaves so much
// room at its left, in inches, and numbers the rows there.
func (c *composer) picture(p *quilt.Plan, wide, high, numbers float64) *figure {
	shown := window(p)
	whole := shown == p.Frame()
	out := shown
	around := bordersAround(p)
	if whole && len(around) > 0 {
		far := around[len(around)-1]
		out = out.Inset(-far)
	}
	f := fit(out, wide, high, margins{left: numbers + 0.02, right: 0.02, low: 0.02, high: 0.02})
	fills := c.pictureOf(p)
	f.draw = func(d *pen) {
		if whole {
			for i := len(around) - 1; i >= 0; i-- {
				d.fill(c.colourOf(p, p.Spec.Borders[i].Fabric), shown.Inset(-around[i]).Polygon())
			}
		}
		for _, fill := range fills {
			var part []geometry.Polygon
			for _, g := range fill.Polygons {
				// Beside the quilt the picture shows its fabrics.
				if b := g.Bounds(); b.Max.Y <= geometry.Fit || b.Min.X >= shown.Max.X || b.Min.Y >= shown.Max.Y {
					continue
				}
				if !whole {
					g = g.Within(shown)
				}
				if g != nil {
					part = append(part, g)
				}
			}
			d.fill(fill.Colour, part...)
		}
		for _, s := range p.Seams() {
			if part, ok := shown.Clip(s); ok {
				d.path(draw.Mark, true, false, part.A, part.B)
			}
		}
		d.outline(shown.Polygon())
		if whole {
			c.borderLines(d, p, shown, around)
		}
		if numbers > 0 {
			c.rowNumbers(d, p, shown, out)
		}
	}
	return f
}

// pictureOf returns the coloured areas of a quilt, drawn once.
func (c *composer) pictureOf(p *quilt.Plan) []draw.Fill {
	if c.pictures == nil {
		c.pictures = map[*quilt.Plan][]draw.Fill{}
	}
	fills, ok := c.pictures[p]
	if !ok {
		fills = sheet.Picture(p).Fills
		c.pictures[p] = fills
	}
	return fills
}

// borderLines draws the seams of the borders: butted, sides first, or mitred.
func (c *composer) borderLines(d *pen, p *quilt.Plan, inner geometry.Rect, around []float64) {
	for i, far := range around {
		out := inner.Inset(-far)
		before := inner
		if i > 0 {
			before = inner.Inset(-around[i-1])
		}
		d.outline(out.Polygon())
		for _, x := range []float64{0, 1} {
			for _, y := range []float64{0, 1} {
				a, b := at(before, x, y), at(out, x, y)
				if p.Spec.Borders[i].Corners == quilt.Butted {
					b.Y = a.Y
				}
				d.path(draw.Mark, false, false, a, b)
			}
		}
	}
}

// rowNumbers numbers the rows at the left, as many of them as there is room
// for.
func (c *composer) rowNumbers(d *pen, p *quilt.Plan, shown, out geometry.Rect) {
	step := p.RowStep * d.scale
	every := 1
	for _, n := range []int{1, 2, 5, 10, 20, 50} {
		every = n
		if float64(n)*step > 0.16 {
			break
		}
	}
	for row := 0; row < p.Rows; row++ {
		y := float64(row+1) * p.RowStep
		first := row == 0 && float64(every-1)*step > 0.16
		if (row+1)%every != 0 && !first || y > shown.Max.Y {
			continue
		}
		d.label(geometry.Point{X: out.Min.X, Y: y}, toLeft, fmt.Sprint(row+1))
	}
}

// colourOf returns the first colour of a fabric.
func (c *composer) colourOf(p *quilt.Plan, key string) string {
	for _, f := range p.Spec.Fabrics {
		if f.Key == key && len(f.Colours) > 0 {
			return f.Colours[0].String()
		}
	}
	return "#ffffff"
}

// at returns a corner of a rectangle: 0 is its least x or y, 1 its greatest.
func at(r geometry.Rect, x, y float64) geometry.Point {
	return geometry.Point{X: r.Min.X + math.Round(x)*r.Width(), Y: r.Min.Y + math.Round(y)*r.Height()}
}
