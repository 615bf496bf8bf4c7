// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// Cutting says what is laid on a sheet for a cutter and how its cuts are
// drawn.
type Cutting struct {
	StripSets bool // cut from strip sets; else each piece from a single fabric
	Lines     bool // every cut line once, in cutting order; else each outline whole
}

// squareSides are the sides of a calibration square in inches and in
// centimetres, the largest first. One sheet gets the largest that it has
// room for.
var squareSides = [...][2]float64{{4, 10}, {2, 5}, {1, 2}}

// CutSheet draws sheet number (from 1) of a cutter's sheets at true size: the
// page is the sheet. Text lies inside the pieces and in the margin. The
// calibration square is nil where there is no room for it between the pieces;
// see [SquareSheet].
func CutSheet(p *quilt.Plan, s nest.Sheet, number int, c Cutting) *draw.Drawing {
	spec := p.Spec
	title := fmt.Sprintf("%s: sheet %d", spec.Name, number)
	d := newPen(spec.Unit, title, "Pieces for a cutter at true size. "+strings.Join(cautions(c), " "))
	d.Machine = true
	s = s.Seen(spec.Face)
	d.sheetRim(s.Bed)
	d.outlines(p, s, c)
	d.proveOn(s)
	words := []string{title, fmt.Sprintf("cut %d like it", s.Number), "fabric " + words.Face(spec.Face), "straight grain along the rows"}
	if s.Number == 1 {
		words[1] = "cut 1"
	}
	if d.Square == nil {
		words = append(words, "no room for a calibration square here: cut the one in the file square first")
	}
	d.inMargin(strings.Join(words, "; ")+".", s.Bed, s.Margin/2)
	d.inMargin(strings.Join(cautions(c), " "), s.Bed, s.Height-s.Margin/2)
	return d.Drawing
}

// SquareSheet draws the calibration square by itself, for sheets that have
// no room for it; ok is false when this one has none either.
func SquareSheet(spec quilt.Spec, bed nest.Bed) (s *draw.Drawing, ok bool) {
	d := newPen(spec.Unit, spec.Name+": calibration square", "Cut it from paper and measure it before you cut fabric.")
	d.Machine = true
	d.sheetRim(bed)
	d.proveOn(nest.Sheet{Bed: bed})
	d.inMargin("Cut this square from paper first and measure it.", bed, bed.Margin/2)
	return d.Drawing, d.Square != nil
}

// proveOn puts the largest calibration square that a sheet has room for, if
// it has room for any.
func (d *pen) proveOn(s nest.Sheet) {
	for _, side := range squareSides {
		if at, ok := s.Room(d.Unit.Of(side[0], side[1])); ok {
			d.ProveBy(at, d.Unit.Of(side[0], side[1]))
			return
		}
	}
}

func cautions(c Cutting) []string {
	out := []string{words.MeasureSquare, words.TestPiece, words.HandsClear + " " + words.MakerSays}
	if c.StripSets {
		out = append(out, words.ThickSeams)
	}
	return out
}

// sheetRim draws the sheet that the cutter takes, which is the page.
func (d *pen) sheetRim(b nest.Bed) {
	d.Page = geometry.Rect{Max: geometry.Point{X: b.Width, Y: b.Height}}
	d.Rect(draw.Mark, d.Page).Thin = true
}

// inMargin writes one line of text in the margin at height y, small enough
// to stay there. Without a margin there is no room for it.
func (d *pen) inMargin(words string, bed nest.Bed, y float64) {
	height := min(d.In(0.12), 0.45*bed.Margin)
	if w := draw.TextWidth(words, height); w > bed.Width-2*bed.Margin {
		height *= (bed.Width - 2*bed.Margin) / w
	}
	if height < d.In(0.01) {
		return
	}
	d.Text(geometry.Point{X: bed.Margin, Y: y - height/2}, height, words)
}

// outlines draws the pieces of a sheet, its cuts, seams and labels, and notes
// the pieces.
func (d *pen) outlines(p *quilt.Plan, s nest.Sheet, c Cutting) {
	if c.Lines {
		for _, l := range s.Lines() {
			d.Segment(draw.Cut, l.Segment)
		}
	}
	n := 0
	for _, r := range s.Rows {
		for i := range r.Pieces {
			n++
			piece := r.Piece(i)
			if !c.StripSets {
				piece.Seams = nil
			}
			if !c.Lines {
				d.Path(draw.Cut, true, piece.Outline...)
			}
			for _, seam := range piece.Seams {
				d.Segment(draw.Sew, seam)
			}
			name, labels := sheetLabels(p, piece, c)
			level := r.Row.Piece(i)
			d.labels(r, level, bands(p.Set, c), labels)
			along := grain(level.Outline, level.Outline.Bounds().Centre().Y)
			d.part(fmt.Sprintf("%d %s", n, name), 1, piece, geometry.Segment{A: r.Place(along.A), B: r.Place(along.B)}, values(labels))
		}
		if c.StripSets {
			// Where to lay the length of strip set: its two ends.
			g := r.Strip()
			d.Segment(draw.Mark, geometry.Segment{A: g[1], B: g[2]}).Thin = true
			d.Segment(draw.Mark, geometry.Segment{A: g[3], B: g[0]}).Thin = true
		}
	}
}

