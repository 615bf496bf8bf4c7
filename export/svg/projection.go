// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"fmt"
	"io"

	"lozenge/export"
	"lozenge/geometry"
)

// Projection is a drawing in the pixels of a screen, u to the right and v
// down, to be shown full screen: a pixel of the file is a pixel of the
// projector. Its points are where they are to light up; nothing is moved.
type Projection struct {
	Width, Height int // of the screen, pixels
	Title         string
	Note          string // the description: all that is said, in whole sentences
	Ground        string // #rrggbb, all over the screen
	Layers        []Layer
}

// Layer is lines and lettering of one kind, a group with an id.
type Layer struct {
	ID     string
	Colour string    // #rrggbb of lines and lettering
	Line   float64   // width, pixels
	Dash   []float64 // dash, gap, ... in pixels; nil for lines that don't break
	Traces []Trace
	Words  []Lettering
}

// Trace is a line or, when Closed, an outline whose first point is not
// repeated.
type Trace struct {
	Points []geometry.Point
	Closed bool
	Thin   bool   // half the width of the layer, but at least a pixel
	ID     string // or ""
	// Key and Value are kept with the line as data-key="value"; none for "".
	Key, Value string
}

// Lettering is one line of text on a surface that the screen shows at a
// slant: At is where its baseline begins, or the middle of it when Centred;
// Across and Up lead on by the height of a capital along the baseline and at
// right angles to it, as they appear on the screen.
type Lettering struct {
	At, Across, Up geometry.Point
	Centred        bool
	Value          string
}

// WriteProjection writes the drawing. It fails as [Write] does.
func WriteProjection(w io.Writer, p *Projection) error {
	if err := writeProjection(w, p); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

func writeProjection(w io.Writer, p *Projection) error {
	ground, err := colour(p.Ground)
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
	c.lib.End()
	if err := c.num.Err(); err != nil {
		return err
	}
	return c.out.Flush()
}

func (c *canvas) layer(l Layer) error {
	ink, err := colour(l.Colour)
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
		dash := ""
		for i, d := range l.Dash {
			if i > 0 {
				dash += " "
			}
			dash += c.num.Format(d)
		}
		attrs = append(attrs, attr("stroke-dasharray", dash))
	}
	c.group(l.ID, attrs...)
	for i, t := range l.Traces {
		if err := c.trace(i, t, l.Line); err != nil {
			return err
		}
	}
	if len(l.Words) > 0 {
		c.lib.Group(attr("fill", ink), attr("stroke", "none"),
			attr("font-family", "Helvetica, Arial, sans-serif"))
		for i, t := range l.Words {
			c.num.Writing("text", i)
			c.lettering(t)
		}
		c.lib.Gend()
	}
	c.lib.Gend()
	return c.num.Err()
}

func (c *canvas) trace(i int, t Trace, line float64) error {
	points, err := export.Distinct(t.Points, t.Closed, export.SVGDecimals)
	if err != nil {
		return fmt.Errorf("line %d %w", i+1, err)
	}
	c.num.Writing("line", i)
	c.buf = append(c.buf[:0], "<path"...)
	more := func(name, value string) {
		if value != "" {
			c.buf = append(append(c.buf, ' '), attr(name, value)...)
		}
	}
	more("id", t.ID)
	more("data-"+t.Key, t.Value)
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
func (c *canvas) lettering(t Lettering) {
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
