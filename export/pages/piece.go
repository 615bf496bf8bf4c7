// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// template is a kind of piece that the plan needs.
type template struct {
	shape  geometry.Shape
	lean   geometry.Lean  // from the right side
	piece  geometry.Piece // as it is seen when it is cut
	cut    string         // how many to cut, without spares: "6", "for crib: 6, throw: 9"
	quilts int            // how many quilts need it
}

// templates returns the kinds of piece that any of the quilts needs.
func templates(quilts []Quilt) []template {
	var out []template
	p := quilts[0].Plan
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			t := template{shape: shape, lean: lean, piece: p.Piece(shape, lean)}
			for _, q := range quilts {
				n := q.Plan.Need[lean][shape]
				if n == 0 {
					continue
				}
				number := fmt.Sprint(n)
				switch {
				case q.Name == "":
				case t.quilts == 0:
					number = "for " + q.Name + ": " + number
				default:
					number = ", " + q.Name + ": " + number
				}
				t.cut += number
				t.quilts++
			}
			if t.quilts > 0 {
				out = append(out, t)
			}
		}
	}
	return out
}

// levels returns the heights at which the template has level lines.
func (t template) levels() []float64 {
	var out []float64
	for _, g := range []geometry.Polygon{t.piece.Outline, t.piece.Finished} {
		for _, s := range g.Sides() {
			if s.A.Y == s.B.Y {
				out = append(out, s.A.Y)
			}
		}
	}
	for _, s := range t.piece.Seams {
		out = append(out, s.A.Y)
	}
	return out
}

// trims returns the edges of the outline that blunt a tip.
func (t template) trims() []geometry.Segment {
	var out []geometry.Segment
	for i, s := range t.piece.Outline.Sides() {
		if t.piece.Edges[i].Kind == geometry.TipTrim {
			out = append(out, s)
		}
	}
	return out
}

// title names a template; part says which part of it a page shows, "" when it
// shows all.
func (t template) title(p *quilt.Plan, b *block, part string) {
	height := large
	if b.room < b.inches(3) {
		height = middle
	}
	b.say(height, 3, words.Capital(words.Piece(p.Spec, t.shape, t.lean, 1)))
	if part != "" {
		b.say(middle, 2, part)
	}
}

// words says all about a template.
func (t template) words(p *quilt.Plan, b *block, part string) {
	s := p.Spec
	size := func(v float64) string { return geometry.FormatLength(v, s.Unit) }
	t.title(p, b, part)
	spare := ""
	if s.Spare > 0 {
		spare = fmt.Sprintf(" and %d spare", s.Spare)
		if t.quilts > 1 {
			spare += " each"
		}
	}
	b.say(b.base, 0, fmt.Sprintf("Cut %s%s, fabric %s.", t.cut, spare, words.Face(s.Face)))
	b.name(b.base, 3, "Strips from below: "+words.FromBelow(s)+".", words.Swatches(s, words.KeysFromBelow(s)...))
	high := t.piece.Outline.Bounds().Height()
	switch t.shape {
	case geometry.Diamond:
		b.say(b.base, 0, fmt.Sprintf("Cut: %s between the strip edges, %s between crosscuts along the strip.", size(high), size(p.Set.CutSide())))
		b.say(b.base, 0, fmt.Sprintf("Finished: %s between the strip edges, sides %s.", size(p.Set.FinishedWidth()), size(p.Set.FinishedSide())))
	default:
		b.say(b.base, 0, fmt.Sprintf("Cut: %s across the strips.", size(high)))
		b.say(b.base, 0, fmt.Sprintf("Finished: %s across the strips, sides %s, base %s.", size(p.Set.FinishedWidth()), size(p.Set.FinishedSide()), size(p.Set.ShortDiagonal())))
	}
	if trims := t.trims(); len(trims) > 0 {
		tips := words.Count(len(trims), "tip") + " " + words.Verb(len(trims), "is", "are")
		b.say(b.base, 0, fmt.Sprintf("%s trimmed %s past the finished point.", tips, size(t.pastPoint(trims[0]))))
	} else {
		b.say(b.base, 0, "No tip is trimmed.")
	}
	lean := fmt.Sprintf("Leans %s, seen from the right side with the first strip nearest you", t.lean)
	if s.Face == geometry.FaceDown {
		lean += fmt.Sprintf("; from the wrong side, as here, it looks %s", words.LeanOf(t.lean.Other()))
	}
	b.say(b.base, 0, lean+".")
	b.gap()
	b.explain(cutSample, "cut, along the line without a break")
	b.explain(sewSample, "sew: the finished edge")
	if len(t.piece.Seams) > 0 {
		b.explain(seamSample, "seam of the strip set")
	}
	b.explain(grainSample, "grain: along the strips")
	if part != "" {
		b.explain(glueSample, "glue line, where pages meet")
		b.gap()
		b.say(b.base, 0, "Cut each page off along its glue lines at the left and at the top, lay it on its neighbours so that lines and crosses meet, and glue. Then cut the template out.")
	}
}