// bands returns what shows of each strip, or all of the width where a piece
// is cut from a single fabric.
func bands(set strip.Set, c Cutting) [][2]float64 {
	if c.StripSets {
		return set.Bands()
	}
	return [][2]float64{{0, set.Width}}
}

// part notes a piece for those who read it from the file.
func (d *pen) part(name string, number int, piece geometry.Piece, grain geometry.Segment, labels []string) {
	d.Parts = append(d.Parts, draw.Part{Name: name, Number: number, Outline: piece.Outline, Finished: piece.Finished, Seams: piece.Seams, Grain: grain, Labels: labels})
}

// grain returns a line along the strips, at the height y, in an outline whose
// strips lie level.
func grain(outline geometry.Polygon, y float64) geometry.Segment {
	s, _ := outline.Across(y)
	quarter := s.B.Sub(s.A).Mul(0.25)
	return geometry.Segment{A: s.A.Add(quarter), B: s.B.Sub(quarter)}
}

// sheetLabels names a piece that lies on a sheet and says its size, lean and
// fabric. Wrong side up it looks like the other lean, whose name it keeps.
func sheetLabels(p *quilt.Plan, piece geometry.Piece, c Cutting) (name string, labels []draw.Named) {
	spec := p.Spec
	shape := words.Shape(piece.Shape)
	name = words.Leaning(spec.Face.Seen(piece.Lean), piece.Shape)
	first := name
	if !c.StripSets && piece.Shape != geometry.Diamond && spec.Angle == 60 {
		name, first = shape, shape+", either lean"
	}
	labels = []draw.Named{say(first), say(fmt.Sprintf("cut %s, finished %s", geometry.FormatLength(p.Set.Width, spec.Unit), geometry.FormatLength(p.Set.FinishedWidth(), spec.Unit)))}
	fabrics, keys := words.OnWideSide(spec, piece.Shape), []string{words.WideSideKey(spec, piece.Shape)}
	switch {
	case !c.StripSets:
		fabrics, keys = words.AnyFabric(spec), spec.StripFabrics()
	case piece.Shape == geometry.Diamond:
		fabrics, keys = words.FromBelow(spec), words.KeysFromBelow(spec)
	}
	labels = append(labels, say(fabrics, words.Swatches(spec, keys...)...))
	if spec.Face == geometry.FaceDown {
		labels = append(labels, say(words.Face(spec.Face)))
	}
	return name, labels
}

// labels writes lines of text inside a piece that is given in its row's
// frame: in the band where they can be largest, clear of its outline and
// seams, along the row.
func (d *pen) labels(r nest.Row, piece geometry.Piece, bands [][2]float64, lines []draw.Named) {
	turn := r.Turn
	upsideDown := turn > 90 || turn <= -90
	if upsideDown {
		turn += 180
		lines = slices.Clone(lines)
		slices.Reverse(lines)
	}
	for height := d.In(0.12); height > d.In(0.005); height *= 0.9 {
		for _, b := range bands {
			at, ok := fitLines(piece.Outline, b, lines, height)
			if !ok {
				continue
			}
			for i, at := range at {
				if upsideDown {
					at.Y += height
				}
				l := lines[i]
				l.Turn, l.Centred = turn, true
				d.named(r.Place(at), height, l)
			}
			return
		}
	}
}

// fitLines returns where lines of text of that height, centred, fit into an
// outline between two heights.
func fitLines(g geometry.Polygon, band [2]float64, lines []draw.Named, height float64) (at []geometry.Point, ok bool) {
	const tries = 8
	pad, step := 0.5*height, 1.7*height
	block := float64(float64(len(lines)-1)*step) + height
	room := band[1] - band[0] - 2*pad - block
	if room < 0 {
		return nil, false
	}
	for k := range tries + 1 {
		// From the middle outwards.
		share := 0.5 + float64((k+1)/2)*(0.5-float64(k%2))/float64(tries/2)
		low := band[0] + pad + float64(room*share)
		at = at[:0]
		left, right := math.Inf(-1), math.Inf(1) // of a middle that all share
		for i, l := range lines {
			l.Height = height
			wide := l.Width(draw.Plain)
			y := low + float64(float64(len(lines)-1-i)*step)
			under, ok1 := g.Across(y - pad/2)
			over, ok2 := g.Across(y + height + pad/2)
			from, to := max(under.A.X, over.A.X)+pad, min(under.B.X, over.B.X)-pad
			if !ok1 || !ok2 || to-from < wide {
				break
			}
			at = append(at, geometry.Point{X: (from + to) / 2, Y: y})
			left, right = max(left, from+wide/2), min(right, to-wide/2)
		}
		if len(at) < len(lines) {
			continue
		}
		for i := range at {
			if left <= right {
				at[i].X = (left + right) / 2
			}
		}
		return at, true
	}
	return nil, false
}
