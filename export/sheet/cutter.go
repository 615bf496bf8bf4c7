// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Cutter draws one piece of each kind that the quilt needs at true size, for
// a blade cutter or a die maker: outline, the strip set's seams, an arrow
// along the strips, a label, and the calibration square.
func Cutter(p *quilt.Plan) *draw.Drawing {
	spec := p.Spec
	d := newPen(spec.Unit, spec.Name+": pieces", "One piece of each kind at true size.")
	d.Machine = true
	gap, across, line := d.In(0.5), d.In(24), d.In(0.22)
	x, top, bottom := 0.0, 0.0, 0.0 // pieces hang from top
	for _, lean := range geometry.Leans {
		for _, shape := range geometry.Shapes {
			n := p.Need[lean][shape]
			if n == 0 {
				continue
			}
			labels := pieceLabels(p, shape, lean, n)
			piece := p.Piece(shape, lean)
			box := piece.Outline.Bounds()
			width := box.Width()
			for i := range labels {
				labels[i].Height = d.In(0.12)
				width = max(width, labels[i].Width(draw.Plain))
			}
			if x > 0 && x+width > across {
				x, top = 0, bottom-gap
			}
			piece = piece.Move(geometry.Point{X: x - box.Min.X, Y: top - box.Max.Y})
			d.piece(piece, p)
			d.part(labels[0].Value, n, piece, grain(piece.Outline, piece.Outline.Bounds().Centre().Y), values(labels[1:]))
			y := top - box.Height()
			for _, l := range labels {
				y -= line
				d.named(geometry.Point{X: x, Y: y}, l.Height, l)
			}
			bottom = min(bottom, y)
			x += width + gap
		}
	}
	side := d.SquareSide()
	at := geometry.Point{Y: bottom - gap - side}
	d.Prove(at)
	for i, line := range []string{words.MeasureSquare, words.TestPiece + " " + words.HandsClear, words.MakerSays} {
		d.Text(at.Add(geometry.Point{X: side + gap, Y: d.In(2.2 - 0.5*float64(i))}), d.In(0.18), line)
	}
	return d.Finish(d.In(0.5))
}

// piece draws outline, seams and the arrow along the strips, which lies in
// the middle of the widest strip.
func (d *pen) piece(piece geometry.Piece, p *quilt.Plan) {
	d.Path(draw.Cut, true, piece.Outline...)
	for _, s := range piece.Seams {
		d.Segment(draw.Sew, s)
	}
	widest := slices.MaxFunc(p.Set.Bands(), func(a, b [2]float64) int { return cmp.Compare(a[1]-a[0], b[1]-b[0]) })
	d.Arrow(grain(piece.Outline, piece.Outline.Bounds().Min.Y+(widest[0]+widest[1])/2), d.In(0.14), true)
}

func pieceLabels(p *quilt.Plan, shape geometry.Shape, lean geometry.Lean, n int) []draw.Named {
	u := p.Spec.Unit
	size := fmt.Sprintf("cut %s between strip edges, finished %s",
		geometry.FormatLength(p.Set.Width, u), geometry.FormatLength(p.Set.FinishedWidth(), u))
	return []draw.Named{
		say(words.Piece(p.Spec, shape, lean, 1)),
		say(size),
		say(fmt.Sprintf("cut %d, fabric %s", n, words.Face(p.Spec.Face))),
		say("strips from below: "+words.FromBelow(p.Spec), words.Swatches(p.Spec, words.KeysFromBelow(p.Spec)...)...),
	}
}
