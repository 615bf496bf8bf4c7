// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// sewRows says in which order the pieces are sewn, and which edges stretch.
func (c *composer) sewRows() {
	s := c.spec()
	c.chapter("rows", "Sewing the rows", 0.1)
	c.para(say("The quilt is sewn in diagonal rows that climb from the bottom left to the top right; so every seam is straight. Each row begins with an edge triangle at the bottom or a diamond at the left side, and ends with one at the top or at the right side. " + words.RowLetters("")))
	match := "The blunt ends meet: let raw ends lie on raw ends at both ends of the edge."
	if len(c.p.Tips(geometry.Diamond)) == 0 {
		ear := c.p.DogEar()
		match = fmt.Sprintf("Let the edges cross on the seam line: a sharp tip stands out %s at each end.", c.length(ear))
		if ear < geometry.Fit {
			match = "Let raw ends lie on raw ends."
		}
	}
	press := "lifting the iron. Bias edges stretch under a pushing iron and under steam."
	if s.Tips == geometry.Sharp {
		press += " Trim the dog ears."
	}
	steps := []text{
		{"Take down one diagonal row", "at a time, pin its letter on, and keep its pieces in their order."},
		{"Sew the pieces", fmt.Sprintf("of a row to each other, right sides together, from raw edge to raw edge, with a seam of %s. %s Pin before you sew.", c.length(s.Seam), match)},
		{"Press each seam open,", press},
		{"Mind the grain.", fmt.Sprintf("%s shows which edges of a piece are bias and stretch. Where one meets an edge on the grain, lay the bias edge underneath, toward the feed dogs.", words.Capital(c.ref("grain")))},
		{"Check as you go.", fmt.Sprintf("Diamonds joined in a row must measure what %s says, raw edge to raw edge, square to their seams. Put it right now: an error in every piece is an error in the whole quilt.", c.ref("checks"))},
	}
	c.steps(steps, c.diagonalFigure())
	steps = nil
	if c.loneTriangle() {
		steps = append(steps, text{"A lone edge triangle", "at a corner is a row by itself: " + words.LoneTriangle + "."})
	}
	steps = append(steps, text{"Join the rows.", words.JoinInHalves + " The longest seam comes last. Lay one row on the other, right sides together; pin where seams meet, then between, and sew. Press open."})
	top, side := c.p.RimGrain()
	c.steps(append(steps, text{"Staystitch.", c.rimGrainWords(top, side)}), c.grainFigure())

	c.sub("joins", "Which rows are joined when")
	for _, size := range c.sizes {
		c.bullets(c.joins(size))
	}

	t := c.newTable("checks", "What must measure what", 2.3)
	t.each("Diagonal rows in all", func(p *quilt.Plan) string { return fmt.Sprint(p.SewingRows) })
	check := func(p *quilt.Plan, n int, before string) string {
		for _, ch := range p.Checks() {
			if ch.Pieces == n {
				return before + c.cell(ch.Length)
			}
		}
		return ""
	}
	for _, k := range []int{2, 3} {
		t.each(fmt.Sprintf("%d diamonds joined, or %d rows", k, k), func(p *quilt.Plan) string { return check(p, k, "") })
	}
	t.each("All diamonds of a whole row joined, or as many rows", func(p *quilt.Plan) string { return check(p, p.Rows, fmt.Sprintf("%d: ", p.Rows)) })
	t.each("Width of a row", func(p *quilt.Plan) string { return c.cell(p.Set.Width) })
	c.table(t)
}

// mostJoins is how many joins are listed: rows of a larger quilt are joined by
// the rule.
const mostJoins = 150

// joins lists which rows of a size are joined in each round.
func (c *composer) joins(s Size) []text {
	o := sewing.New(s.Plan)
	if len(o.Joins) > mostJoins {
		return []text{{words.Capital(c.of(s)) + words.Count(len(o.Rows), "row") + ".", "They are too many to list."}}
	}
	var out []text
	for k, j := range o.Joins {
		if k == 0 || j.Round != o.Joins[k-1].Round {
			out = append(out, text{words.Capital(c.of(s)+words.Round(j.Round)) + ":", ""})
		}
		round := &out[len(out)-1]
		if round.rest != "" {
			round.rest += ", "
		}
		round.rest += words.Held(words.Join(o, j))
	}
	return out
}

// of names a size before what is said of it, where there are several.
func (c *composer) of(s Size) string {
	return c.several(s.Name + ", ")
}

// loneTriangle reports whether any size has a diagonal row of one piece.
func (c *composer) loneTriangle() bool {
	return c.some(func(p *quilt.Plan) bool {
		return slices.ContainsFunc(sewing.New(p).Rows, func(r sewing.Row) bool { return r.Lone })
	})
}

