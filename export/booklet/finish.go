// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// squareUp says how the sides are trimmed.
func (c *composer) squareUp() {
	c.chapter("square", "Squaring up", 0.1)
	c.steps([]text{
		{"Press and starch", "the whole top and let it lie flat until it is dry and cool."},
		{"Trim the sides.", fmt.Sprintf("The rows end in notches at both sides. Lay the ruler through the points of the notches, then move it outward by the seam allowance of %s, and cut: the seam will then run through the points. Keep it square to the top and bottom edges.", c.length(c.spec().Seam))},
		{"Check the corners", fmt.Sprintf("with a square ruler, and measure: across the middle and along both edges must be what %s says, and the two ways from corner to corner must agree. A small nick may stay inside the seam allowance at a corner; the next seam hides it.", c.ref("top"))},
	}, c.squareFigure())
	t := c.newTable("top", "The top, squared up, without borders", 1.95)
	t.each("Raw edge to raw edge", func(p *quilt.Plan) string {
		return c.squareCell(quilt.Size{Width: p.Finished.Width + 2*p.Set.Seam, Height: p.Finished.Height + 2*p.Set.Seam})
	})
	t.each("Finished", func(p *quilt.Plan) string { return c.squareCell(p.Finished) })
	c.table(t)
}

// squareFigure shows where the sides are cut.
func (c *composer) squareFigure() *figure {
	p := c.sample(3, 4)
	bounds := geometry.EmptyRect()
	for _, pl := range p.Pieces {
		bounds = bounds.Grow(p.Standing(pl).Raw.Move(p.Centre(pl))...)
	}
	trim := p.Frame().Inset(-p.Set.Seam)
	f := fit(bounds, 2.75, 1.75, margins{0.03, 0.03, 0.06, 0.06})
	return f.as("square up", "Thick: cut here. Dashed: the finished edge, through the points of the notches."+c.drawnSmall(p), func(d *pen) {
		for _, pl := range p.Pieces {
			d.fill(waste, p.Standing(pl).Raw.Move(p.Centre(pl)))
		}
		for _, pl := range p.Pieces {
			st, at := p.Standing(pl), p.Centre(pl)
			d.path(draw.Mark, true, true, st.Finished.Move(at)...)
			for i, patch := range st.Patches {
				if g := patch.Move(at).Within(trim); g != nil {
					d.fill(tint(p.Colours(pl.StripSet)[i], 0.45), g)
				}
			}
		}
		for _, x := range []float64{trim.Min.X, trim.Max.X} {
			d.strong(geometry.Segment{A: geometry.Point{X: x, Y: bounds.Min.Y - 0.04/d.scale}, B: geometry.Point{X: x, Y: bounds.Max.Y + 0.04/d.scale}})
		}
		for _, x := range []float64{p.Frame().Min.X, p.Frame().Max.X} {
			d.dashed(geometry.Segment{A: geometry.Point{X: x, Y: bounds.Min.Y}, B: geometry.Point{X: x, Y: bounds.Max.Y}})
		}
	})
}

// borders says how the borders are sewn on.
func (c *composer) borders() {
	s := c.spec()
	if len(s.Borders) == 0 {
		return
	}
	c.chapter("borders", "Borders", 0.1)
	c.step(text{"Join the strips", "of each border end to end into one length, where one strip is too short, and press the seams open. Cut all four lengths from it."}, nil)
	c.step(text{"Measure first.", words.MeasureFirst + fmt.Sprintf(" Where it differs a little from %s, ease the border in; where it differs much, look for the seam that is off.", c.ref("border lengths"))}, nil)
	any := func(k quilt.Corners) bool {
		return slices.ContainsFunc(s.Borders, func(b quilt.Border) bool { return b.Corners == k })
	}
	if any(quilt.Butted) {
		c.step(text{"Butted corners.", "Pin the two sides on, middle to middle and end to end, and sew. Press toward the border. Then sew on top and bottom in the same way, over the ends of the sides."}, c.borderFigure(quilt.Butted))
	}
	if any(quilt.Mitred) {
		c.step(text{"Mitred corners.", fmt.Sprintf("Mark the middle of each length. Sew all four on, beginning and ending %s from the corners of the top; equal ends hang over; each length has %s more than to its points, to trim. Fold the top at 45° at each corner, right sides together, lay the border ends on each other, and sew from the end of the first seam to the outer corner, at 45°. Trim, and press open.", c.length(s.Seam), c.length(c.p.MitreExtra()))}, c.borderFigure(quilt.Mitred))
	}
	if len(s.Borders) > 1 {
		c.step(text{"Go on from the inside out:", "square up after each border, and measure again before the next."}, nil)
	}
	t := c.newTable("border lengths", "Border lengths, raw", 2.3)
	for i, b := range s.Borders {
		t.add(fmt.Sprintf("Border %d: %s, cut %s wide, %s", i+1, words.Cloth(s, b.Fabric), c.length(b.Cut), b.Corners))
		t.each("two sides, each", func(p *quilt.Plan) string { return c.cell(p.Borders[i].Sides) })
		t.each("top and bottom, each", func(p *quilt.Plan) string { return c.cell(p.Borders[i].Ends) })
		t.each("finished with it", func(p *quilt.Plan) string { return c.squareCell(quilt.Size(p.Borders[i].Outer)) })
	}
	c.table(t)
}

