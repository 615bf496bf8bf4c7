// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"math"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// figure is a drawing that explains, with its words. What it shows is given
// in the pattern's unit and drawn in true proportion: scale is the same in
// every direction.
type figure struct {
	key     string
	caption string
	w, h    float64 // inches of paper
	scale   float64
	origin  geometry.Point // where (0, 0) lies, from the lower left corner, inches
	draw    func(*pen)
}

// margins is room around what is drawn, in inches, for labels.
type margins struct{ left, right, low, high float64 }

func allRound(m float64) margins { return margins{m, m, m, m} }

// fit returns a figure that shows bounds as large as wide and high, in inches,
// allow with the margins.
func fit(bounds geometry.Rect, wide, high float64, m margins) *figure {
	k := min((wide-m.left-m.right)/bounds.Width(), (high-m.low-m.high)/bounds.Height())
	f := &figure{scale: k, w: bounds.Width()*k + m.left + m.right, h: bounds.Height()*k + m.low + m.high}
	f.origin = geometry.Point{X: m.left - bounds.Min.X*k, Y: m.low - bounds.Min.Y*k}
	return f
}

// as gives a figure its key, its words and what draws it.
func (f *figure) as(key, caption string, draw func(*pen)) *figure {
	f.key, f.caption, f.draw = key, caption, draw
	return f
}

// pen draws a figure on a page. Points are in the pattern's unit where
// nothing else is said; sizes for the eye are inches.
type pen struct {
	*draw.Pen                // of the page
	at        geometry.Point // lower left corner of the figure on the page
	width     float64        // of the figure, inches
	scale     float64
	origin    geometry.Point
}

// on returns a point of the drawing on the page.
func (d *pen) on(p geometry.Point) geometry.Point { return p.Mul(d.scale).Add(d.origin).Add(d.at) }

func (d *pen) all(points []geometry.Point) []geometry.Point {
	out := make([]geometry.Point, len(points))
	for i, p := range points {
		out[i] = d.on(p)
	}
	return out
}

// shortest is the shortest line that a figure shows: files give five decimals.
const shortest = 1e-4

// path draws a line, or nothing where it is too short to be seen at the figure's
// scale.
func (d *pen) path(role draw.Role, thin, closed bool, points ...geometry.Point) {
	if box := geometry.Polygon(points).Bounds(); max(box.Width(), box.Height())*d.scale < shortest {
		return
	}
	d.Path(role, closed, d.all(points)...).Thin = thin
}

// outline draws a thin closed line, strong one that is to be seen first.
func (d *pen) outline(g geometry.Polygon) { d.path(draw.Figure, true, true, g...) }
func (d *pen) strong(s geometry.Segment)  { d.path(draw.Figure, false, false, s.A, s.B) }
func (d *pen) dashed(s geometry.Segment)  { d.path(draw.Sew, true, false, s.A, s.B) }

// fill lays a colour under all lines; later ones lie on earlier ones.
func (d *pen) fill(colour string, polygons ...geometry.Polygon) {
	var out []geometry.Polygon
	for _, g := range polygons {
		if len(g) > 2 {
			out = append(out, d.all(g))
		}
	}
	d.Fill(colour, out)
}

// side is where a label lies to its point.
type side int

const (
	centre side = iota
	toRight
	toLeft
	above
	below
)

// label sets small text near a point of the drawing.
func (d *pen) label(p geometry.Point, where side, value string) {
	d.labelOn(d.on(p), where, value)
}

// labelOn sets small text near a point of the page, inside the figure where
// it has room. A length in both units is set in two lines.
func (d *pen) labelOn(at geometry.Point, where side, value string) {
	const away = 0.05
	s := smallStyle
	lines := strings.Split(value, twinMark)
	n := float64(len(lines))
	block := (n-1)*s.line() + s.cap()
	for i, l := range lines {
		wide := s.width(l)
		p := geometry.Point{X: at.X - wide/2, Y: at.Y - block/2}
		switch where {
		case toRight:
			p.X = at.X + away
		case toLeft:
			p.X = at.X - away - wide
		case above:
			p.Y = at.Y + away
		case below:
			p.Y = at.Y - away - block
		}
		p.Y += (n - 1 - float64(i)) * s.line()
		p.X = max(min(p.X, d.at.X+d.width-wide), d.at.X)
		d.Text(p, s.cap(), l)
	}
}

