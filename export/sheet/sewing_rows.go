// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// Sizes of the sheets of rows, in inches of paper. A sheet is as wide as letter
// or A4 paper lying.
const (
	sewingRowWide   = 9.6  // for the pieces and the words to their left
	sewingRowMargin = 0.75 // for the words to their left
	sewingRowPiece  = 1.08 // from one piece to the next
	sewingRowHigh   = 0.6  // and at least so high
)

// SewingRows draws diagonal rows first to last, one below the other, each lying
// level with its lower left end at the left, as on the table beside the machine:
// every piece with its label, strip set and kind, bias edges marked, and at each
// seam which piece lies underneath. A row that is longer than the sheet goes on
// in the line below.
func SewingRows(p *quilt.Plan, o *sewing.Order, first, last int) *draw.Drawing {
	title := "row " + o.Rows[first].Letters
	if last > first {
		title = fmt.Sprintf("rows %s to %s", o.Rows[first].Letters, o.Rows[last].Letters)
	}
	d := newSewingPen(p, o, p.Spec.Name+": "+title, "Diagonal rows for sewing, piece by piece. Not at true size.")
	side, angle := o.Side, p.Set.Angle
	high := p.Set.FinishedWidth()
	// The pieces' pitch along the row is a finished side.
	d.onPaper(min(side/sewingRowPiece, high/sewingRowHigh))
	// The row climbs at 90 degrees less half the angle; turned by that it lies
	// level.
	level := -(90 - angle/2)
	within, between := 0.13*d.paper, 0.13*d.paper
	d.stand(level, within, between)
	label := d.label(within, between, level)
	d.labels = label.atMost(0.15 * d.paper)
	sin, cos := angle.SinCos()
	slant := high / sin * cos // how far the top of a seam lies to the right of its foot
	line := max(int((sewingRowWide*d.paper-sewingRowMargin*d.paper-slant)/side), 2)
	top := 0.0
	for i := first; i <= last; i++ {
		top = d.sewingRow(i, line, slant, top) - 0.35*d.paper
	}
	d.pourAll()
	d.explainBias(geometry.Point{X: -sewingRowMargin * d.paper, Y: top + 0.1*d.paper}, 0.075*d.paper, sewingRowWide*d.paper,
		"A comb, red in colour: a bias edge. It stretches: the piece that is named at a seam lies underneath, toward the feed dogs. Press seams open.")
	return d.Finish(0.3 * d.paper)
}

// sewingRow draws row i, hanging from y = top, with so many pieces in a line, and
// returns how far down it reaches.
func (d *sewingPen) sewingRow(i, line int, slant, top float64) float64 {
	p, o, inch := d.plan, d.order, d.paper
	r := o.Rows[i]
	left := -sewingRowMargin * inch
	y := top - 0.18*inch
	title := fmt.Sprintf("Row %s: %s", r.Letters, words.Count(r.Number, "piece"))
	d.Text(geometry.Point{X: left, Y: y}, 0.18*inch, title)
	d.up(left+draw.TextWidth(title, 0.18*inch)+0.5*inch, y+0.04*inch)
	y -= 0.17 * inch
	d.Text(geometry.Point{X: left, Y: y}, 0.085*inch, d.rowWords(i))
	high, small := p.Set.FinishedWidth(), 0.068*inch
	lines := (r.Number + line - 1) / line
	each := (r.Number + lines - 1) / lines
	for from := 0; from < r.Number; from += each {
		to := min(from+each, r.Number)
		y -= 0.42*inch + high // the foot of the row
		d.neighbour(geometry.Point{X: left, Y: y + high - small}, small, i-1, o.JoinAfter(i-1))
		d.neighbour(geometry.Point{X: left, Y: y + 1.6*small}, small, i+1, o.JoinAfter(i))
		for j := from; j < to; j++ {
			x := float64(j-from) * o.Side
			at := geometry.Point{X: x + (o.Side+slant)/2, Y: y + high/2}
			d.putPiece(r.First+j, at)
			for n, words := range d.pieceWords(r.First + j) {
				d.Centred(geometry.Point{X: x + o.Side/2, Y: y - 0.15*inch - 0.105*inch*float64(n)}, small, words)
			}
			if j+1 < r.Number {
				d.Centred(geometry.Point{X: x + o.Side + slant, Y: y + high + 0.09*inch}, small, d.underWords(r.FirstSeam+j))
				if j+1 == to { // beside the slant of the last seam
					at := geometry.Point{X: x + o.Side + slant/2 + 0.15*inch + small*slant/high, Y: y + high/2}
					d.Text(at, small, "sew to "+o.Label(r.First+j+1)+",")
					d.Text(geometry.Point{X: at.X, Y: at.Y - 1.6*small}, small, "line below")
				}
			}
		}
		y -= 0.4 * inch
	}
	return y
}

// up draws an arrow that points the way up on the design wall.
func (d *sewingPen) up(x, y float64) {
	sin, cos := (d.plan.Set.Angle / 2).SinCos() // of its slope on the level row
	run := geometry.Point{X: float64(cos * 0.32 * d.paper), Y: float64(sin * 0.32 * d.paper)}
	from := geometry.Point{X: x, Y: y - run.Y/3}
	to := from.Add(run)
	d.Arrow(geometry.Segment{A: from, B: to}, 0.3*run.Len(), false)
	d.Text(geometry.Point{X: to.X + 0.1*d.paper, Y: y}, 0.075*d.paper, "up on the design wall")
}

// rowWords says what the row measures and what it is joined to.
func (d *sewingPen) rowWords(i int) string {
	p, o := d.plan, d.order
	u := p.Spec.Unit
	r := o.Rows[i]
	if r.Lone {
		join := o.Joins[o.JoinAfter(min(i, r.Neighbour))]
		seam := o.Seams[join.First]
		to := seam.Pieces[0]
		if to == r.First {
			to = seam.Pieces[1]
		}
		words := fmt.Sprintf("A lone edge triangle: sew it to %s when row %s is sewn", o.Label(to), o.Rows[r.Neighbour].Letters)
		if o.SeamKinds[seam.Kind].Under == sewing.Either {
			return words + "."
		}
		return words + "; " + d.underWords(join.First) + "."
	}
	return fmt.Sprintf("Sewn and pressed, its %s must measure %s %s, square to the seams; the row is %s wide.",
		words.Count(r.Diamonds, "diamond"), geometry.FormatLength(r.Length, u), words.RowEnds(r.RawEnds), geometry.FormatLength(p.Set.Width, u))
}

// neighbour says which row lies on a side, and the number of the join that sews
// it on.
func (d *sewingPen) neighbour(at geometry.Point, height float64, row, join int) {
	if row < 0 || row >= len(d.order.Rows) {
		return
	}
	d.Text(at, height, "row "+d.order.Rows[row].Letters)
	d.Text(geometry.Point{X: at.X, Y: at.Y - 1.6*height}, height, fmt.Sprintf("join %d", join+1))
}

func (d *sewingPen) pieceWords(i int) []string {
	pc := d.order.Pieces[i]
	var out []string
	if d.plan.Fewest.OK() {
		out = append(out, stripSet(d.plan, pc.StripSet))
	}
	out = append(out, words.LeanOf(pc.Lean))
	return append(out, words.Shape(pc.Shape))
}

// underWords says which piece lies underneath at a seam.
func (d *sewingPen) underWords(seam int) string {
	s := d.order.Seams[seam]
	k := &d.order.SeamKinds[s.Kind]
	if k.Under == sewing.Either {
		return "either way"
	}
	return d.order.Label(s.Pieces[k.Under]) + " underneath"
}