// borderFigure shows the first border with such corners round its quilt.
func (c *composer) borderFigure(corner quilt.Corners) *figure {
	p := c.p
	i := slices.IndexFunc(p.Spec.Borders, func(b quilt.Border) bool { return b.Corners == corner })
	around := borders(p)
	inner, out := p.Frame(), around[i]
	if i > 0 {
		inner = around[i-1]
	}
	f := fit(out, 2.3, 2.4, allRound(0.03))
	return f.as("border "+corner.String(), fmt.Sprintf("Border %d, %s corners.", i+1, corner), func(d *pen) {
		d.fill(tint(p.Spec.FirstColour(p.Spec.Borders[i].Fabric), cloth), out.Polygon())
		d.fill("#ffffff", inner.Polygon())
		d.outline(inner.Polygon())
		d.outline(out.Polygon())
		for _, l := range corners(inner, out, corner) {
			d.strong(l)
		}
		d.label(out.Centre(), centre, "quilt top")
	})
}

// joinBinding says how the strips of the binding are joined.
func (c *composer) joinBinding() string {
	s := c.spec()
	if s.Binding.Joins == quilt.StraightJoins {
		return fmt.Sprintf("Join its strips, %s wide, end to end with a seam of %s.", c.length(s.BindingCut()), c.length(s.Seam))
	}
	return fmt.Sprintf("Join its strips, %s wide, %s: lay two ends right sides together at a right angle, sew from corner to corner of the square in which they overlap, and trim to %s beside the seam.", c.length(s.BindingCut()), words.BindingJoins(s), c.length(s.Seam))
}

// finishing says how the quilt is layered, quilted and bound.
func (c *composer) finishing() {
	s := c.spec()
	c.chapter("finish", "Quilting and binding", 0.1)
	t := c.newTable("back", "Backing, batting and binding", 1.95)
	t.each("Backing", func(p *quilt.Plan) string {
		return c.squareCell(quilt.Size{Width: p.Backing.Width, Height: p.Backing.Height})
	})
	t.each("made of", func(p *quilt.Plan) string {
		if p.Backing.Panels == 1 {
			return number(1, "panel")
		}
		if p.Backing.Lengthwise {
			return number(p.Backing.Panels, "panel") + ", seams up and down"
		}
		return number(p.Backing.Panels, "panel") + ", seams across"
	})
	t.each("length of each panel", func(p *quilt.Plan) string { return c.cell(p.Backing.Panel) })
	t.each("Batting", func(p *quilt.Plan) string { return c.squareCell(p.Batting) })
	t.each("Binding, joined", func(p *quilt.Plan) string { return c.cell(p.Binding.Total) })
	if s.TakeUp > 0 || s.Shrinkage > 0 {
		t.each("After quilting and washing, about", func(p *quilt.Plan) string { return c.squareCell(p.Washed) })
	}
	c.steps([]text{
		{"Make the backing.", fmt.Sprintf("%s the selvages, sew the panels side by side with a seam of %s and press. Trim to the size in %s: it reaches past the quilt on every side.", map[bool]string{false: "Cut its panels, take off", true: "Take off"}[c.Kit], c.length(s.Seam), c.ref("back"))},
		{"Layer.", "Spread the backing wrong side up and tape it down, flat but not stretched. Lay the batting on it, then the top, right side up and centred. Smooth each layer from the middle out."},
		{"Baste", "the three layers together with safety pins or long stitches, a hand's breadth apart, from the middle out."},
		{"Quilt", "from the middle out, by hand or by machine, as densely as your batting's maker asks. Lines through the diamonds from point to point, or along their seams, follow the pattern."},
		{"Square up", "once more: trim batting and backing even with the top, corners square."},
	}, c.layersFigure())
	sign := "."
	if s.Designer != "" {
		sign = " and of its designer."
	}
	c.steps([]text{
		{"Make the binding.", fmt.Sprintf("%s Press the seams open. Fold it in half lengthwise, wrong sides together, and press: it is then %s wide.", c.joinBinding(), c.length(s.BindingCut()/2))},
		{"Sew it on", fmt.Sprintf("to the front, raw edges even, with a seam of %s. Begin along one side and leave a tail of a hand's length. Stop %s before a corner; fold the binding straight up, then down along the next side, and go on from the edge. Stop a hand's length before the beginning, join the two ends to the length that fits, and sew the rest.", c.length(s.Seam), c.length(s.Seam))},
		{"Fold it over", "the raw edges to the back, and sew its fold down by hand with small stitches, or by machine. The corners fold into mitres by themselves."},
		{"Sign it.", "Sew a label to the back: your name, the year, the name of the quilt" + sign},
	}, c.bindingFigure())
	c.table(t)
	var parts []string
	if s.TakeUp > 0 {
		parts = append(parts, fmt.Sprintf("quilting draws in %g%s%%", s.TakeUp, words.Hard))
	}
	if s.Shrinkage > 0 {
		parts = append(parts, fmt.Sprintf("the first wash takes %g%s%%", s.Shrinkage, words.Hard))
	}
	if len(parts) > 0 {
		c.para(say("The last line holds when " + words.List(parts) + "; fabric, batting and stitching differ."))
	}
}

