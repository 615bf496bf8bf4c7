// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"errors"
	"fmt"
	"io"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

const (
	pointsPerInch = 72
	// maxSide is the largest side of a page, 200 in: viewers leave larger
	// pages blank or cut them (jsPDF#705, libharu/libharu#106).
	maxSide = 200 * pointsPerInch
	// decimals of coordinates, in points.
	decimals = 4
)

// Document is what a file holds.
type Document struct {
	Title     string
	Author    string // "" when not known
	Language  string // as "en"; "" when not known
	Letters   draw.Fonts
	Pages     []*draw.Drawing
	Bookmarks []Bookmark // in the order of the pages; nil: one for each page with a headinging
}

// Bookmark is an entry of the outline that a viewer shows beside the pages.
type Bookmark struct {
	Title string
	Page  int // from 0
	Level int // 0, or one deeper than the entry before at most
}

// Write writes the document. It fails when it has no page, when a page is
// larger than 200 in or has no size, when a bookmark leads nowhere or is too
// deep, when a coordinate is not finite, a colour
// is none, a line is too short to be one, or w fails; nothing is written but
// in the last case.
func Write(w io.Writer, d Document) error {
	if err := write(w, d); err != nil {
		return fmt.Errorf("writing PDF: %w", err)
	}
	return nil
}

func write(w io.Writer, d Document) error {
	if len(d.Pages) == 0 {
		return errors.New("there is no page")
	}
	if d.Bookmarks == nil {
		for i, s := range d.Pages {
			if s.Heading != "" {
				d.Bookmarks = append(d.Bookmarks, Bookmark{Title: s.Heading, Page: i})
			}
		}
	}
	if err := checkBookmarks(d); err != nil {
		return err
	}
	c := newCanvas(d)
	for i, s := range d.Pages {
		if err := c.draw(s); err != nil {
			return fmt.Errorf("page %d: %w", i+1, err)
		}
	}
	return c.finish(w, d)
}

func checkBookmarks(d Document) error {
	deepest := 0
	for i, b := range d.Bookmarks {
		switch {
		case b.Page < 0 || b.Page >= len(d.Pages) || i > 0 && b.Page < d.Bookmarks[i-1].Page:
			return fmt.Errorf("bookmark %q leads to page %d of %d", b.Title, b.Page+1, len(d.Pages))
		case b.Level < 0 || b.Level > deepest:
			return fmt.Errorf("bookmark %q is %d deep", b.Title, b.Level)
		}
		deepest = b.Level + 1
	}
	return nil
}

// page is a drawing on its way into the file.
type page struct {
	*canvas
	from  *draw.Drawing
	scale float64 // points per unit of the drawing
	line  float64 // width of a cut line, points
}

func (c *canvas) draw(s *draw.Drawing) error {
	p := &page{canvas: c, from: s, scale: pointsPerInch * s.Unit.Inches(s.Scale)}
	p.line = float64(s.Line * p.scale)
	width, height := float64(s.Page.Width()*p.scale), float64(s.Page.Height()*p.scale)
	switch {
	case !(width > 0 && height > 0):
		return fmt.Errorf("the page is %v by %v points", width, height)
	case width > maxSide || height > maxSide:
		return fmt.Errorf("the page is %.0f by %.0f in; more than 200 in is not shown everywhere", width/pointsPerInch, height/pointsPerInch)
	case !(p.line > 0):
		return fmt.Errorf("the line width is %v points", p.line)
	}
	c.op("1 j")
	if err := p.fills(); err != nil {
		return err
	}
	for _, s := range draw.Styles() {
		if err := p.role(s); err != nil {
			return err
		}
	}
	c.endPage(width, height)
	return c.num.Err()
}

func (p *page) at(q geometry.Point) geometry.Point { return q.Sub(p.from.Page.Min).Mul(p.scale) }

// fills draws the areas of colour, but for bare ones outlined in their own colour as
// well: where two meet, the paper would shine through the half-covered pixels.
func (p *page) fills() error {
	for i, fill := range p.from.Fills {
		colour, err := rgb(fill.Colour)
		if err != nil {
			return fmt.Errorf("fill %d: %w", i+1, err)
		}
		paint := "f"
		p.op(colour + " rg")
		if !fill.Bare {
			paint = "b"
			p.op(colour + " RG")
			p.width(p.line / 2)
		}
		for j, polygon := range fill.Polygons {
			if len(polygon) < 3 {
				continue // nothing to be seen
			}
			p.num.Writing("fill "+fill.Colour+": polygon", j)
			p.outline(polygon, true, paint)
		}
	}
	return p.num.Err()
}

