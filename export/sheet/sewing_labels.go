// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// Sizes of the labels to cut apart, in inches. Words are read from a step away: their
// capitals are at least 4 mm high.
const (
	labelMargin = 0.35 // of the paper
	labelHead   = 0.3  // for the line at the top
	labelInset  = 0.1
	labelWords  = 0.16 // height of capitals
	labelPitch  = 0.235
)

// mostLabels is the most strip sets, or pieces, that get a label each.
const mostLabels = 5000

// mostNamed is how many pieces of a kind a label is given to name, far more than
// it has room for.
const mostNamed = 200

// slipLabel is one label: letters written large, or none, and lines of words.
type slipLabel struct {
	letters string
	lines   []draw.Named
}

// slipSize is how large labels of a kind are.
type slipSize struct{ wide, high float64 }

// lines returns how many lines of words a label holds.
func (s slipSize) lines(d *pen) int { return max(int((s.high-d.In(0.12))/d.In(labelPitch)), 1) }

// SewingLabels draws labels to cut apart and pin on the rows, then on the piles
// of pieces, one label for each strip set (of up to 5000), then on the pieces (likewise), on
// pages of paper of that size in the pattern's unit. On small paper labels are
// smaller.
func SewingLabels(p *quilt.Plan, o *sewing.Order, paper quilt.Size) []*draw.Drawing {
	in := p.Spec.Unit.FromInches
	size := func(wide, high float64) slipSize {
		return slipSize{min(in(wide), paper.Width-in(2*labelMargin)), min(in(high), paper.Height-in(2*labelMargin+labelHead))}
	}
	var rows, piles, pieces []slipLabel
	for i, r := range o.Rows {
		rows = append(rows, slipLabel{r.Letters, rowLabel(o, i)})
	}
	for left := o.Piles(); len(left) > 0 && len(p.Fewest.Layouts) <= mostLabels; {
		n := 1
		for n < len(left) && left[n].StripSet == left[0].StripSet {
			n++
		}
		piles = append(piles, slipLabel{lines: pileLabel(p, o, left[:n])})
		left = left[n:]
	}
	if len(o.Pieces) <= mostLabels {
		for i := range o.Pieces {
			pieces = append(pieces, slipLabel{lines: pieceLabel(p, o, i)})
		}
	}
	var out []*draw.Drawing
	for _, part := range []struct {
		what   string
		size   slipSize
		labels []slipLabel
	}{{"rows", size(3.85, 1.4), rows}, {"piles", size(3.85, 1.95), piles}, {"pieces", size(1.9, 0.84), pieces}} {
		columns := max(int((paper.Width-in(2*labelMargin)+geometry.Fit)/part.size.wide), 1)
		lines := max(int((paper.Height-in(2*labelMargin+labelHead)+geometry.Fit)/part.size.high), 1)
		for from := 0; from < len(part.labels); from += columns * lines {
			d := newPen(p.Spec.Unit, fmt.Sprintf("%s: labels, page %d", p.Spec.Name, len(out)+1), "Labels to cut apart and pin on rows, piles and pieces.")
			if from == 0 {
				d.Heading = words.Capital(part.what)
			}
			d.Page = geometry.Rect{Max: geometry.Point{X: paper.Width, Y: paper.Height}}
			head := draw.Plain.Shorten("Cut apart and pin on the "+part.what+": "+p.Spec.Name, in(labelWords), paper.Width-in(2*labelMargin))
			d.Text(geometry.Point{X: in(labelMargin), Y: paper.Height - in(labelMargin+labelWords)}, in(labelWords), head)
			d.labelPage(part.labels[from:min(from+columns*lines, len(part.labels))], columns, part.size, geometry.Point{X: in(labelMargin), Y: paper.Height - in(labelMargin+labelHead)})
			out = append(out, d.Drawing)
		}
	}
	return out
}

// labelPage lays labels out line by line, the first in the corner whose upper
// left is at. Neighbours share a line, which is drawn once.
func (d *pen) labelPage(labels []slipLabel, columns int, size slipSize, at geometry.Point) {
	right, down := geometry.Point{X: size.wide}, geometry.Point{Y: -size.high}
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
			// An M is nearly twice as wide as an E.
			wide := max(draw.Loose.Width(l.letters, 1), draw.TextWidth(l.letters, 1))
			big := min(d.In(0.4), d.In(0.9)/wide)
			d.Text(geometry.Point{X: left, Y: a.Y - (size.high+big)/2}, big, l.letters)
			left += wide*big + d.In(0.1)
		}
		d.labelLines(geometry.Point{X: left, Y: a.Y}, b.X-d.In(labelInset)-left, size.lines(d), l.lines)
	}
}

// labelLines writes lines that hang from at, each in as many as the width takes, but
// what stands behind swatches in one, cut short; swatches that take more than half of
// it have one to themselves. What has no room stands in the sewing order.
func (d *pen) labelLines(at geometry.Point, width float64, most int, lines []draw.Named) {
	height := d.In(labelWords)
	var all []draw.Named
	for _, line := range lines {
		room := width - draw.SwatchesWidth(line.Swatches, height)
		switch {
		case len(line.Swatches) == 0:
			for _, text := range draw.Plain.Wrap(line.Value, height, width) {
				all = append(all, say(text))
			}
		case room < width/2:
			all = append(all, say("", line.Swatches...), say(draw.Plain.Shorten(line.Value, height, width)))
		default:
			all = append(all, say(draw.Plain.Shorten(line.Value, height, room), line.Swatches...))
		}
	}
	if len(all) > most && most > 1 {
		all = append(all[:most-1], say(draw.Plain.Shorten("more: sewing.txt", height, width)))
	}
	at.Y -= d.In(0.08)
	for _, line := range all[:min(len(all), most)] {
		h := height
		if line.Value == "" { // no words, which keep their size
			h *= min(1, width/draw.SwatchesWidth(line.Swatches, h))
		}
		d.named(geometry.Point{X: at.X, Y: at.Y - height}, h, line)
		at.Y -= d.In(labelPitch)
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
	k := piles[0].StripSet
	out := []draw.Named{say("pieces")}
	if p.Fewest.OK() {
		out = []draw.Named{say(stripSet(p, k)), say(words.PieceFabrics(p, k), coloursOfSet(p, k)...)}
	}
	for _, pile := range piles {
		n := len(pile.Pieces)
		text := []string{fmt.Sprintf("%d %s:", n, words.Piece(p.Spec, pile.Shape, pile.Lean, n))}
		for _, piece := range pile.Pieces[:min(n, mostNamed)] {
			text = append(text, o.Label(piece))
		}
		out = append(out, say(strings.Join(text, " ")))
	}
	return out
}

// pieceLabel says where a piece goes and what it is cut from, behind a swatch.
func pieceLabel(p *quilt.Plan, o *sewing.Order, i int) []draw.Named {
	k := o.Pieces[i].StripSet
	out := []draw.Named{say(o.Label(i), coloursOfSet(p, k)...)}
	if p.Fewest.OK() {
		out = append(out, say(stripSet(p, k)))
	}
	return out
}

func stripSet(p *quilt.Plan, k int) string {
	return fmt.Sprintf("%s %d", words.StripSet(p.Spec), k+1)
}

// coloursOfSet returns a swatch of each colour of strip set k.
func coloursOfSet(p *quilt.Plan, k int) (out [][]string) {
	for _, c := range p.Colours(k) {
		out = append(out, []string{c.String()})
	}
	return out
}