// layersFigure shows backing, batting and top on each other in proportion.
func (c *composer) layersFigure() *figure {
	p := c.p
	size := func(w, h float64) geometry.Rect {
		return geometry.Rect{Min: geometry.Point{X: -w / 2, Y: -h / 2}, Max: geometry.Point{X: w / 2, Y: h / 2}}
	}
	back, batting, top := size(p.Backing.Width, p.Backing.Height), size(p.Batting.Width, p.Batting.Height), size(p.Outer.Width, p.Outer.Height)
	bounds := back.Union(batting)
	f := fit(bounds, 2, 1.7, allRound(0.03))
	return f.as("layers", "Top on batting on backing; dashed: seams of the backing."+c.forFirst(), func(d *pen) {
		d.fill("#dcdcd6", back.Polygon())
		d.fill("#f6f4ee", batting.Polygon())
		d.fill(tint(p.Spec.FirstColour(p.Spec.Strips[0].Fabric), 0.35), top.Polygon())
		for _, r := range []geometry.Rect{back, batting, top} {
			d.outline(r.Polygon())
		}
		for i := 1; i < p.Backing.Panels; i++ {
			k := float64(i)/float64(p.Backing.Panels) - 0.5
			a, b := geometry.Point{X: back.Min.X, Y: k * back.Height()}, geometry.Point{X: back.Max.X, Y: k * back.Height()}
			if p.Backing.Lengthwise {
				a, b = geometry.Point{X: k * back.Width(), Y: back.Min.Y}, geometry.Point{X: k * back.Width(), Y: back.Max.Y}
			}
			d.dashed(geometry.Segment{A: a, B: b})
		}
		d.label(geometry.Point{X: 0.2 * top.Width(), Y: 0.2 * top.Height()}, centre, "top")
	})
}

// forFirst says that a drawing is in the proportions of the first size.
func (c *composer) forFirst() string {
	return c.several(" In proportion for " + c.sizes[0].words() + ".")
}

// bindingFigure shows how the binding turns a corner: up, then down.
func (c *composer) bindingFigure() *figure {
	w, a := c.spec().BindingCut()/2, c.spec().Seam
	long := 4 * w
	// The quilt's corner lies at (0, 0), below and to the left; the binding
	// comes along its top edge from the left.
	apart := 1.7 * w
	bounds := geometry.Rect{Min: geometry.Point{X: -long, Y: -2.4 * w}, Max: geometry.Point{X: long + apart, Y: 1.3 * w}}
	f := fit(bounds, 2.7, 1.7, allRound(0.03))
	return f.as("binding corner", "At a corner the binding is folded straight up (left), then down along the next side (right). Dashed: the seam.", func(d *pen) {
		strip := tint(c.spec().FirstColour(c.spec().Strips[0].Fabric), 0.6)
		for k := range 2 {
			o := geometry.Point{X: float64(k) * (long + apart)}
			at := func(g geometry.Polygon) geometry.Polygon { return g.Move(o) }
			quilt := at(rect(-long*0.8, -2.4*w, 0, 0))
			along := at(rect(-long*0.8, -w, 0, 0))
			d.fill("#efefec", quilt)
			d.outline(quilt)
			if k == 0 {
				// Folded up at 45 degrees: the fold runs from the corner.
				along = at(geometry.Polygon{{X: -long * 0.8, Y: -w}, {X: -w, Y: -w}, {}, {X: -long * 0.8}})
				up := at(geometry.Polygon{{X: -w, Y: -w}, {}, {Y: 1.3 * w}, {X: -w, Y: 1.3 * w}})
				d.fill(strip, along, up)
				d.outline(along)
				d.outline(up)
				d.dashed(geometry.Segment{A: geometry.Point{X: -long * 0.8, Y: -a}.Add(o), B: geometry.Point{X: -a, Y: -a}.Add(o)})
				continue
			}
			down := at(rect(-w, -2.4*w, 0, 0))
			d.fill(strip, along, down)
			d.outline(along)
			d.outline(down)
			d.dashed(geometry.Segment{A: geometry.Point{X: -a, Y: 0}.Add(o), B: geometry.Point{X: -a, Y: -2.4 * w}.Add(o)})
		}
	})
}

