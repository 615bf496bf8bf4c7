// SPDX-License-Identifier: Apache-2.0

// Package svg writes a sheet as an SVG 1.1 file that is true to size.
//
// Width and height of the root are in the sheet's unit, the viewBox in the
// same unit, so that every number in the file is a length in inches or
// centimetres. The sheet's y runs up and the file's down: y is turned round
// here and nowhere else. Lines stand in groups with the ids cut, sew, mark
// and square, all four always there, and figure where there is one; styles are attributes of the groups,
// since not every cutter's program reads style sheets.
package svg

import (
	"fmt"
	"io"
	"slices"

	"lozenge/export"
	"lozenge/export/sheet"
	"lozenge/geometry"
)

// capHeight is the height of a capital over the size of the font: 1466/2048
// in the OS/2 table of Arial, 718/1000 in the metrics of Helvetica.
const capHeight = 0.716

// flushAt is when a path that is being put together is passed on. A fill may
// be of hundreds of thousands of polygons.
const flushAt = 1 << 15

// Write writes the sheet. It fails when a coordinate is not finite, a colour
// is none, a line is too short to be one, or w fails; what was written by
// then is no SVG and must be thrown away.
func Write(w io.Writer, s *sheet.Sheet) error {
	if err := check(s); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	d := &drawing{canvas: newCanvas(w), sheet: s}
	d.line = d.num.Format(s.Line)
	d.half = d.num.Format(s.Line / 2)
	steps := []func() error{d.head, d.fills, d.sew, d.mark, d.figure, d.cut, d.square}
	for _, step := range steps {
		if err := step(); err != nil {
			return fmt.Errorf("writing SVG: %w", err)
		}
	}
	d.lib.End()
	if err := d.num.Err(); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	if err := d.out.Flush(); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

// check looks at what only a mistake in the program can have got wrong. Each
// comparison is false for NaN.
func check(s *sheet.Sheet) error {
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
	sheet      *sheet.Sheet
	line, half string // widths, as text
}

func (d *drawing) x(x float64) float64 { return x - d.sheet.Page.Min.X }
func (d *drawing) y(y float64) float64 { return d.sheet.Page.Max.Y - y }

func (d *drawing) head() error {
	page := d.sheet.Page
	d.root(d.sheet.Unit.String(),
		page.Width()*d.sheet.Scale, page.Height()*d.sheet.Scale,
		page.Width(), page.Height())
	if d.sheet.Title != "" {
		d.lib.Title(oneLine(d.sheet.Title))
	}
	if d.sheet.Note != "" {
		d.lib.Desc(oneLine(d.sheet.Note))
	}
	return d.num.Err()
}

// fills draws the areas of colour, one path for each. They are outlined in
// their own colour as well: where two meet, the paper would shine through
// the half-covered pixels.
func (d *drawing) fills() error {
	if len(d.sheet.Fills) == 0 {
		return nil
	}
	d.group("fill", attr("stroke-width", d.half), attr("stroke-linejoin", "round"))
	for i, fill := range d.sheet.Fills {
		c, err := colour(fill.Colour)
		if err != nil {
			return fmt.Errorf("fill %d: %w", i+1, err)
		}
		d.buf = append(d.buf[:0], `<path fill="`...)
		d.buf = append(append(d.buf, c...), `" stroke="`...)
		d.buf = append(append(d.buf, c...), `" d="`...)
		what := "fill " + c + ": polygon"
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

func (d *drawing) cut() error {
	d.lines("cut", "#000000", d.line)
	if err := d.paths(sheet.Cut, d.half); err != nil {
		return err
	}
	d.lib.Gend()
	return nil
}

// sew draws the seams dashed; the dashes go with the line width, so that
// they are seen at any scale.
func (d *drawing) sew() error {
	dash := d.num.Format(6*d.sheet.Line) + " " + d.num.Format(4*d.sheet.Line)
	d.lines("sew", "#000000", d.line, attr("stroke-dasharray", dash))
	if err := d.paths(sheet.Sew, d.half); err != nil {
		return err
	}
	d.lib.Gend()
	return nil
}

// figure draws the lines of drawings that explain, where there are any.
func (d *drawing) figure() error {
	if !slices.ContainsFunc(d.sheet.Paths, func(p sheet.Path) bool { return p.Role == sheet.Figure }) {
		return nil
	}
	d.lines("figure", "#303030", d.line)
	if err := d.paths(sheet.Figure, d.half); err != nil {
		return err
	}
	d.lib.Gend()
	return nil
}

func (d *drawing) mark() error {
	d.lines("mark", "#808080", d.half)
	if err := d.paths(sheet.Mark, d.num.Format(d.sheet.Line/4)); err != nil {
		return err
	}
	if len(d.sheet.Texts) > 0 {
		d.lib.Group(attr("fill", "#303030"), attr("stroke", "none"),
			attr("font-family", "Helvetica, Arial, sans-serif"))
		for i, t := range d.sheet.Texts {
			if err := d.label(i, t); err != nil {
				return err
			}
		}
		d.lib.Gend()
	}
	d.lib.Gend()
	return nil
}

func (d *drawing) label(i int, t sheet.Text) error {
	d.num.Writing("text", i)
	var attrs []string
	if t.Centred {
		attrs = append(attrs, attr("text-anchor", "middle"))
	}
	if t.Colour != "" {
		ink, err := colour(t.Colour)
		if err != nil {
			return fmt.Errorf("text %d: %w", i+1, err)
		}
		attrs = append(attrs, attr("fill", ink))
	}
	if t.Bold {
		attrs = append(attrs, attr("font-weight", "bold"))
	}
	// With y down, positive angles turn clockwise.
	d.text(d.x(t.At.X), d.y(t.At.Y), float64(-t.Turn), t.Height/capHeight, t.Value, attrs...)
	return d.num.Err()
}

// square draws the calibration square in a thin line: what is measured is
// from the middle of one to the middle of the other.
func (d *drawing) square() error {
	d.group("square", attr("fill", "none"), attr("stroke", "#000000"), attr("stroke-width", d.half))
	if err := d.paths(sheet.Square, d.half); err != nil {
		return err
	}
	if q := d.sheet.Square; q != nil {
		d.num.Writing("the calibration square", -1)
		d.rect(d.x(q.At.X), d.y(q.At.Y+q.Side), q.Side, q.Side,
			attr("id", "calibration-square"), attr("data-size", q.Size))
	}
	d.lib.Gend()
	return d.num.Err()
}

// lines begins the group of a role.
func (d *drawing) lines(id, colour, width string, more ...string) {
	d.group(id, append([]string{
		attr("fill", "none"), attr("stroke", colour), attr("stroke-width", width),
		// A mitred corner of a sharp tip would reach far past the cut.
		attr("stroke-linejoin", "round"),
	}, more...)...)
}

// paths writes the lines of one role, one path element for each.
func (d *drawing) paths(role sheet.Role, thin string) error {
	what := role.String() + " line"
	for i, p := range d.sheet.Paths {
		if p.Role != role {
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
			d.buf = fmt.Appendf(d.buf, ` stroke="#%[1]x%[1]x%[1]x" stroke-width="%[2]s"`, sheet.DarkGrey, d.line)
		case p.Thin:
			d.buf = append(d.buf, ` stroke-width="`...)
			d.buf = append(append(d.buf, thin...), '"')
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

// outline appends path data to the buffer: as the library would write it,
// but with no call and no allocation for each point.
func (d *drawing) outline(points []geometry.Point, closed bool) {
	buf := d.buf
	for i, p := range points {
		switch {
		case i > 0:
			buf = append(buf, " L"...)
		case len(buf) > 0 && buf[len(buf)-1] == 'Z':
			buf = append(buf, " M"...)
		default:
			buf = append(buf, 'M')
		}
		buf = append(d.num.Append(buf, d.x(p.X)), ',')
		buf = d.num.Append(buf, d.y(p.Y))
	}
	if closed && len(points) > 0 {
		buf = append(buf, " Z"...)
	}
	if len(buf) > flushAt {
		d.out.Write(buf)
		buf = buf[:0]
	}
	d.buf = buf
}