// pastPoint returns how far a tip trim lies from the nearest finished corner.
func (t template) pastPoint(trim geometry.Segment) float64 {
	best := -1.0
	along := trim.B.Sub(trim.A)
	for _, c := range t.piece.Finished {
		if d := along.Cross(c.Sub(trim.A)) / along.Len(); best < 0 || d < best {
			best = d
		}
	}
	return best
}

// draw draws what one window shows of the template. The window lies in r.
func (t template) draw(d *drawing, g grid, w tile, r geometry.Rect, p *quilt.Plan) {
	tiled := g.cols*g.rows > 1
	shift := r.Centre().Sub(w.window.Centre())
	view := w.window.Move(shift)
	outline := t.piece.Outline.Move(shift)
	for _, c := range clip(outline, view) {
		d.Path(draw.Cut, c.closed, c.points...)
	}
	for _, c := range clip(t.piece.Finished.Move(shift), view) {
		d.Path(draw.Sew, c.closed, c.points...)
	}
	for _, s := range t.piece.Seams {
		if part, ok := view.Clip(s.Move(shift)); ok {
			d.Path(draw.Sew, false, part.A, part.B).Thin = true
		}
	}
	if tiled {
		d.glue(g, w, view, shift)
	}
	seen := outline.Within(view)
	if seen == nil {
		return
	}
	t.grain(d, p, view, seen, shift)
	// Names last: they go where there is room.
	far := max(view.Width(), view.Height()) / 2
	mid := seen.Middle()
	name := words.Leaning(t.lean, t.shape)
	if t.quilts == 1 {
		name += ", cut " + t.cut
	}
	if tiled {
		d.place(w.name(), d.In(0.3), mid, far, view, nil)
	}
	for _, h := range []float64{middle, small} {
		if d.place(name, d.In(h), mid, far, view, seen) {
			break
		}
	}
	t.fabrics(d, p, view, seen, shift)
	for _, trim := range t.trims() {
		at := trim.A.Add(trim.B).Mul(0.5).Add(shift)
		if at.X < view.Min.X || at.X > view.Max.X || at.Y < view.Min.Y || at.Y > view.Max.Y {
			continue
		}
		along := trim.B.Sub(trim.A)
		out := geometry.Point{X: along.Y, Y: -along.X}.Mul(d.In(0.3) / along.Len())
		// A template that fills its window leaves room on the page around it.
		around := view
		if !tiled {
			around = r
		}
		d.place("tip trim", d.In(small), at.Add(out), d.In(0.6), around, nil)
	}
}

