// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// The sewn-products form, after ASTM D6673 (2001 to 2010, withdrawn 2019):
// a block for each piece and text that says "KEY: value".
//
// What is known of it comes from secondary sources, not from the standard
// itself: the numbers of the layers, and that text says UNITS: ENGLISH or
// METRIC. Which length a metric file has is in none of them. Millimetres are
// taken: $MEASUREMENT, all that a drawing of that age says about its unit,
// chooses between inches and millimetres, so whoever goes by it, by $INSUNITS
// or by the text reads the same true size. A drawing in centimetres is
// therefore written ten times as large in numbers.
//
// The frame is that of R12, which every version since reads, rather than the
// Release 13 of the standard.

// ErrNoPieces says that a drawing has no whole pieces to make blocks of.
var ErrNoPieces = errors.New("the sheet has no whole pieces, and the sewn-products form holds nothing else; " +
	"write it as ac1015 or r12")

// Layers by what is on them.
const (
	boundary = iota
	notches
	grainLine
	internal // lines, drawn and not cut: the strip set's seams
	sewLine
	annotation
)

var sewnLayers = []layer{
	boundary:   {name: "1", colour: white},
	notches:    {name: "4", colour: white},
	grainLine:  {name: "7", colour: grey},
	internal:   {name: "8", colour: blue, dashed: true},
	sewLine:    {name: "14", colour: blue, dashed: true},
	annotation: {name: "15", colour: grey},
}

