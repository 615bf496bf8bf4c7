// SPDX-License-Identifier: Apache-2.0

package target

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"strings"

	"lozenge/calibrate"
	"lozenge/export"
	"lozenge/export/svg"
)

// Sheet is the picture of the crosses.
type Sheet struct {
	Screen calibrate.Screen
	Grid   calibrate.Grid
	Title  string
	Words  []string // what to do: paragraphs, between the rows of crosses
	Ground string   // #rrggbb; "" is dark
	Line   string   // #rrggbb, of crosses and words; "" is light
}

// The colours when none are asked for. A dark ground blinds nobody who looks
// up, and leaves the mat's own grid to be seen.
const (
	darkGround = "#101010"
	lightLine  = "#f2f2f2"
)

// pixelDecimals of what is written: crosses stand on whole pixels.
const pixelDecimals = 2

// Write writes the sheet as an SVG in screen pixels: width, height and
// viewBox are the screen's. The crosses, two pixels wide or a whole multiple
// of that, stand on whole pixels, so that they are drawn sharp; each has the
// id cross-1 and so on. A thin frame runs along the screen's edge: where it
// is not seen, the picture is cropped or scaled.
//
// Where a small screen has no room for the words they stand in the
// description only.
func Write(w io.Writer, s Sheet) error {
	l, err := lay(s.Screen, s.Grid, s.Title, s.Words)
	if err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	d := drawing{out: bufio.NewWriter(w), num: export.NewNumbers(pixelDecimals)}
	if err := d.write(s, l); err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	return nil
}

type drawing struct {
	out *bufio.Writer // keeps the first error
	num export.Numbers
}

func (d *drawing) printf(format string, a ...any) { fmt.Fprintf(d.out, format, a...) }

func (d *drawing) write(s Sheet, l layout) error {
	ground, err := svg.Colour(cmp.Or(s.Ground, darkGround))
	if err != nil {
		return err
	}
	ink, err := svg.Colour(cmp.Or(s.Line, lightLine))
	if err != nil {
		return err
	}
	w, h := s.Screen.Width, s.Screen.Height
	f := d.num.Format
	d.printf("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	d.printf("<svg width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" xmlns=\"http://www.w3.org/2000/svg\">\n", w, h, w, h)
	d.printf("<title>%s</title>\n<desc>%s</desc>\n", svg.Escape(s.Title), svg.Escape(strings.Join(s.Words, " ")))
	d.printf("<rect id=\"ground\" width=\"%d\" height=\"%d\" fill=\"%s\"/>\n", w, h, ground)
	d.printf("<g id=\"frame\" fill=\"none\" stroke=\"%s\" stroke-width=\"%s\">\n", ink, f(l.stroke))
	d.printf("<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n</g>\n",
		f(l.stroke/2), f(l.stroke/2), f(float64(w)-l.stroke), f(float64(h)-l.stroke))
	d.printf("<g id=\"crosses\" fill=\"none\" stroke=\"%s\" stroke-width=\"%s\">\n", ink, f(l.stroke))
	for i, c := range l.crosses {
		d.num.Writing("cross", i)
		d.printf("<path id=\"cross-%d\" d=\"M%s,%s H%s M%s,%s V%s\"/>\n", c.Point,
			f(c.U-l.arm), f(c.V), f(c.U+l.arm), f(c.U), f(c.V-l.arm), f(c.V+l.arm))
	}
	d.printf("</g>\n<g id=\"numbers\" fill=\"%s\" font-family=\"Helvetica, Arial, sans-serif\">\n", ink)
	for _, c := range l.crosses {
		d.text(c.number)
	}
	d.printf("</g>\n<g id=\"words\" fill=\"%s\" font-family=\"Helvetica, Arial, sans-serif\">\n", ink)
	for _, one := range l.lines {
		d.text(one)
	}
	d.printf("</g>\n</svg>\n")
	if err := d.num.Err(); err != nil {
		return err
	}
	return d.out.Flush()
}

func (d *drawing) text(l line) {
	d.num.Writing("text", -1)
	end := ""
	if l.right {
		end = ` text-anchor="end"`
	}
	d.printf("<text x=\"%s\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", d.num.Format(l.u), d.num.Format(l.v), d.num.Format(l.size), end, svg.Escape(l.value))
}
