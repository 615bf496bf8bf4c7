// SPDX-License-Identifier: Apache-2.0

// Package svg writes a drawing as an SVG 1.1 file that is true to size.
//
// Width and height of the root are in the drawing's unit, the viewBox in the
// same unit, so that every number in the file is a length in inches or
// centimetres. The drawing's y runs up and the file's down: y is turned round
// here and nowhere else. Lines stand in groups with the ids cut, sew, mark
// and square, all four always there, and figure where there is one; styles are
// attributes of the groups, since not every cutter's program reads style sheets.
// Under all lies a white ground, so that dark viewers show lines and words, but not
// where a machine cuts along the drawing.
package svg

import (
	"fmt"
	"io"
	"slices"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// squareID is by which the calibration square is found.
const squareID = "calibration-square"

// flushAt is when a path that is being put together is passed on. A fill may
// be of hundreds of thousands of polygons.
const flushAt = 1 << 15

// Write writes the drawing. It fails when a coordinate is not finite, a colour
// is none, a line is too short to be one, or w fails; what was written by
// then is no SVG and must be thrown away.
func Write(w io.Writer, s *draw.Drawing) error {
	if err := check(s); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	d := &drawing{canvas: newCanvas(w), from: s}
	d.origin, d.down = geometry.Point{X: -s.Page.Min.X, Y: s.Page.Max.Y}, -1
	d.line = d.num.Format(s.Line)
	d.half = d.num.Format(s.Line / 2)
	if err := d.write(); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

func (d *drawing) write() error {
	width, height := d.from.Page.Width(), d.from.Page.Height()
	d.root(d.from.Title, d.from.Note, d.from.Unit.String(), width*d.from.Scale, height*d.from.Scale, width, height)
	if err := d.num.Err(); err != nil {
		return err
	}
	if !d.from.Machine {
		d.rect(0, 0, width, height, attr("id", "ground"), attr("fill", "#ffffff"))
	}
	if err := d.fills(); err != nil {
		return err
	}
	for _, s := range draw.Styles() {
		if err := d.role(s); err != nil {
			return err
		}
	}
	return d.end()
}

// check looks at what only a mistake in the program can have got wrong. Each
// comparison is false for NaN.
func check(s *draw.Drawing) error {
	switch {
	case !(s.Page.Width() > 0 && s.Page.Height() > 0):
		return fmt.Errorf("the page is %v by %v", s.Page.Width(), s.Page.Height())
	case !(s.Line > 0):
		return fmt.Errorf("the line width is %v", s.Line)
	case !(s.Scale > 0):
		return fmt.Errorf("the scale is %v", s.Scale)
	case s.Square != nil && !(s.Square.Side > 0):
		return fmt.Errorf("the calibration square has a side of %v", s.Square.Side)
	}
	return nil
}

type drawing struct {
	*canvas
	from       *draw.Drawing
	line, half string // widths, as text
}

// fills draws the areas of colour, one path for each. But for bare ones they are
// outlined in their own colour as well: where two meet, the paper would shine
// through the half-covered pixels.
func (d *drawing) fills() error {
	if len(d.from.Fills) == 0 {
		return nil
	}
	d.group("fill", attr("stroke-width", d.half), attr("stroke-linejoin", "round"))
	for i, fill := range d.from.Fills {
		if _, err := draw.RGB(fill.Colour); err != nil {
			return fmt.Errorf("fill %d: %w", i+1, err)
		}
		d.buf = fmt.Appendf(d.buf[:0], `<path fill="%s"`, fill.Colour)
		if !fill.Bare {
			d.buf = fmt.Appendf(d.buf, ` stroke="%s"`, fill.Colour)
		}
		d.buf = append(d.buf, ` d="`...)
		what := "fill " + fill.Colour + ": polygon"
		for j, polygon := range fill.Polygons {
			if len(polygon) < 3 {
				continue // nothing to be seen
			}
			d.num.Writing(what, j)
			d.outline(polygon, true)
		}
		if err := d.num.Err(); err != nil {
			return err
		}
		d.buf = append(d.buf, "\"/>\n"...)
		d.out.Write(d.buf)
	}
	d.lib.Gend()
	return nil
}

// role draws the lines of a role, a group of their own, with the words or the
// calibration square that belong there.
func (d *drawing) role(s draw.Style) error {
	of := func(p draw.Path) bool { return p.Role == s.Role }
	if s.Screen || s.Role == draw.Figure && !slices.ContainsFunc(d.from.Paths, of) {
		return nil
	}
	attrs := []string{attr("fill", "none"), attr("stroke", grey(s.Grey)), attr("stroke-width", d.num.Format(s.Width*d.from.Line))}
	if s.Role != draw.Square {
		// A mitred corner of a sharp tip would reach far past the cut.
		attrs = append(attrs, attr("stroke-linejoin", "round"))
	}
	if s.Dash != nil {
		attrs = append(attrs, attr("stroke-dasharray", d.num.Format(s.Dashes(d.from.Line, false)...)))
	}
	d.group(s.Role.String(), attrs...)
	if err := d.paths(s); err != nil {
		return err
	}
	switch s.Role {
	case draw.Mark:
		if err := d.words(); err != nil {
			return err
		}
	case draw.Square:
		// What is measured is from the middle of one line to that of the other.
		if q := d.from.Square; q != nil {
			d.num.Writing("the calibration square", -1)
			d.rect(d.x(q.At.X), d.y(q.At.Y+q.Side), q.Side, q.Side,
				attr("id", squareID), attr("data-size", q.Size))
		}
	}
	d.lib.Gend()
	return d.num.Err()
}

func (d *drawing) words() error {
	if len(d.from.Texts) == 0 {
		return nil
	}
	d.letters(grey(draw.Ink))
	for i, t := range d.from.Texts {
		if err := d.label(i, t); err != nil {
			return err
		}
	}
	d.lib.Gend()
	return nil
}

func (d *drawing) label(i int, t draw.Text) error {
	d.num.Writing("text", i)
	var attrs []string
	if t.Centred {
		attrs = append(attrs, attr("text-anchor", "middle"))
	}
	if t.Colour != "" {
		if _, err := draw.RGB(t.Colour); err != nil {
			return fmt.Errorf("text %d: %w", i+1, err)
		}
		attrs = append(attrs, attr("fill", t.Colour))
	}
	if t.Bold {
		attrs = append(attrs, attr("font-weight", "bold"))
	}
	// With y down, positive angles turn clockwise.
	d.text(d.x(t.At.X), d.y(t.At.Y), float64(-t.Turn), t.Height/draw.ArialCap, t.Value, attrs...)
	return d.num.Err()
}

// paths writes the lines of one role, one path element for each.
func (d *drawing) paths(s draw.Style) error {
	what := s.Role.String() + " line"
	thin := attr("stroke-width", d.num.Format(s.Thin*d.from.Line))
	if s.Short != nil {
		thin += " " + attr("stroke-dasharray", d.num.Format(s.Dashes(d.from.Line, true)...))
	}
	for i, p := range d.from.Paths {
		if p.Role != s.Role {
			continue
		}
		points, err := export.Distinct(p.Points, p.Closed, export.SVGDecimals)
		if err != nil {
			return fmt.Errorf("%s %d %w", what, i+1, err)
		}
		d.num.Writing(what, i)
		d.buf = append(d.buf[:0], "<path"...)
		switch {
		case p.Dark:
			d.buf = fmt.Appendf(d.buf, ` stroke="%s" stroke-width="%s"`, grey(draw.DarkGrey), d.line)
		case p.Thin:
			d.buf = append(append(d.buf, ' '), thin...)
		}
		d.buf = append(d.buf, ` d="`...)
		d.outline(points, p.Closed)
		d.buf = append(d.buf, "\"/>\n"...)
		d.out.Write(d.buf)
		if err := d.num.Err(); err != nil {
			return err
		}
	}
	return nil
}