// fabrics names in each strip the fabric that it is cut from, where there is
// room.
func (t template) fabrics(d *drawing, p *quilt.Plan, view geometry.Rect, seen geometry.Polygon, shift geometry.Point) {
	for i, band := range p.Set.Bands() {
		part := seen.Within(geometry.Rect{
			Min: geometry.Point{X: view.Min.X, Y: band[0] + shift.Y},
			Max: geometry.Point{X: view.Max.X, Y: band[1] + shift.Y},
		})
		if part == nil {
			continue
		}
		box := part.Bounds()
		key := p.Spec.Strips[i].Fabric
		for _, h := range []float64{middle, small} {
			if d.place(words.Cloth(p.Spec, key), d.In(h), part.Middle(), max(box.Width(), box.Height())/2, box, part, words.Swatches(p.Spec, key)...) {
				break
			}
		}
	}
}

// grain draws the arrow along the strips, in the middle of what shows of the
// strip where it is longest.
func (t template) grain(d *drawing, p *quilt.Plan, view geometry.Rect, seen geometry.Polygon, shift geometry.Point) {
	box := seen.Bounds()
	var best geometry.Segment
	length := d.In(0.5) // shorter would be no arrow
	for _, band := range p.Set.Bands() {
		low, high := max(band[0]+shift.Y, box.Min.Y), min(band[1]+shift.Y, box.Max.Y)
		if high-low < d.In(0.25) {
			continue // the arrow would lie on a seam
		}
		if s, ok := seen.Across((low + high) / 2); ok && s.B.X-s.A.X > length {
			best, length = s, s.B.X-s.A.X
		}
	}
	if best.A != best.B {
		quarter := best.B.Sub(best.A).Mul(0.25)
		d.Arrow(geometry.Segment{A: best.A.Add(quarter), B: best.B.Sub(quarter)}, d.In(0.12), true)
	}
}

// glue draws the lines along which pages meet, crosses on them, marks in the
// window's corners, and the neighbours' names outside it.
func (d *drawing) glue(g grid, w tile, view geometry.Rect, shift geometry.Point) {
	core := w.core.Move(shift)
	tick := d.In(0.15)
	for _, x := range []float64{view.Min.X, view.Max.X} {
		for _, y := range []float64{view.Min.Y, view.Max.Y} {
			dx, dy := tick, tick
			if x == view.Max.X {
				dx = -tick
			}
			if y == view.Max.Y {
				dy = -tick
			}
			d.Path(draw.Mark, false, geometry.Point{X: x + dx, Y: y}, geometry.Point{X: x, Y: y}, geometry.Point{X: x, Y: y + dy})
		}
	}
	// Where no page follows, a cross stands a little inside the window, at
	// the same place on both pages.
	end := func(core, rim float64, inward float64) float64 {
		if core == rim {
			return rim + inward
		}
		return core
	}
	away := d.In(0.3)
	low, high := end(core.Min.Y, view.Min.Y, away), end(core.Max.Y, view.Max.Y, -away)
	left, right := end(core.Min.X, view.Min.X, away), end(core.Max.X, view.Max.X, -away)
	h := d.In(small)
	mid := view.Centre()
	name := func(col, row int) string { return "glue line: " + tile{col: col, row: row}.name() }
	for _, side := range []int{-1, 1} {
		x, out := core.Min.X, view.Min.X-d.In(0.05)
		if side > 0 {
			x, out = core.Max.X, view.Max.X+d.In(0.05)+h
		}
		if g.printed(w.col+side, w.row) {
			d.line(draw.Mark, x, view.Min.Y, x, view.Max.Y)
			d.cross(x, low)
			d.cross(x, high)
			d.upward(geometry.Point{X: out, Y: mid.Y}, h, name(w.col+side, w.row))
		}
	}
	for _, side := range []int{1, -1} {
		y, out := core.Max.Y, view.Max.Y+d.In(0.05)
		if side > 0 {
			y, out = core.Min.Y, view.Min.Y-d.In(0.05)-h
		}
		if g.printed(w.col, w.row+side) {
			d.line(draw.Mark, view.Min.X, y, view.Max.X, y)
			d.cross(left, y)
			d.cross(right, y)
			d.Centred(geometry.Point{X: mid.X, Y: out}, h, name(w.col, w.row+side))
		}
	}
}