func (c *composer) rimGrainWords(top, side float64) string {
	grain := func(v float64, to string) string {
		if quilt.Stable(v) {
			return "on the grain"
		}
		return "at " + degrees(geometry.Angle(v)) + to
	}
	lie := "The top and bottom edges of the quilt lie " + grain(top, " to the strips") + ", the sides, once squared up, " + grain(side, "")
	what := ""
	switch {
	case quilt.Stable(top) && quilt.Stable(side):
		return lie + ": nothing stretches, and there is nothing to staystitch."
	case quilt.Stable(top):
		what = "the sides as soon as they are squared up"
	case quilt.Stable(side):
		what = "both as soon as the rows are joined"
	default:
		what = "top and bottom as soon as the rows are joined, and the sides as soon as they are squared up"
	}
	return fmt.Sprintf("%s: %s. Staystitch %s: a line of plain stitches %s inside the raw edge, without pulling.", lie, words.Rim(c.p), what, c.round(0.125, 0.3))
}

// diagonalFigure shows the diagonal rows apart.
func (c *composer) diagonalFigure() *figure {
	p := c.sample(4, 5)
	apart := 0.42 * p.ColumnStep
	bounds := geometry.EmptyRect()
	off := func(pl quilt.Placement) geometry.Point {
		return geometry.Point{X: float64(pl.DiagonalRow()) * apart}
	}
	for _, pl := range p.Pieces {
		bounds = bounds.Grow(p.Standing(pl).Finished.Move(p.Centre(pl).Add(off(pl)))...)
	}
	f := fit(bounds, 3, 2.4, margins{left: 0.22, right: 0.03, low: 0.22, high: 0.03})
	return f.as("diagonal", "The diagonal rows, taken apart, with their letters."+c.drawnSmall(p), func(d *pen) {
		for _, pl := range p.Pieces {
			d.standing(p, pl, off(pl), 1)
		}
		o := sewing.New(p)
		for _, row := range o.Rows {
			pl := o.Pieces[row.First].Placement
			box := p.Standing(pl).Finished.Move(p.Centre(pl).Add(off(pl))).Bounds()
			if pl.Row < 0 {
				d.label(geometry.Point{X: box.Centre().X, Y: box.Min.Y}, below, row.Letters)
			} else {
				d.label(geometry.Point{X: box.Min.X, Y: box.Centre().Y}, toLeft, row.Letters)
			}
		}
	})
}

// grainFigure shows which edges of the pieces are bias.
func (c *composer) grainFigure() *figure {
	p := c.p
	diamond := p.Pieces[slices.IndexFunc(p.Pieces, func(pl quilt.Placement) bool { return pl.Shape == geometry.Diamond })]
	pieces := []quilt.Placement{diamond, p.Pieces[p.Columns-1]}
	var shown []quilt.Standing
	var at []geometry.Point
	bounds := geometry.EmptyRect()
	x := 0.0
	for _, pl := range pieces {
		st := p.Standing(pl)
		box := st.Raw.Bounds()
		move := geometry.Point{X: x - box.Min.X}
		if pl.Shape != geometry.Diamond {
			move.Y = shown[0].Raw.Bounds().Min.Y - box.Min.Y
		}
		shown, at = append(shown, st), append(at, move)
		bounds = bounds.Grow(st.Raw.Move(move)...)
		x += box.Width() + 0.35*p.Set.Width
	}
	f := fit(bounds, 2.3, 2.2, allRound(0.12))
	return f.as("grain", "A comb of short ticks, red in colour: a bias edge. Plain: an edge on the grain. The arrows run along the strips.", func(d *pen) {
		for i, st := range shown {
			raw := st.Raw.Move(at[i])
			d.fill("#ececec", raw)
			for k, patch := range st.Patches {
				d.fill(tint(p.Colours(0)[k], 0.4), patch.Move(at[i]))
			}
			for k, s := range raw.Sides() {
				switch e := st.Piece.Edges[k]; {
				case e.Kind == geometry.TipTrim:
					d.path(draw.Mark, true, false, s.A, s.B)
				case e.Bias():
					d.strong(s)
					// On its right a comb stands outward: edges run counter-clockwise.
					d.Fill(sheet.BiasColour, sheet.BiasComb(geometry.Segment{A: d.on(s.A), B: d.on(s.B)}, grainTick))
				default:
					d.strong(s)
				}
			}
			d.grainArrow(st, raw)
		}
	})
}

// grainTick is how far the ticks of a comb stand out, in inches.
const grainTick = 0.08

// grainArrow draws an arrow along the strips through the middle of a piece.
func (d *pen) grainArrow(st quilt.Standing, raw geometry.Polygon) {
	k := slices.IndexFunc(st.Piece.Edges, func(e geometry.Edge) bool { return e.Kind == geometry.StripEdge })
	if k < 0 {
		return
	}
	along := raw[(k+1)%len(raw)].Sub(raw[k])
	along = along.Mul(1 / along.Len())
	mid := raw.Middle()
	half := 0.0
	for _, p := range raw {
		half = max(half, along.Dot(p.Sub(mid)))
	}
	half *= 0.45
	a, b := mid.Sub(along.Mul(half)), mid.Add(along.Mul(half))
	d.arrow(a, b, true)
}
