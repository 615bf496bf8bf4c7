// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/nest"
	"lozenge/geometry/quilt"
)

// Die draws a gang of pieces for a die maker at true size: the outlines, the
// direction of the strip under them, how wide a strip to feed, and the
// calibration square. what says what the die cuts.
func Die(p *quilt.Plan, s nest.Sheet, what string, c Cutting) *draw.Drawing {
	spec := p.Spec
	d := newPen(spec.Unit, spec.Name+": die for "+what, "A die at true size.")
	d.Machine = true
	s = s.Seen(spec.Face)
	d.outlines(p, s, c)
	rows := d.Box
	width := geometry.FormatLength(p.Set.Width, spec.Unit)
	cloth := "strips"
	if c.StripSets {
		cloth = "strip sets"
	}
	feed := fmt.Sprintf("feed %s %s wide, %s", cloth, width, words.Face(spec.Face))
	sewn := c.StripSets && len(spec.Strips) > 1
	var named [][]string
	if sewn {
		named = words.Swatches(spec, spec.Strips[0].Fabric)
		feed += ", " + words.Fabric(spec, spec.Strips[0].Fabric) + " below"
	}
	y := rows.Min.Y - d.In(0.4)
	d.Arrow(geometry.Segment{A: geometry.Point{X: rows.Min.X, Y: y}, B: geometry.Point{X: rows.Min.X + d.In(2), Y: y}}, d.In(0.14), true)
	d.Text(geometry.Point{X: rows.Min.X + d.In(2.2), Y: y - d.In(0.08)}, d.In(0.16), "along the strip")
	lines := []draw.Named{
		say("die for " + what),
		say(feed, named...),
		say(fmt.Sprintf("%s, gap %s", words.Count(len(d.Parts), "piece"), geometry.FormatLength(s.Gap, spec.Unit))),
	}
	if n := len(s.Rows); n > 1 {
		lines = append(lines, say(fmt.Sprintf("%d strips side by side, %s apart", n, geometry.FormatLength(s.Gap, spec.Unit))))
	}
	lines = append(lines, say("Check the calibration square before the die is made; cut one test piece first."))
	if sewn {
		lines = append(lines, say("Seams pressed open may be too thick: test first."))
	}
	y -= d.In(0.14)
	for _, l := range lines {
		y -= d.In(0.36)
		d.named(geometry.Point{X: rows.Min.X, Y: y}, d.In(0.16), l)
	}
	d.Prove(geometry.Point{X: rows.Min.X, Y: y - d.In(0.4) - d.SquareSide()})
	return d.Finish(d.In(0.5))
}