// printing says how the templates are printed, and comes before them.
func (c *composer) printing() {
	c.chapter("printing", "Printing the templates", 0.1)
	c.para(say(fmt.Sprintf("The pages %s have the strip gauge and a template of each kind of piece at true size. Print them at 100%s%% (\"actual size\"), never \"fit to page\". Before you cut anything, measure the calibration square on every page: it must be %s each way. If it is not, turn scaling off in the print window and print again.", c.templatePages(), words.Hard, c.round(4, 10))))
	c.para(say("Print on card, or glue the paper to card, and cut along the lines. A template lies on the right side of the fabric unless it says otherwise."))
	t := &table{key: "printed", title: "What is on which page", label: 4.6, heads: []string{"Page"}}
	for _, g := range c.groups {
		if g.names != "" {
			t.add(words.Capital(g.names))
		}
		for k, name := range g.book.Titles() {
			t.add(words.Capital(name), fmt.Sprint(g.at+k+1))
		}
	}
	if len(c.groups) > 1 || len(t.rows) > mostPages {
		c.table(t)
	}
	c.notesPage()
}

// mostPages is how many pages of templates find themselves.
const mostPages = 8

// notesPage fills the page with lines to write on.
func (c *composer) notesPage() {
	const apart = 0.32
	n := int((c.low() - c.y - 0.3) / apart)
	if n < 3 {
		return
	}
	c.sub("notes", "Your notes")
	c.need(apart)
	for range n - 1 {
		c.y += apart
		c.page().Path(draw.Mark, false, geometry.Point{X: c.left(), Y: c.height - c.y}, geometry.Point{X: c.right(), Y: c.height - c.y}).Thin = true
	}
	c.y = c.low()
}

// colouring is a line drawing of each size to try colours on.
func (c *composer) colouring() {
	for i, s := range c.sizes {
		title := "Try your own colours"
		if s.Name != "" {
			title += ": " + s.Name
		}
		c.chapter(fmt.Sprint("colours ", i), title, 1)
		lines := ": thick lines are the seams between pieces, thin ones those of the strip sets"
		if !c.sewn() {
			lines = ""
		}
		f := c.lineDrawing(s.Plan)
		f.key, f.caption = fmt.Sprint("colouring ", i), fmt.Sprintf("The quilt%s, to colour in%s. Copy the page before you begin.", c.as(s), lines)
		c.row(f)
	}
}

// lineDrawing draws a quilt in lines.
func (c *composer) lineDrawing(p *quilt.Plan) *figure {
	s := viewOf(p)
	f := fit(s.out, c.room(), c.low()-topMargin-1.1, allRound(0.02))
	f.draw = func(d *pen) {
		d.fill("#ffffff", s.out.Polygon())
		kinds, of := p.Standings()
		for k, pl := range p.Pieces {
			patches, at := kinds[of[k]].Patches, p.Centre(pl)
			for i := 1; i < len(patches); i++ {
				if seam, ok := shared(patches[i-1], patches[i]); ok {
					s.line(d, draw.Mark, false, seam.Move(at))
				}
			}
		}
		s.rims(d, draw.Figure)
	}
	return f
}

// shared returns the side that two patches of a piece have in common.
func shared(a, b geometry.Polygon) (geometry.Segment, bool) {
	const near = 1e-7
	for _, one := range a.Sides() {
		for _, other := range b.Sides() {
			if one.A.Sub(other.B).Len() < near && one.B.Sub(other.A).Len() < near {
				return one, true
			}
		}
	}
	return geometry.Segment{}, false
}
