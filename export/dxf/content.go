// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// content is what goes into the file, fit to be written: the same for every
// form of writing.
type content struct {
	form    Form
	unit    geometry.Unit // of the drawing
	scale   float64       // file length per drawing length
	insUnit int           // $INSUNITS of the file
	page    geometry.Rect
	layers  []layer
	drawing group        // what is drawn outright
	blocks  []pieceBlock // what is drawn by inserting it, where it stands
	extents geometry.Rect
}

// layer is a line of the layer table. The colour is an index of the usual
// palette of 255, which all versions have.
type layer struct {
	name   string
	colour int
	dashed bool
}

const (
	green = 3
	blue  = 5
	white = 7 // black on a white ground
	grey  = 8
)

// $INSUNITS, of the DXF reference, HEADER section.
const (
	unitInch       = 1
	unitMillimetre = 4
	unitCentimetre = 5
)

type group struct {
	lines []line
	dots  []dot
	texts []label
}

type pieceBlock struct {
	name string // fit for any version
	group
}

// line is on a layer, by its index.
type line struct {
	layer  int
	points []geometry.Point
	closed bool
}

type dot struct {
	layer int
	at    geometry.Point
}

// label is text at the left end of its baseline.
type label struct {
	layer  int
	at     geometry.Point
	height float64
	turn   geometry.Angle
	value  string // in the code page
}

func newContent(s *draw.Drawing, form Form, layers []layer) *content {
	c := &content{form: form, unit: s.Unit, scale: 1, insUnit: unitInch, page: s.Page, layers: layers, extents: geometry.EmptyRect()}
	if s.Unit == geometry.Centimetre {
		c.insUnit = unitCentimetre
	}
	return c
}

// length returns a size that only serves the eye, in the file's unit.
func (c *content) length(inches, centimetres float64) float64 {
	return float64(c.unit.Of(inches, centimetres) * c.scale)
}

// The layers of a drawing, by role.
var drawingLayers = []layer{
	draw.Cut:    {name: "CUT", colour: white},
	draw.Sew:    {name: "SEW", colour: blue, dashed: true},
	draw.Mark:   {name: "MARK", colour: grey},
	draw.Square: {name: "SQUARE", colour: green},
}

// prepareDrawing takes the lines and the text of a drawing.
func prepareDrawing(s *draw.Drawing, form Form) (*content, error) {
	c := newContent(s, form, drawingLayers)
	g := &c.drawing
	g.lines = make([]line, 0, len(s.Paths)+1)
	names := make([]string, len(drawingLayers))
	for role := range names {
		names[role] = draw.Role(role).String() + " line"
	}
	for i, p := range s.Paths {
		if p.Role == draw.Figure {
			p.Role = draw.Mark
		}
		if err := c.addLine(g, int(p.Role), names[p.Role], i, p.Points, p.Closed); err != nil {
			return nil, err
		}
	}
	if s.Square != nil {
		err := c.addLine(g, int(draw.Square), "the calibration square", -1, s.Square.Rect().Polygon(), true)
		if err != nil {
			return nil, err
		}
	}
	texts := s.Texts
	if t, ok := sizeLabel(s); ok {
		texts = append(texts[:len(texts):len(texts)], t)
	}
	for i, t := range texts {
		if err := c.addText(g, int(draw.Mark), i, t); err != nil {
			return nil, err
		}
	}
	if c.extents.Empty() {
		c.extents = s.Page
	}
	return c, nil
}

// addLine adds a line in drawing coordinates.
func (c *content) addLine(g *group, layer int, name string, index int, points []geometry.Point, closed bool) error {
	points, err := export.Distinct(c.scaled(points), closed, export.DXFDecimals)
	if err != nil {
		if index >= 0 {
			name = fmt.Sprintf("%s %d", name, index+1)
		}
		return fmt.Errorf("%s %w", name, err)
	}
	if err := export.Finite(name, index, points...); err != nil {
		return err
	}
	g.lines = append(g.lines, line{layer, points, closed})
	c.extents = c.extents.Grow(points...)
	return nil
}

// scaled returns points in the file's unit.
func (c *content) scaled(points []geometry.Point) []geometry.Point {
	if c.scale == 1 {
		return points
	}
	out := make([]geometry.Point, len(points))
	for i, p := range points {
		out[i] = p.Mul(c.scale)
	}
	return out
}

// addText adds text, in the file's unit already. Centred text becomes text at
// the left end of its baseline: readers put centred text without a second
// point at the origin, and the library writes none (ixmilia/dxf#181,
// OSGeo/gdal#1779).
func (c *content) addText(g *group, layer, index int, t draw.Text) error {
	value := c.form.encode(t.Value)
	if value == "" {
		return nil
	}
	if !(t.Height > 0) {
		return fmt.Errorf("text %d (%q) has height %v", index+1, t.Value, t.Height)
	}
	if err := export.Finite("text", index, t.At, geometry.Point{X: t.Height, Y: float64(t.Turn)}); err != nil {
		return err
	}
	sin, cos := t.Turn.SinCos()
	along, up := geometry.Point{X: cos, Y: sin}, geometry.Point{X: -sin, Y: cos}
	width := textWidth(value, t.Height)
	at := t.At
	if t.Centred {
		at = at.Sub(along.Mul(width / 2))
	}
	g.texts = append(g.texts, label{layer, at, t.Height, t.Turn, value})
	right := at.Add(along.Mul(width))
	rise := up.Mul(t.Height)
	c.extents = c.extents.Grow(at, right, right.Add(rise), at.Add(rise))
	return nil
}

// sizeLabel returns the calibration square's size as text in the middle of
// it, unless the drawing already says it.
func sizeLabel(s *draw.Drawing) (draw.Text, bool) {
	q := s.Square
	if q == nil || q.Size == "" {
		return draw.Text{}, false
	}
	said := func(t draw.Text) bool { return strings.Contains(strings.ReplaceAll(t.Value, " ", ""), q.Size) }
	if slices.ContainsFunc(s.Texts, said) {
		return draw.Text{}, false
	}
	at := q.At.Add(geometry.Point{X: q.Side / 2, Y: float64(q.Side * 0.45)})
	return draw.Text{At: at, Height: q.Side / 10, Value: q.Size, Centred: true}, true
}