// measure draws an arrow with a head at each end, for a length. It is moved
// off by so many inches to the left of the way from a to b. It returns where
// its words go: beyond the thin lines that lead to it.
func (d *pen) measure(a, b geometry.Point, off float64) (words geometry.Point) {
	p, q := d.on(a), d.on(b)
	along := q.Sub(p)
	if along.Len() < 1e-9 {
		return p
	}
	aside := geometry.Point{X: -along.Y, Y: along.X}.Mul(off / along.Len())
	if math.Abs(off) > 0.08 {
		// Thin lines lead from what is measured to the arrow.
		for _, e := range []geometry.Point{p, q} {
			d.Path(draw.Mark, false, e.Add(aside.Mul(0.2)), e.Add(aside.Mul(1+0.03/math.Abs(off)))).Thin = true
		}
	}
	p, q = p.Add(aside), q.Add(aside)
	d.arrowOn(p, q, true)
	if off != 0 {
		aside = aside.Mul(0.03 / math.Abs(off))
	}
	return p.Add(q).Mul(0.5).Add(aside)
}

// arrow draws an arrow that leads to b, or both ways.
func (d *pen) arrow(a, b geometry.Point, both bool) { d.arrowOn(d.on(a), d.on(b), both) }

// arrowOn draws an arrow that leads from p to q on the page, or both ways.
func (d *pen) arrowOn(p, q geometry.Point, both bool) {
	s := geometry.Segment{A: p, B: q}
	if s.B.Sub(s.A).Len() >= shortest {
		d.Segment(draw.Figure, s).Thin = true
	}
	head := min(0.08, q.Sub(p).Len()/3)
	if head < 1e-6 {
		return
	}
	d.Head(draw.Figure, s, head, 0.4*head).Thin = true
	if both {
		d.Head(draw.Figure, geometry.Segment{A: q, B: p}, head, 0.4*head).Thin = true
	}
}

// tint mixes a colour with white: share is how much of it is left.
func tint(c quilt.Colour, share float64) string {
	var out quilt.Colour
	for i, v := range c {
		out[i] = uint8(math.Round(255 - share*(255-float64(v))))
	}
	return out.String()
}

const (
	waste  = "#e4e4e4" // what is left over
	glass  = 0.25      // of a colour seen through the ruler
	cloth  = 0.55      // of a colour in a drawing that explains
	ground = "#f4f4f1" // of a ruler beside the fabric
)

// clothColours returns the colours of the strips in a drawing that explains,
// lowest first, softened so that lines and letters are seen on them.
func clothColours(p *quilt.Plan, share float64) []string {
	var out []string
	for _, c := range p.Colours(0) {
		out = append(out, tint(c, share))
	}
	return out
}

// bands draws what shows of each strip inside a convex outline that lies as
// on the mat.
func (d *pen) bands(p *quilt.Plan, g geometry.Polygon, share float64) {
	d.bandsOnly(p, g, share)
	for _, y := range p.Set.Seams {
		if s, ok := g.Across(y); ok {
			d.dashed(s)
		}
	}
}

// bandsOnly draws the colours of the strips without their seams.
func (d *pen) bandsOnly(p *quilt.Plan, g geometry.Polygon, share float64) {
	box := g.Bounds()
	colours := clothColours(p, share)
	for i, band := range p.Set.Bands() {
		box.Min.Y, box.Max.Y = band[0], band[1]
		if part := g.Within(box); part != nil {
			d.fill(colours[i], part)
		}
	}
}

// rowOf lays out a row that can always be.
func rowOf(p *quilt.Plan, lean geometry.Lean, word string) strip.Row {
	row, err := strip.NewRow(p.Set, lean, word)
	if err != nil {
		panic(err)
	}
	return row
}

// cutRow draws a row of cut lines on its cloth, of which the rest is left over.
func (d *pen) cutRow(p *quilt.Plan, row strip.Row, on geometry.Rect) {
	d.fill(waste, on.Polygon())
	for i := range row.Pieces {
		d.bands(p, row.Piece(i).Outline, cloth)
	}
	d.outline(on.Polygon())
	for _, c := range row.Cuts() {
		if c.Kind != strip.TipTrimCut {
			d.strong(c.Line)
		}
	}
}

// through returns the line at an angle, from the strip's edge at x up to its
// other edge.
func through(p *quilt.Plan, lean geometry.Lean, x float64) geometry.Segment {
	sin, cos := p.Set.Angle.SinCos()
	run := p.Set.Width * cos / sin
	if lean == geometry.Left {
		run = -run
	}
	return geometry.Segment{A: geometry.Point{X: x}, B: geometry.Point{X: x + run, Y: p.Set.Width}}
}

// degrees writes an angle: "60°", "52.5°".
func degrees(a geometry.Angle) string { return words.Degrees(a) + "°" }
