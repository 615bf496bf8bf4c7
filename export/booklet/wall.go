// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// sample returns a small quilt of the same pieces in the same layout, to
// draw: the quilt itself where it is small. It has an even or an odd number
// of rows as the quilt has.
func (c *composer) sample(columns, rows int) *quilt.Plan {
	p := c.p
	if (rows-p.Rows)%2 != 0 {
		rows--
	}
	s := p.Sized()
	s.Borders = nil
	s.Columns, s.Rows = min(columns, p.Columns), min(rows, p.Rows)
	small, err := quilt.New(s)
	if err != nil {
		return p
	}
	return small
}

// drawnSmall says that a drawing shows fewer pieces than the quilt has.
func (c *composer) drawnSmall(small *quilt.Plan) string {
	if small.Columns < c.p.Columns || small.Rows < c.p.Rows || len(c.sizes) > 1 {
		return fmt.Sprintf(" Drawn with %s and %s; yours has more.", number(small.Columns, "column"), number(small.Rows, "row"))
	}
	return ""
}

// wall says how the pieces are laid out.
func (c *composer) wall() {
	s := c.spec()
	c.chapter("wall", "Laying out on the design wall", 0.1)
	c.para(say("Lay out the whole quilt before you sew pieces together. Every diamond stands upright on one of its points, and touches its neighbours in the row at the corners of its short way."))
	outward := "its base"
	if s.EdgeGrain == quilt.Straight {
		outward = "its strip edge"
	}
	steps := []text{{"The bottom edge.", fmt.Sprintf("Put up a line of edge triangles side by side, each with %s at the bottom and its opposite corner up: %s.", outward, c.rimWords(c.p, false))}}
	switch {
	case s.Layout.Setting() == "":
		steps = append(steps,
			text{"Row 1.", "Stand diamonds in the notches between the edge triangles, each with the lean and the way up that the drawings show: the first one at the left juts out by half its width."},
			text{"Row 2", "stands in the notches of row 1, half a diamond farther right, row 3 half a diamond back to the left, and so on in turn. Compare each row with the drawings before you begin the next."})
	case s.Layout == quilt.OneWay:
		steps = append(steps,
			text{"Row 1.", "Stand right-leaning diamonds in the notches between them, as drawn: the first one at the left juts out by half its width."},
			text{"Row 2", "stands in the notches of row 1, half a diamond farther right. All rows are of the same pieces."})
	default:
		turned := ""
		if s.Layout == quilt.Chevron {
			turned = " They stand the other way up than the right-leaning ones do, so that the colours run across the quilt."
		} else if c.sewn() {
			turned = " The colours of the two rows meet, and climb the quilt."
		}
		steps = append(steps,
			text{"Row 1.", "Stand right-leaning diamonds in the notches between the edge triangles, as drawn: the first one at the left juts out by half its width."},
			text{"Row 2", "is of left-leaning diamonds, in the notches of row 1, half a diamond farther right." + turned + " From here on rows lean right and left in turn: odd rows right, even rows left."})
	}
	steps = append(steps,
		text{"The top edge.", fmt.Sprintf("Close the top with edge triangles in the notches of the last row, each with %s at the top. Which ones they are, %s says.", outward, c.ref("layout"))},
		text{"Step back.", "Look from across the room, or through a camera, for pieces that are turned the wrong way. Then take a photograph of the wall."})
	c.steps(steps, c.cornerFigure())

	t := c.newTable("layout", "The layout", 1.95)
	t.each("Rows of diamonds", func(p *quilt.Plan) string { return fmt.Sprint(p.Rows) })
	t.each("Diamonds in each row", func(p *quilt.Plan) string { return fmt.Sprint(p.Columns) })
	for _, top := range []bool{false, true} {
		edge := map[bool]string{false: "Bottom", true: "Top"}[top]
		for _, lean := range geometry.Leans {
			for _, shape := range geometry.Shapes {
				label := fmt.Sprintf("%s edge triangles: %s%s", edge, words.LeanOf(lean), c.wideWords(shape))
				t.each(label, func(p *quilt.Plan) string {
					if n := rim(p, top)[lean][shape]; n > 0 {
						return count(n)
					}
					return ""
				})
			}
		}
	}
	c.table(t)

	if s.AnyColourful() {
		c.para(say(c.orderWords()))
	}
	c.maps()
}

