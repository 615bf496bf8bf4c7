// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"image/color"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/colour"
	"lozenge/geometry/quilt"
)

// pictureLong is the longer side of a picture's quilt on paper, in inches, so
// that it fits a letter or A4 page.
const pictureLong = 7.5

// pictureWords is the least width in which the words below a picture are set.
const pictureWords = 5.2

// Picture draws the finished, squared-up quilt in colour, with its seams, its
// name and size, and its fabrics. It is not at true size.
func Picture(p *quilt.Plan) *draw.Drawing {
	return picture(p, nil)
}

// Grey gives everything in a drawing the grey that is as light as its colour: what
// runs together then runs together from across the room. The error is that of
// [draw.Drawing.Recolour].
func Grey(d *draw.Drawing) error {
	return d.Recolour(func(c color.RGBA) color.RGBA {
		v := colour.Grey(colour.RGB{c.R, c.G, c.B})
		return color.RGBA{v[0], v[1], v[2], c.A}
	})
}

// LabelledPicture draws the same with the number of its strip set on every
// piece, the paper being as large as that takes. It returns false when no
// strip set is long enough for the pieces.
func LabelledPicture(p *quilt.Plan) (*draw.Drawing, bool) {
	if !p.Fewest.OK() {
		return nil, false
	}
	return picture(p, newLabels(p)), true
}

func picture(p *quilt.Plan, labels *labels) *draw.Drawing {
	spec := p.Spec
	d := newPen(spec.Unit, spec.Name, "The finished quilt in colour, not at true size.")
	frame := p.Frame()
	// From here on one drawn "inch" is an inch of paper.
	paper := max(frame.Width(), frame.Height()) / pictureLong
	if labels != nil && labels.height > 0 {
		paper = min(paper, labels.height/labelHeight)
	}
	d.Scale = d.In(1) / paper
	d.Line = paper / 96

	d.fills(p, frame)
	for _, s := range p.Seams() {
		d.Segment(draw.Mark, s).Thin = true
	}
	d.Rect(draw.Mark, frame)
	if labels != nil {
		for _, t := range labels.texts(labelMost * paper) {
			d.Put(t)
		}
	}

	// Words take further lines rather than more width, so that the quilt is not
	// drawn smaller for them.
	line, room := 0.2*paper, max(frame.Width(), pictureWords*paper)
	y := d.wrapped(geometry.Point{Y: frame.Min.Y - 0.35*line}, 0.16*paper, room, spec.Name)
	y = d.wrapped(geometry.Point{Y: y - 0.4*line}, 0.1*paper, room, fmt.Sprintf("%s wide, %s high when finished; %s, %s, %s",
		geometry.FormatLength(p.Finished.Width, spec.Unit), geometry.FormatLength(p.Finished.Height, spec.Unit),
		words.Count(p.Columns, "column"), words.Count(p.Rows, "row"), words.Layout(spec)))
	for _, f := range usedFabrics(spec) {
		y -= 1.3 * line
		x := 0.2 * paper * float64(len(f.Colours))
		d.Swatch(geometry.Point{Y: y - 0.03*paper}, 0, x, 0.17*paper, words.Swatches(spec, f.Key)[0])
		name := words.Cloth(spec, f.Key)
		if len(f.Colours) > 1 {
			if all := name + ": " + words.List(spec.ColourList(f.Key)); x+0.1*paper+draw.TextWidth(all, 0.1*paper) <= room {
				name = all
			}
		}
		y = d.wrapped(geometry.Point{X: x + 0.1*paper, Y: y + 0.155*paper}, 0.1*paper, max(room-x-0.1*paper, 2*paper), name)
	}
	if labels != nil {
		y -= 0.3 * line
		for i, words := range labels.legend() {
			y -= 1.3 * line
			if i == 0 {
				box := geometry.Rect{Min: geometry.Point{Y: y - 0.03*paper}, Max: geometry.Point{X: 0.2 * paper, Y: y + 0.14*paper}}
				d.Rect(draw.Mark, box)
				d.Centred(geometry.Point{X: 0.1 * paper, Y: y + 0.015*paper}, 0.08*paper, "7")
			}
			y = d.wrapped(geometry.Point{X: 0.3 * paper, Y: y + 0.155*paper}, 0.1*paper, room-0.3*paper, words)
		}
	}
	return d.Finish(0.25 * paper)
}

// usedFabrics returns the fabrics of the strips, each once, lowest first.
func usedFabrics(s quilt.Spec) []quilt.Fabric {
	var out []quilt.Fabric
	for _, st := range s.Strips {
		for _, f := range s.Fabrics {
			if f.Key == st.Fabric && !slices.ContainsFunc(out, func(o quilt.Fabric) bool { return o.Key == f.Key }) {
				out = append(out, f)
			}
		}
	}
	return out
}

// fills adds what shows of every strip in every piece, one Fill a colour.
func (d *pen) fills(p *quilt.Plan, frame geometry.Rect) {
	kinds, of := p.Standings()
	colours := colours(p)
	byColour := map[quilt.Colour][]geometry.Polygon{}
	for k, pl := range p.Pieces {
		at := p.Centre(pl)
		side := pl.Column == 0 || pl.Column == p.Columns-1
		for i, patch := range kinds[of[k]].Patches {
			g := patch.Move(at)
			if side {
				g = g.Within(frame)
			}
			if g != nil {
				c := colours[pl.StripSet][i]
				byColour[c] = append(byColour[c], g)
			}
		}
	}
	d.pour(byColour)
	d.Box = d.Box.Union(frame)
}
