// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"bufio"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"

	svgo "github.com/ajstarks/svgo/float"

	"lozenge/export"
	"lozenge/geometry"
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

	// Where the drawing's 0 lies in the file, and which way its y runs there.
	origin geometry.Point
	down   float64
}

func newCanvas(w io.Writer) *canvas {
	c := &canvas{num: export.NewNumbers(export.SVGDecimals), down: 1}
	// The library calls Write for every few bytes.
	c.out = bufio.NewWriterSize(w, 1<<16)
	c.lib = svgo.New(c.out)
	return c
}

// root begins the document with what is said of it, width x height on paper in the unit, showing
// viewWidth x viewHeight of the drawing. The library adds the namespaces; to
// pass them again would make them double.
func (c *canvas) root(title, note, unit string, width, height, viewWidth, viewHeight float64) {
	c.num.Writing("the page", -1)
	c.lib.Startraw(
		attr("width", c.num.Format(width)+unit),
		attr("height", c.num.Format(height)+unit),
		attr("viewBox", c.num.Format(0, 0, viewWidth, viewHeight)))
	if title != "" {
		c.lib.Title(oneLine(title))
	}
	if note != "" {
		c.lib.Desc(oneLine(note))
	}
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

func (c *canvas) x(x float64) float64 { return c.origin.X + x }
func (c *canvas) y(y float64) float64 { return c.origin.Y + float64(c.down*y) }

// outline appends path data to the buffer: as the library would write it,
// but with no call and no allocation for each point.
func (c *canvas) outline(points []geometry.Point, closed bool) {
	buf := c.buf
	for i, p := range points {
		switch {
		case i > 0:
			buf = append(buf, " L"...)
		case len(buf) == 0 || buf[len(buf)-1] == '"':
			buf = append(buf, 'M')
		default:
			buf = append(buf, " M"...)
		}
		buf = append(c.num.Append(buf, c.x(p.X)), ',')
		buf = c.num.Append(buf, c.y(p.Y))
	}
	if closed && len(points) > 0 {
		buf = append(buf, " Z"...)
	}
	if len(buf) > flushAt {
		c.out.Write(buf)
		buf = buf[:0]
	}
	c.buf = buf
}

// text writes one line of text with the left end, or the middle, of its
// baseline at x, y, turned by degrees clockwise as the reader sees it. size
// is that of the font. The place is part of a transform put together here
// with fixed decimals; the library gets the origin, without decimals.
func (c *canvas) text(x, y, degrees, size float64, value string, attrs ...string) {
	transform := "translate(" + c.num.Format(x, y) + ")"
	if degrees != 0 {
		transform += " rotate(" + c.num.Format(degrees) + ")"
	}
	// A font a fraction of a unit high is beyond renderers that keep its
	// outlines in whole 1/64ths: letters lose strokes. So it is drawn large
	// and scaled down.
	c.letter(transform+" scale(0.01)", 100*size, value, attrs...)
}

func (c *canvas) letter(transform string, size float64, value string, attrs ...string) {
	c.lib.Decimals = 0
	c.lib.Text(0, 0, inEnglishOrder(oneLine(value)), append([]string{
		attr("transform", transform),
		attr("font-size", c.num.Format(size)),
	}, attrs...)...)
}

// inEnglishOrder ends each name that runs from right to left by a mark without width:
// else a viewer would show two such names with a comma between them, and a number
// behind one, from right to left too (Unicode Standard Annex 9, 2.6).
func inEnglishOrder(s string) string { return fromTheRight.ReplaceAllString(s, "$0\u200e") }

var fromTheRight = func() *regexp.Regexp {
	const letters = `[\p{Hebrew}\p{Arabic}\p{Syriac}\p{Thaana}\p{Nko}\p{Adlam}]`
	return regexp.MustCompile(letters + `(?:[ \p{M}]*` + letters + `)*\p{M}*`)
}()

// attr returns name="value", escaped and on one line. The library escapes the content of
// elements only.
func attr(name, value string) string { return name + `="` + escape.Replace(oneLine(value)) + `"` }

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
