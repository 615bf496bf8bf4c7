// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"fmt"
	"io"
	"strconv"

	"lozenge/export"
	"lozenge/export/draw"
)

// WriteScreen writes a drawing in pixels. It fails as [Write] does.
func WriteScreen(w io.Writer, s *draw.Screen) error {
	if err := writeScreen(w, s); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

func writeScreen(w io.Writer, p *draw.Screen) error {
	ground, err := Colour(p.Ground)
	if err != nil {
		return fmt.Errorf("the ground: %w", err)
	}
	if p.Width <= 0 || p.Height <= 0 {
		return fmt.Errorf("the screen is %d by %d pixels", p.Width, p.Height)
	}
	c := newCanvas(w)
	width, height := float64(p.Width), float64(p.Height)
	c.root("", width, height, width, height)
	if p.Title != "" {
		c.lib.Title(oneLine(p.Title))
	}
	if p.Note != "" {
		c.lib.Desc(oneLine(p.Note))
	}
	c.rect(0, 0, width, height, attr("id", "ground"), attr("fill", ground))
	for _, l := range p.Layers {
		if err := c.layer(l); err != nil {
			return fmt.Errorf("%s: %w", l.ID, err)
		}
	}
	return c.end()
}

func (c *canvas) layer(l draw.Layer) error {
	ink, err := Colour(l.Colour)
	if err != nil {
		return err
	}
	if !(l.Line > 0) {
		return fmt.Errorf("the line width is %v", l.Line)
	}
	attrs := []string{
		attr("fill", "none"), attr("stroke", ink), attr("stroke-width", c.num.Format(l.Line)),
		attr("stroke-linejoin", "round"),
	}
	if len(l.Dash) > 0 {
		attrs = append(attrs, attr("stroke-dasharray", c.dash(l.Dash, 1)))
	}
	c.group(l.ID, attrs...)
	for i, t := range l.Traces {
		if err := c.trace(i, t, l.Line); err != nil {
			return err
		}
	}
	if len(l.Words) > 0 {
		c.letters(ink)
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
	points, err := export.Distinct(t.Points, t.Closed, export.SVGDecimals)
	if err != nil {
		return fmt.Errorf("line %d %w", i+1, err)
	}
	c.num.Writing("line", i)
	c.buf = append(c.buf[:0], "<path"...)
	more := func(name, value string) {
		c.buf = append(append(c.buf, ' '), attr(name, value)...)
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
	for j, p := range points {
		if j == 0 {
			c.buf = append(c.buf, 'M')
		} else {
			c.buf = append(c.buf, " L"...)
		}
		c.buf = append(c.num.Append(c.buf, p.X), ',')
		c.buf = c.num.Append(c.buf, p.Y)
	}
	if t.Closed {
		c.buf = append(c.buf, " Z"...)
	}
	c.buf = append(c.buf, "\"/>\n"...)
	c.out.Write(c.buf)
	return c.num.Err()
}

// lettering writes a text through the matrix that lays it on the surface. As
// in [canvas.text] the font is drawn large and scaled down.
func (c *canvas) lettering(t draw.Lettering) {
	c.buf = append(c.buf[:0], "matrix("...)
	across, down := t.Across.Mul(0.01), t.Up.Mul(-0.01)
	for i, v := range [...]float64{across.X, across.Y, down.X, down.Y, t.At.X, t.At.Y} {
		if i > 0 {
			c.buf = append(c.buf, ' ')
		}
		c.buf = c.num.Append(c.buf, v)
	}
	c.buf = append(c.buf, ')')
	attrs := []string{
		attr("transform", string(c.buf)),
		attr("font-size", c.num.Format(100/capHeight)),
	}
	if t.Centred {
		attrs = append(attrs, attr("text-anchor", "middle"))
	}
	c.lib.Decimals = 0
	c.lib.Text(0, 0, oneLine(t.Value), attrs...)
}
