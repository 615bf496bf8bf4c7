// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// WriteScreen writes a drawing in pixels. It fails as [Write] does.
func WriteScreen(w io.Writer, s *draw.Screen) error {
	if err := writeScreen(w, s); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

func writeScreen(w io.Writer, p *draw.Screen) error {
	if _, err := draw.RGB(p.Ground); err != nil {
		return fmt.Errorf("the ground: %w", err)
	}
	if p.Width <= 0 || p.Height <= 0 {
		return fmt.Errorf("the screen is %d by %d pixels", p.Width, p.Height)
	}
	c := newCanvas(w)
	width, height := float64(p.Width), float64(p.Height)
	c.root(p.Title, p.Note, "", width, height, width, height)
	c.rect(0, 0, width, height, attr("id", "ground"), attr("fill", p.Ground))
	for _, l := range p.Layers {
		if err := c.layer(l); err != nil {
			return fmt.Errorf("%s: %w", l.ID, err)
		}
	}
	return c.end()
}

func (c *canvas) layer(l draw.Layer) error {
	if _, err := draw.RGB(l.Colour); err != nil {
		return err
	}
	if !(l.Line > 0) {
		return fmt.Errorf("the line width is %v", l.Line)
	}
	attrs := []string{
		attr("fill", "none"), attr("stroke", l.Colour), attr("stroke-width", c.num.Format(l.Line)),
		attr("stroke-linejoin", "round"),
	}
	if len(l.Dash) > 0 {
		attrs = append(attrs, attr("stroke-dasharray", c.num.Format(l.Dash...)))
	}
	c.group(l.ID, attrs...)
	for i, t := range l.Traces {
		if err := c.trace(i, t, l.Line); err != nil {
			return err
		}
	}
	if len(l.Words) > 0 {
		c.letters(l.Colour)
		for i, t := range l.Words {
			c.num.Writing("text", i)
			c.lettering(t)
		}
		c.lib.Gend()
	}
	c.lib.Gend()
	return c.num.Err()
}

func (c *canvas) trace(i int, t draw.Trace, line float64) error {
	c.num.Writing("line", i)
	c.buf = append(c.buf[:0], "<path"...)
	more := func(name, value string) {
		c.buf = append(append(c.buf, ' '), attr(name, value)...)
	}
	if t.ID != "" {
		more("id", t.ID)
	}
	if t.Number > 0 {
		more("data-number", strconv.Itoa(t.Number))
	}
	if t.Size != "" {
		more("id", squareID)
		more("data-size", t.Size)
	}
	if t.Thin {
		more("stroke-width", c.num.Format(max(line/2, min(line, 1))))
	}
	c.buf = append(c.buf, ` d="`...)
	parts := [][]geometry.Point{t.Points}
	if t.Apart {
		parts = slices.Collect(slices.Chunk(t.Points, 2))
	}
	for _, points := range parts {
		points, err := export.Distinct(points, t.Closed, export.SVGDecimals)
		if err != nil {
			return fmt.Errorf("line %d %w", i+1, err)
		}
		c.outline(points, t.Closed)
	}
	c.buf = append(c.buf, "\"/>\n"...)
	c.out.Write(c.buf)
	return c.num.Err()
}

// lettering writes a text through the matrix that lays it on the surface. As
// in [canvas.text] the font is drawn large and scaled down.
func (c *canvas) lettering(t draw.Lettering) {
	across, down := t.Across.Mul(0.01), t.Up.Mul(-0.01)
	var attrs []string
	switch {
	case t.Centred:
		attrs = []string{attr("text-anchor", "middle")}
	case t.Right:
		attrs = []string{attr("text-anchor", "end")}
	}
	c.letter("matrix("+c.num.Format(across.X, across.Y, down.X, down.Y, t.At.X, t.At.Y)+")", 100/draw.ArialCap, t.Value, attrs...)
}