// prepareSewn takes the pieces of a drawing and the calibration square, a piece
// of its own. Everything keeps its place on the drawing; a block is inserted
// where it was drawn, so a reader that only looks into the blocks sees true
// coordinates too.
func prepareSewn(s *draw.Drawing) (*content, error) {
	if len(s.Parts) == 0 {
		return nil, ErrNoPieces
	}
	c := newContent(s, SewnProducts, sewnLayers)
	units := "ENGLISH"
	if s.Unit == geometry.Centimetre {
		c.scale, c.insUnit, units = 10, unitMillimetre, "METRIC"
		c.page = geometry.Rect{Min: c.page.Min.Mul(c.scale), Max: c.page.Max.Mul(c.scale)}
	}
	c.blocks = make([]pieceBlock, 0, len(s.Parts)+1)
	names := blockNames{}
	for i, p := range s.Parts {
		if err := c.addPiece(names, p); err != nil {
			return nil, fmt.Errorf("piece %d (%q): %w", i+1, p.Name, err)
		}
	}
	if q := s.Square; q != nil {
		p := draw.Part{Name: "calibration square", Number: 1, Outline: q.Rect().Polygon()}
		if q.Size != "" {
			p.Labels = []string{q.Size}
		}
		if err := c.addPiece(names, p); err != nil {
			return nil, fmt.Errorf("the calibration square: %w", err)
		}
	}
	// Under the pieces.
	height := c.length(0.125, 0.3)
	corner := c.extents.Min
	for i, text := range []string{"STYLE NAME: " + s.Title, "UNITS: " + units} {
		at := corner.Sub(geometry.Point{Y: float64(float64(i+2) * 2 * height)})
		if err := c.addText(&c.drawing, annotation, i, draw.Text{At: at, Height: height, Value: text}); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// addPiece adds a block. All text is on the layer for annotation, so that
// nothing but outlines is on the one that is cut.
func (c *content) addPiece(names blockNames, p draw.Part) error {
	if p.Number < 1 {
		return fmt.Errorf("the number to cut is %d", p.Number)
	}
	b := pieceBlock{name: names.unique(p.Name)}
	g := &b.group
	if err := c.addLine(g, boundary, "the outline", -1, p.Outline, true); err != nil {
		return err
	}
	if len(p.Finished) > 0 {
		if err := c.addLine(g, sewLine, "the sew line", -1, p.Finished, true); err != nil {
			return err
		}
	}
	for i, seam := range p.Seams {
		if err := c.addLine(g, internal, "seam", i, []geometry.Point{seam.A, seam.B}, false); err != nil {
			return err
		}
		// The seams end on the outline: a notch at each end.
		ends := g.lines[len(g.lines)-1].points
		g.dots = append(g.dots, dot{notches, ends[0]}, dot{notches, ends[1]})
	}
	if p.Grain != (geometry.Segment{}) {
		if err := c.addLine(g, grainLine, "the grain line", -1, []geometry.Point{p.Grain.A, p.Grain.B}, false); err != nil {
			return err
		}
	}
	texts := append([]string{"PIECE NAME: " + p.Name, "QUANTITY: " + strconv.Itoa(p.Number)}, p.Labels...)
	if err := c.addColumn(g, texts, p); err != nil {
		return err
	}
	c.blocks = append(c.blocks, b)
	return nil
}

// addColumn writes lines of text along the middle of the grain line, half of
// them above it and half below, no longer than the grain line and clear of
// seams and edges. A piece without a grain line has them in its middle.
func (c *content) addColumn(g *group, lines []string, p draw.Part) error {
	box := p.Outline.Bounds()
	middle, along := box.Centre(), geometry.Point{X: 0.6 * box.Width()}
	if p.Grain != (geometry.Segment{}) {
		middle, along = p.Grain.A.Add(p.Grain.B).Mul(0.5), p.Grain.B.Sub(p.Grain.A)
		if along.X < 0 || along.X == 0 && along.Y < 0 {
			along = along.Mul(-1) // not upside down
		}
	}
	length := along.Len()
	along = along.Mul(1 / length)
	down := geometry.Point{X: along.Y, Y: -along.X}

	room := box.Height() / 2
	for _, s := range append(p.Outline.Sides(), p.Seams...) {
		d := s.B.Sub(s.A)
		if away := math.Abs(d.Cross(middle.Sub(s.A))) / d.Len(); away > length/100 {
			room = min(room, away)
		}
	}
	const spacing = 1.6 // from line to line, in heights
	rows := (len(lines) + 1) / 2
	height := min(c.unit.Of(0.125, 0.3), room/(spacing*float64(rows+1)))
	for _, l := range lines {
		if width := textWidth(c.form.encode(l), 1); width > 0 {
			height = min(height, length/width)
		}
	}
	for i, l := range lines {
		row := float64(i-rows) + 0.75 // baselines, in lines below the grain line
		if i >= rows {
			row = float64(i-rows) + 1
		}
		t := draw.Text{
			At:      middle.Add(down.Mul(row * spacing * height)).Mul(c.scale),
			Height:  float64(height * c.scale),
			Turn:    geometry.Angle(math.Atan2(along.Y, along.X) * (180 / math.Pi)),
			Value:   l,
			Centred: true,
		}
		if err := c.addText(g, annotation, i, t); err != nil {
			return err
		}
	}
	return nil
}

// blockNames makes names that any version takes: capitals, digits, "-" and
// "_", 31 at most (microsoft/maker.js#432, #456). Names that differ only in
// case are the same name (KLayout/klayout#320), and so are given a number.
type blockNames map[string]int

const maxName = 31

func (n blockNames) unique(text string) string {
	name := blockName(text)
	for {
		n[name]++
		k := n[name]
		if k == 1 {
			return name
		}
		number := "-" + strconv.Itoa(k)
		name = strings.TrimRight(name[:min(len(name), maxName-len(number))], "-_") + number
	}
}

func blockName(text string) string {
	out := make([]byte, 0, maxName)
	gap := false
	for _, r := range strings.ToUpper(text) {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			if gap && len(out) > 0 {
				out = append(out, '_')
			}
			out = append(out, byte(r))
			gap = false
		} else {
			gap = true
		}
	}
	return cmp.Or(string(out[:min(len(out), maxName)]), "PIECE")
}
