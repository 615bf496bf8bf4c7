// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode"

	svgo "github.com/ajstarks/svgo/float"

	"lozenge/export"
)

// canvas is the one way to the svgo library, which writes the frame of the
// document: root, groups, title, text. Each method keeps clear of something
// the library does with what it is given; the square, and paths, of which
// there are hundreds of thousands, bypass it.
//
// Not used at all: Start and its kin, which print two decimals unless told
// otherwise, and px (ajstarks/svgo#18, #42); Scale and Rotate, which may print
// exponents; Grid, which loses its last line; Polygon, which panics on no
// points; the import path without /float, whose coordinates are whole numbers.
type canvas struct {
	lib *svgo.SVG
	out *bufio.Writer // keeps the first write error, which the library drops
	num export.Numbers
	buf []byte
}

func newCanvas(w io.Writer) *canvas {
	c := &canvas{num: export.NewNumbers(export.SVGDecimals)}
	// The library calls Write for every few bytes.
	c.out = bufio.NewWriterSize(w, 1<<16)
	c.lib = svgo.New(c.out)
	return c
}

// root begins the document, width x height on paper in the unit, showing
// viewWidth x viewHeight of the drawing. The library adds the namespaces; to
// pass them again would make them double.
func (c *canvas) root(unit string, width, height, viewWidth, viewHeight float64) {
	c.num.Writing("the page", -1)
	c.lib.Startraw(
		attr("width", c.num.Format(width)+unit),
		attr("height", c.num.Format(height)+unit),
		attr("viewBox", "0 0 "+c.num.Format(viewWidth)+" "+c.num.Format(viewHeight)))
}

// group begins a group. Attributes go as name="value" in full: the library
// takes a string without "=" for a style, and escapes nothing.
func (c *canvas) group(id string, attrs ...string) {
	c.lib.Group(append([]string{attr("id", id)}, attrs...)...)
}

// letters begins a group of words of one colour.
func (c *canvas) letters(colour string) {
	c.lib.Group(attr("fill", colour), attr("stroke", "none"), attr("font-family", "Helvetica, Arial, sans-serif"))
}

// dash returns the lengths of dashes and gaps, times k.
func (c *canvas) dash(lengths []float64, k float64) string {
	var out []byte
	for i, l := range lengths {
		if i > 0 {
			out = append(out, ' ')
		}
		out = c.num.Append(out, l*k)
	}
	return string(out)
}

// end ends the document.
func (c *canvas) end() error {
	c.lib.End()
	if err := c.num.Err(); err != nil {
		return err
	}
	return c.out.Flush()
}

// rect draws a rectangle of which x, y is the corner of least x and y. The
// numbers are written here: the library would let NaN and -0 through.
func (c *canvas) rect(x, y, width, height float64, attrs ...string) {
	c.buf = append(c.buf[:0], "<rect x=\""...)
	c.buf = append(c.num.Append(c.buf, x), "\" y=\""...)
	c.buf = append(c.num.Append(c.buf, y), "\" width=\""...)
	c.buf = append(c.num.Append(c.buf, width), "\" height=\""...)
	c.buf = append(c.num.Append(c.buf, height), '"')
	for _, a := range attrs {
		c.buf = append(append(c.buf, ' '), a...)
	}
	c.buf = append(c.buf, "/>\n"...)
	c.out.Write(c.buf)
}

// text writes one line of text with the left end, or the middle, of its
// baseline at x, y, turned by degrees clockwise as the reader sees it. size
// is that of the font. The place is part of a transform put together here
// with fixed decimals; the library gets the origin, without decimals.
func (c *canvas) text(x, y, degrees, size float64, value string, attrs ...string) {
	c.buf = append(c.buf[:0], "translate("...)
	c.buf = append(c.num.Append(c.buf, x), ' ')
	c.buf = append(c.num.Append(c.buf, y), ')')
	if degrees != 0 {
		c.buf = append(c.buf, " rotate("...)
		c.buf = append(c.num.Append(c.buf, degrees), ')')
	}
	// A font a fraction of a unit high is beyond renderers that keep its
	// outlines in whole 1/64ths: letters lose strokes. So it is drawn large
	// and scaled down.
	c.buf = append(c.buf, " scale(0.01)"...)
	c.lib.Decimals = 0
	c.lib.Text(0, 0, oneLine(value), append([]string{
		attr("transform", string(c.buf)),
		attr("font-size", c.num.Format(100*size)),
	}, attrs...)...)
}

// attr returns name="value", escaped. The library escapes the content of
// elements only.
func attr(name, value string) string { return name + `="` + Escape(value) + `"` }

// Escape makes a text fit for an attribute or the content of an element of XML
// 1.0, on one line.
func Escape(s string) string { return escape.Replace(oneLine(s)) }

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// oneLine makes a string fit for XML 1.0 and one line. The library would
// write a line break as a character reference, which some programs show as a
// box, and a control character as the replacement character.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\r':
			return ' '
		case unicode.IsControl(r), r == 0xfffe, r == 0xffff:
			return -1
		}
		return r
	}, s)
}

// grey returns a grey as a colour.
func grey(v uint8) string { return fmt.Sprintf("#%02[1]x%02[1]x%02[1]x", v) }

// Colour returns a colour as it may stand in a file, or an error.
func Colour(s string) (string, error) {
	ok := len(s) == 7 && s[0] == '#'
	for i := 1; ok && i < len(s); i++ {
		c := s[i] | 0x20
		ok = '0' <= s[i] && s[i] <= '9' || 'a' <= c && c <= 'f'
	}
	if !ok {
		return "", fmt.Errorf("colour %q is not of the form #1f5f7a", s)
	}
	return s, nil
}
