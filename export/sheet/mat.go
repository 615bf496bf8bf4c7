// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"math"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// Mat draws every way in which the quilt's strip sets are cut, at true size:
// cut lines numbered in cutting order, the strip set's seams, labels and the
// calibration square. It returns false when no strip set is long enough for
// the pieces.
func Mat(p *quilt.Plan) (*draw.Drawing, bool) {
	if !p.Fewest.OK() {
		return nil, false
	}
	spec := p.Spec
	d := newPen(spec.Unit, spec.Name+": cut lines", "The strip sets at true size, their cut lines numbered in cutting order.")
	top := 0.0
	for _, like := range p.Alike() {
		top = d.stripSet(p, like, top) - d.In(0.5)
	}
	at := geometry.Point{Y: top - d.SquareSide()}
	d.Prove(at)
	for i, n := range []string{
		"Lay the strip set with its first strip nearest you. Cut along the lines in the order of their numbers.",
		"Cut one test piece first and measure it. " + words.CutAway,
		"Under a projector: never look into the lens.",
	} {
		d.Text(at.Add(geometry.Point{X: d.SquareSide() + d.In(0.5), Y: d.In(1.6 - 0.45*float64(i))}), d.In(0.18), n)
	}
	return d.Finish(d.In(0.5)), true
}

// stripSet draws strip sets that are cut alike, hanging from y = top, and
// returns how far down it reaches.
func (d *pen) stripSet(p *quilt.Plan, like quilt.Like, top float64) float64 {
	spec, big, row := p.Spec, d.In(0.24), p.Row(like.Layout)
	diamonds, lower, upper := row.Count()
	title := fmt.Sprintf("%s, %s, %s: %s from %s", words.StripSets(like), words.Way(like), words.Face(spec.Face), words.Pieces(diamonds, lower+upper), geometry.FormatLength(p.Set.Uses(like.Layout), spec.Unit))
	d.Text(geometry.Point{Y: top - big}, big, title)
	x, y := draw.TextWidth(title, big)+d.In(0.8), top-d.In(0.12)
	d.Arrow(geometry.Segment{A: geometry.Point{X: x, Y: y}, B: geometry.Point{X: x + d.In(2), Y: y}}, d.In(0.14), true)
	d.Text(geometry.Point{X: x + d.In(2.2), Y: y - d.In(0.08)}, d.In(0.16), "along the strips")

	low := top - d.In(0.8) - row.Set.Width
	cloth, start := Cloth(p, like, row)
	names, swatches := words.StripsAlike(p, like)
	length := like.Length
	for i := range cloth {
		band := &cloth[i]
		band.Min.Y, band.Max.Y = low+band.Min.Y, low+band.Max.Y
		at := geometry.Point{X: length + row.Set.Offset(len(row.Set.Cuts)-1) + d.In(0.75), Y: (band.Min.Y+band.Max.Y)/2 - d.In(0.09)}
		d.named(at, d.In(0.18), say(fmt.Sprintf("strip %d: %s", i+1, names[i]), swatches[i]))
	}
	d.cloth(cloth, like.Staggered)
	d.cuts(row, geometry.Point{X: start, Y: low}, cloth)
	return low - d.In(0.4)
}

// cloth draws the rim of the strip set and its seams. The strips of a
// staggered one end apart.
func (d *pen) cloth(strips []geometry.Rect, staggered bool) {
	if !staggered {
		d.Rect(draw.Mark, strips[0].Union(strips[len(strips)-1]))
	}
	seams := Seams(strips)
	for i, r := range strips {
		if staggered {
			d.Rect(draw.Mark, r)
		}
		if i > 0 {
			d.Segment(draw.Sew, seams[i-1])
		}
	}
}

// cuts draws the cut lines of a row that begins at at, each with its number:
// beside the line in the middle of the lowest strip, or, for a tip trim,
// outside the cloth.
func (d *pen) cuts(row strip.Row, at geometry.Point, strips []geometry.Rect) {
	big, small := d.In(0.24), d.In(0.12)
	cloth := strips[0].Union(strips[len(strips)-1])
	beside := cloth.Min.Y + row.Set.Bands()[0][1]/2
	last := [2]geometry.Point{{X: math.Inf(-1)}, {X: math.Inf(-1)}} // number below and above the cloth
	for _, c := range row.Cuts() {
		line, ok := cloth.Clip(c.Line.Move(at))
		if !ok {
			continue
		}
		path, number := d.Segment(draw.Cut, line), fmt.Sprint(c.Number)
		if c.Kind != strip.TipTrimCut {
			run := c.Line.B.Sub(c.Line.A)
			slant := run.X / run.Y
			x := at.X + c.Line.A.X + slant*(beside-cloth.Min.Y)
			clear := math.Abs(slant)*big/2 + d.In(0.1)
			d.Text(geometry.Point{X: x + clear, Y: beside - big/2}, big, number)
			continue
		}
		path.Thin = true
		mid := line.A.Add(line.B).Mul(0.5)
		side, away := 0, -d.In(0.2)
		mid.Y = cloth.Min.Y - d.In(0.1) - small
		if c.Line.A.Y+c.Line.B.Y > row.Set.Width {
			side, away = 1, d.In(0.2)
			mid.Y = cloth.Max.Y + d.In(0.1)
		}
		// Two trims side by side: the second number goes farther out.
		if math.Abs(mid.X-last[side].X) < draw.TextWidth(number, small) && math.Abs(mid.Y-last[side].Y) < small {
			mid.Y += away
		}
		last[side] = mid
		d.Centred(mid, small, number)
	}
}
