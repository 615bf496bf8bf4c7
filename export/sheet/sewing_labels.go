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

// Sizes of the labels to cut apart, in inches.
const (
	labelWide   = 2.5
	labelHigh   = 1.05
	labelMargin = 0.35 // of the paper
	labelInset  = 0.1
	labelWords  = 0.075 // height of capitals
	labelLines  = 6     // of words below the first
)

// slipLabel is one label: letters written large, or none, and lines of words.
type slipLabel struct {
	letters string
	lines   []draw.Named
}

// SewingLabels draws labels to cut apart and pin on the rows, then on the piles
// of pieces, one label for each strip set, on pages of paper of that size in
// the pattern's unit. Paper that is smaller than a label has one on each page.
func SewingLabels(p *quilt.Plan, o *sewing.Order, paper quilt.Size) []*draw.Drawing {
	var labels []slipLabel
	for i, r := range o.Rows {
		labels = append(labels, slipLabel{r.Letters, rowLabel(o, i)})
	}
	for piles := o.Piles(); len(piles) > 0; {
		n := 1
		for n < len(piles) && piles[n].StripSet == piles[0].StripSet {
			n++
		}
		labels = append(labels, slipLabel{lines: pileLabel(p, o, piles[:n])})
		piles = piles[n:]
	}
	in := p.Spec.Unit.FromInches
	columns := max(int((paper.Width-in(2*labelMargin))/in(labelWide)), 1)
	lines := max(int((paper.Height-in(2*labelMargin+0.2))/in(labelHigh)), 1)
	var out []*draw.Drawing
	for from := 0; from < len(labels); from += columns * lines {
		d := newPen(p.Spec.Unit, fmt.Sprintf("%s: labels, page %d", p.Spec.Name, len(out)+1), "Labels to cut apart and pin on rows and piles.")
		d.Page = geometry.Rect{Max: geometry.Point{X: paper.Width, Y: paper.Height}}
		words := p.Spec.Name + ": labels for rows and piles. Cut them apart and pin them on."
		d.Text(geometry.Point{X: in(labelMargin), Y: paper.Height - in(labelMargin)}, min(in(0.08), (paper.Width-in(2*labelMargin))/draw.TextWidth(words, 1)), words)
		d.labelPage(labels[from:min(from+columns*lines, len(labels))], columns, geometry.Point{X: in(labelMargin), Y: paper.Height - in(labelMargin+0.2)})
		out = append(out, d.Drawing)
	}
	return out
}

// labelPage lays labels out line by line, the first in the corner whose upper
// left is at. Neighbours share a line, which is drawn once.
func (d *pen) labelPage(labels []slipLabel, columns int, at geometry.Point) {
	right, down := geometry.Point{X: d.In(labelWide)}, geometry.Point{Y: -d.In(labelHigh)}
	for k, l := range labels {
		a := at.Add(right.Mul(float64(k % columns))).Add(down.Mul(float64(k / columns)))
		b, c := a.Add(right), a.Add(down)
		if k < columns {
			d.Segment(draw.Mark, geometry.Segment{A: a, B: b})
		}
		d.Segment(draw.Mark, geometry.Segment{A: a, B: c})
		d.Segment(draw.Mark, geometry.Segment{A: c, B: c.Add(right)})
		if k%columns == columns-1 || k == len(labels)-1 {
			d.Segment(draw.Mark, geometry.Segment{A: b, B: b.Add(down)})
		}
		left := a.X + d.In(labelInset)
		if l.letters != "" {
			big := min(d.In(0.4), d.In(0.9)/draw.TextWidth(l.letters, 1))
			d.Text(geometry.Point{X: left, Y: a.Y - (d.In(labelHigh)+big)/2}, big, l.letters)
			left += draw.TextWidth(l.letters, big) + d.In(0.15)
		}
		d.labelLines(geometry.Point{X: left, Y: a.Y}, b.X-d.In(labelInset)-left, l.lines)
	}
}

// labelLines writes lines that hang from at, the first larger; one that is too
// wide is made smaller.
func (d *pen) labelLines(at geometry.Point, width float64, lines []draw.Named) {
	at.Y -= d.In(0.07)
	for i, line := range lines {
		line.Height = d.In(labelWords)
		if i == 0 {
			line.Height = d.In(0.11)
		}
		at.Y -= line.Height
		d.named(at, line.Height*min(1, width/line.Width(draw.Plain)), line)
		at.Y -= d.In(0.058)
	}
}

func rowLabel(o *sewing.Order, i int) []draw.Named {
	r := o.Rows[i]
	out := []draw.Named{say("row " + r.Letters), say(words.Count(r.Number, "piece") + ", " + r.Letters + "1 at the lower left")}
	if r.Lone {
		return []draw.Named{out[0], say("a lone edge triangle:"), say("sew it to row " + o.Rows[r.Neighbour].Letters + " last")}
	}
	if j := o.JoinAfter(i - 1); j >= 0 {
		out = append(out, say(fmt.Sprintf("join %d sews it to row %s", j+1, o.Rows[i-1].Letters)))
	}
	if j := o.JoinAfter(i); j >= 0 {
		out = append(out, say(fmt.Sprintf("join %d sews it to row %s", j+1, o.Rows[i+1].Letters)))
	}
	return out
}

// pileLabel names the piles of one strip set, its colours, and the places of their
// pieces.
func pileLabel(p *quilt.Plan, o *sewing.Order, piles []sewing.Pile) []draw.Named {
	const width = (labelWide - 2*labelInset) / labelWords // of a line, in heights of its letters
	k := piles[0].StripSet
	out, most := []draw.Named{say("pieces")}, labelLines
	if p.Fewest.OK() {
		var swatches [][]string
		for _, c := range p.Colours(k) {
			swatches = append(swatches, []string{c.String()})
		}
		colours := say("", swatches...)
		if room := width - draw.SwatchesWidth(swatches, 1); room > width/2 {
			colours.Value = draw.Plain.Shorten(words.PieceFabrics(p, k), 1, room)
		}
		out, most = []draw.Named{say(fmt.Sprintf("%s %d", words.StripSet(p.Spec), k+1)), colours}, labelLines-1
	}
	var lines []string
	for _, pile := range piles {
		k := o.Kinds[pile.Kind].Piece
		n := len(pile.Pieces)
		text := fmt.Sprintf("%d %s:", n, words.Piece(p.Spec, k.Shape, k.Lean, n))
		for _, piece := range pile.Pieces {
			text += " " + o.Label(piece)
		}
		lines = append(lines, draw.Plain.Wrap(text, 1, width)...)
	}
	if len(lines) > most {
		lines = append(lines[:most-1], "and more: see sewing.txt")
	}
	for _, l := range lines {
		out = append(out, say(l))
	}
	return out
}