// maps draws the layout of each size on pages of its own, with the number of
// its strip set on each piece, so large that those can be read.
func (c *composer) maps() {
	for i, size := range c.sizes {
		c.whole = append(c.whole, c.mapsOf(i, size)...)
	}
}

// orderWords says how the colours lie over the quilt.
func (c *composer) orderWords() string {
	if s := c.spec(); s.ColourOrder == quilt.Scattered {
		has := "its lean"
		if s.Layout.Setting() == "" {
			has += " and stands its way up"
		}
		if s.Edges == quilt.Matched {
			has += ", and each edge triangle the colours of a diamond that it touches"
		}
		return "The colours are mixed: the drawings below show one way, and any other will do as long as every piece has " + has + "."
	}
	return strings.TrimSuffix(words.ColourOrder(c.p), ".") + ": see the drawings."
}

// rim counts the edge triangles of the bottom or of the top edge.
func rim(p *quilt.Plan, top bool) (n quilt.Count) {
	row := -1
	if top {
		row = p.Rows
	}
	for _, pl := range p.Line(row) {
		n[pl.Lean][pl.Shape]++
	}
	return n
}

// rimWords names the edge triangles of an edge.
func (c *composer) rimWords(p *quilt.Plan, top bool) string {
	var kinds []string
	for lean, of := range rim(p, top) {
		for shape, n := range of {
			if n > 0 {
				kinds = append(kinds, fmt.Sprintf("%s ones%s", words.LeanOf(geometry.Lean(lean)), c.wideWords(geometry.Shape(shape))))
			}
		}
	}
	if len(kinds) > 1 {
		return words.List(kinds) + ", in the order that the drawings show"
	}
	return kinds[0]
}

// cornerFigure shows how the bottom left corner is laid out, the pieces a
// little apart.
func (c *composer) cornerFigure() *figure {
	p := c.p
	columns, rows := min(3, p.Columns), min(4, p.Rows)
	bounds := geometry.EmptyRect()
	var shown []quilt.Placement
	for _, pl := range p.Pieces {
		if pl.Column < columns && pl.Row < rows {
			shown = append(shown, pl)
			bounds = bounds.Grow(p.Standing(pl).Finished.Move(p.Centre(pl))...)
		}
	}
	lean := func(row int) string { // unless the row has both
		if n := p.Line(row); !slices.ContainsFunc(n, func(pl quilt.Placement) bool { return pl.Lean != n[0].Lean }) {
			return fmt.Sprintf(", %s", n[0].Lean)
		}
		return ""
	}
	label := "row 4, right"
	f := fit(bounds, 2.9, 2.6, margins{left: smallStyle.width(label) + 0.1, right: 0.02, low: 0.03, high: 0.03})
	caption := "The bottom left corner, its pieces a little apart."
	if lean(0) != "" {
		caption = "The bottom left corner, its pieces a little apart, with the lean of each row."
	}
	return f.as("corner", caption, func(d *pen) {
		for _, pl := range shown {
			d.standing(p, pl, geometry.Point{}, 0.93)
		}
		for row := range rows {
			d.label(geometry.Point{X: bounds.Min.X, Y: float64(row+1) * p.RowStep}, toLeft, fmt.Sprintf("row %d%s", row+1, lean(row)))
		}
	})
}

// standing draws a piece as it stands in the quilt, moved by off and shrunk
// about its middle.
func (d *pen) standing(p *quilt.Plan, pl quilt.Placement, off geometry.Point, shrink float64) {
	st, at := p.Standing(pl), p.Centre(pl).Add(off)
	mid := st.Finished.Middle()
	place := func(g geometry.Polygon) geometry.Polygon {
		out := make(geometry.Polygon, len(g))
		for i, q := range g {
			out[i] = q.Sub(mid).Mul(shrink).Add(mid).Add(at)
		}
		return out
	}
	for i, patch := range st.Patches {
		d.fill(tint(p.Colours(pl.StripSet)[i], 0.7), place(patch))
	}
	d.outline(place(st.Finished))
}
