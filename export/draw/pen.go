// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"slices"
	"strings"

	"lozenge/geometry"
)

// Pen collects what is drawn. Sizes that only serve the eye are given in inches
// and drawn in the drawing's unit.
type Pen struct {
	*Drawing
	Box geometry.Rect // of all lines and text so far
}

// NewPen begins a drawing at true size, its cut lines 1/64 in wide.
func NewPen(unit geometry.Unit, title, note string) *Pen {
	p := &Pen{Drawing: &Drawing{Title: title, Note: note, Unit: unit, Scale: 1}, Box: geometry.EmptyRect()}
	p.Line = p.In(1. / 64)
	return p
}

// In returns a number of inches in the drawing's unit.
func (p *Pen) In(inches float64) float64 { return p.Unit.FromInches(inches) }

// Path draws a line or an outline.
func (p *Pen) Path(role Role, closed bool, points ...geometry.Point) *Path {
	p.Box = p.Box.Grow(points...)
	p.Paths = append(p.Paths, Path{Role: role, Points: points, Closed: closed})
	return &p.Paths[len(p.Paths)-1]
}

// Segment draws a straight line.
func (p *Pen) Segment(role Role, s geometry.Segment) *Path { return p.Path(role, false, s.A, s.B) }

// Rect draws the outline of a rectangle.
func (p *Pen) Rect(role Role, r geometry.Rect) *Path {
	return p.Path(role, true, r.Polygon()...)
}

// mostInFill bounds the polygons of one Fill. It becomes one attribute in an
// SVG, and readers of XML refuse an attribute of more than 10 million bytes
// (libxml2).
const mostInFill = 20_000

// Fill adds polygons of one colour.
func (p *Pen) Fill(colour string, polygons []geometry.Polygon) {
	for part := range slices.Chunk(polygons, mostInFill) {
		p.Fills = append(p.Fills, Fill{Colour: colour, Polygons: part})
	}
}

// Text puts a text with the left end of its baseline at at.
func (p *Pen) Text(at geometry.Point, height float64, value string) {
	p.Put(Text{At: at, Height: height, Value: value})
}

// Centred puts a text with the middle of its baseline at at.
func (p *Pen) Centred(at geometry.Point, height float64, value string) {
	p.Put(Text{At: at, Height: height, Value: value, Centred: true})
}

// Put puts a text.
func (p *Pen) Put(t Text) {
	p.Box = p.Box.Grow(t.Outline(Plain, 1./3)...)
	p.Texts = append(p.Texts, t)
}

// Arrow draws an arrow on the Mark role with a head so long at its end, or at
// both.
func (p *Pen) Arrow(s geometry.Segment, head float64, both bool) {
	p.Segment(Mark, s)
	p.Head(Mark, s, head, head/2)
	if both {
		p.Head(Mark, geometry.Segment{A: s.B, B: s.A}, head, head/2)
	}
}

// Head draws the head of an arrow at the end of a line, so long and to both sides
// so wide.
func (p *Pen) Head(role Role, s geometry.Segment, long, wide float64) *Path {
	back := s.A.Sub(s.B)
	back = back.Mul(1 / back.Len())
	foot, side := s.B.Add(back.Mul(long)), geometry.Point{X: -back.Y, Y: back.X}.Mul(wide)
	return p.Path(role, false, foot.Add(side), s.B, foot.Sub(side))
}

// SquareSide is the side of the calibration square: 4 in, or 10 cm.
func (p *Pen) SquareSide() float64 { return p.Unit.Of(4, 10) }

// Prove puts the calibration square with its lower-left corner at at, with
// words inside.
func (p *Pen) Prove(at geometry.Point) { p.ProveBy(at, p.SquareSide()) }

// ProveBy puts a calibration square of another side.
func (p *Pen) ProveBy(at geometry.Point, side float64) {
	words := geometry.FormatLength(side, p.Unit)
	p.Square = &CalibrationSquare{At: at, Side: side, Size: strings.ReplaceAll(words, " ", "")}
	p.Box = p.Box.Union(p.Square.Rect())
	mid := at.Add(geometry.Point{X: side / 2, Y: side / 2})
	small := min(side/p.SquareSide(), 1)
	line, height := geometry.Point{Y: p.In(0.3 * small)}, p.In(0.16*small)
	p.Centred(mid.Add(line), height, "calibration square")
	p.Centred(mid, height, words+" each way")
	p.Centred(mid.Sub(line), height, "measure it before you cut")
}

// Finish sets the page: all that was drawn and a margin.
func (p *Pen) Finish(margin float64) *Drawing {
	p.Page = p.Box.Inset(-margin)
	return p.Drawing
}