// role draws the lines of a role, with the words or the calibration square that
// belong there.
func (p *page) role(s draw.Style) error {
	if s.Screen {
		return nil
	}
	p.op(part(s.Grey) + " G")
	p.dash(s, false)
	if err := p.paths(s); err != nil {
		return err
	}
	switch s.Role {
	case draw.Mark:
		return p.words()
	case draw.Square:
		return p.square()
	}
	return nil
}

func (p *page) words() error {
	usual := part(draw.Ink) + " g"
	p.op(usual)
	last := usual
	for i, t := range p.from.Texts {
		ink := usual
		if t.Colour != "" {
			colour, err := rgb(t.Colour)
			if err != nil {
				return fmt.Errorf("text %d: %w", i+1, err)
			}
			ink = colour + " rg"
		}
		if ink != last {
			p.op(ink)
			last = ink
		}
		p.num.Writing("text", i)
		p.text(p.at(t.At), float64(t.Height*p.scale), t)
	}
	return p.num.Err()
}

// square draws the calibration square: what is measured is from the middle of
// one line to the middle of the other.
func (p *page) square() error {
	if q := p.from.Square; q != nil {
		if !(q.Side > 0) {
			return fmt.Errorf("the calibration square has a side of %v", q.Side)
		}
		p.width(p.line / 2)
		p.num.Writing("the calibration square", -1)
		p.outline(q.Rect().Polygon(), true, "s")
	}
	return p.num.Err()
}

// paths draws the lines of one role, each a path of its own.
func (p *page) paths(s draw.Style) error {
	last, short := 0.0, false
	for i, path := range p.from.Paths {
		if path.Role != s.Role {
			continue
		}
		points := make([]geometry.Point, len(path.Points))
		for j, q := range path.Points {
			points[j] = q.Mul(p.scale)
		}
		// What is one point in the file must not be drawn as a line.
		if _, err := export.Distinct(points, path.Closed, decimals); err != nil {
			return fmt.Errorf("%v line %d %w", s.Role, i+1, err)
		}
		width := s.Width * p.line
		switch {
		case path.Dark:
			width = p.line
			p.op(part(draw.DarkGrey) + " G")
		case path.Thin:
			width = s.Thin * p.line
		}
		if width != last {
			p.width(width)
			last = width
		}
		if s.Short != nil && path.Thin != short {
			p.dash(s, path.Thin)
			short = path.Thin
		}
		p.num.Writing(s.Role.String()+" line", i)
		end := "S"
		if path.Closed {
			end = "s"
		}
		p.outline(path.Points, path.Closed, end)
		if path.Dark {
			p.op(part(s.Grey) + " G")
		}
	}
	return p.num.Err()
}

// outline writes a path and the operator that paints it.
func (p *page) outline(points []geometry.Point, closed bool, end string) {
	p.buf = p.buf[:0]
	for i, q := range points {
		q = p.at(q)
		p.buf = append(p.num.Append(p.buf, q.X), ' ')
		p.buf = p.num.Append(p.buf, q.Y)
		if i == 0 {
			p.buf = append(p.buf, " m "...)
		} else {
			p.buf = append(p.buf, " l "...)
		}
	}
	p.buf = append(p.buf, end...)
	p.op(string(p.buf))
}

func (p *page) dash(s draw.Style, thin bool) {
	p.op("[" + p.num.Format(s.Dashes(p.line, thin)...) + "] 0 d")
}

func (p *page) width(w float64) { p.op(p.num.Format(w) + " w") }

// rgb returns the operands of a colour operator.
func rgb(s string) (string, error) {
	c, err := draw.RGB(s)
	return part(c.R) + " " + part(c.G) + " " + part(c.B), err
}

// part returns a grey, or a part of a colour, as an operand.
func part(v uint8) string {
	n := export.NewNumbers(3)
	return n.Format(float64(v) / 255)
}
