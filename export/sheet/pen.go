// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"slices"
	"strings"

	"lozenge/geometry"
)

// pen collects what is drawn on a sheet. Sizes that only serve the eye are
// given in inches and drawn in the sheet's unit.
type pen struct {
	*Sheet
	box geometry.Rect // of all lines and text so far
}

func newPen(unit geometry.Unit, title, note string) *pen {
	p := &pen{Sheet: &Sheet{Title: title, Note: note, Unit: unit, Scale: 1}, box: geometry.EmptyRect()}
	p.Line = p.in(1. / 64)
	return p
}

// in returns a number of inches in the sheet's unit.
func (p *pen) in(inches float64) float64 { return p.Unit.FromInches(inches) }

func (p *pen) path(role Role, closed bool, points ...geometry.Point) *Path {
	p.box = p.box.Grow(points...)
	p.Paths = append(p.Paths, Path{Role: role, Points: points, Closed: closed})
	return &p.Paths[len(p.Paths)-1]
}

func (p *pen) line(role Role, s geometry.Segment) *Path { return p.path(role, false, s.A, s.B) }

func (p *pen) rect(role Role, r geometry.Rect) *Path {
	return p.path(role, true, r.Polygon()...)
}

// advance is how wide a character of a plain sans-serif face is taken to be,
// on the generous side, per height of its capitals: about 0.55 em of 0.72 em
// (common practice, no source).
const advance = 0.76

// TextWidth returns the width that a text of the given cap height is taken
// to need.
func TextWidth(value string, height float64) float64 {
	return float64(len([]rune(value))) * height * advance
}

// mostInFill bounds the polygons of one Fill. It becomes one attribute in an
// SVG, and readers of XML refuse an attribute of more than 10 million bytes
// (libxml2).
const mostInFill = 20_000

// fill adds polygons of one colour.
func (p *pen) fill(colour string, polygons []geometry.Polygon) {
	for part := range slices.Chunk(polygons, mostInFill) {
		p.Fills = append(p.Fills, Fill{colour, part})
	}
}

func (p *pen) text(at geometry.Point, height float64, value string) {
	p.put(Text{At: at, Height: height, Value: value})
}

func (p *pen) centred(at geometry.Point, height float64, value string) {
	p.put(Text{At: at, Height: height, Value: value, Centred: true})
}

func (p *pen) put(t Text) {
	left, w := t.At.X, TextWidth(t.Value, t.Height)
	if t.Centred {
		left -= w / 2
	}
	sin, cos := t.Turn.SinCos()
	for _, x := range []float64{left - t.At.X, left - t.At.X + w} {
		for _, y := range []float64{-t.Height / 3, t.Height} {
			p.box = p.box.Grow(geometry.Point{
				X: t.At.X + float64(x*cos) - float64(y*sin),
				Y: t.At.Y + float64(x*sin) + float64(y*cos),
			})
		}
	}
	p.Texts = append(p.Texts, t)
}

// arrow draws an arrow on the Mark role with a head at its end, or at both.
func (p *pen) arrow(s geometry.Segment, both bool) {
	p.line(Mark, s)
	ends := []geometry.Segment{s}
	if both {
		ends = append(ends, geometry.Segment{A: s.B, B: s.A})
	}
	for _, e := range ends {
		back := e.A.Sub(e.B)
		back = back.Mul(p.in(0.14) / back.Len())
		side := geometry.Point{X: -back.Y / 2, Y: back.X / 2}
		p.path(Mark, false, e.B.Add(back).Add(side), e.B, e.B.Add(back).Sub(side))
	}
}

// squareSide is the side of the calibration square: 4 in, or 10 cm.
func (p *pen) squareSide() float64 { return p.Unit.Of(4, 10) }

// square puts the calibration square with its lower-left corner at at, with
// words inside.
func (p *pen) square(at geometry.Point) { p.squareOf(at, p.squareSide()) }

// squareOf puts a calibration square of another side.
func (p *pen) squareOf(at geometry.Point, side float64) {
	words := geometry.FormatLength(side, p.Unit)
	p.Square = &CalibrationSquare{At: at, Side: side, Size: strings.ReplaceAll(words, " ", "")}
	p.box = p.box.Grow(at, at.Add(geometry.Point{X: side, Y: side}))
	mid := at.Add(geometry.Point{X: side / 2, Y: side / 2})
	small := min(side/p.squareSide(), 1)
	line, height := geometry.Point{Y: p.in(0.3 * small)}, p.in(0.16*small)
	p.centred(mid.Add(line), height, "calibration square")
	p.centred(mid, height, words+" each way")
	p.centred(mid.Sub(line), height, "measure it before you cut")
}

// finish sets the page: all that was drawn and a margin.
func (p *pen) finish(margin float64) *Sheet {
	p.Page = p.box.Inset(-margin)
	return p.Sheet
}
