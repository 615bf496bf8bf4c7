// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
)

// style is how a text is set. Sizes are in points; the smallest is above 9,
// below which print is hard to read beside a sewing machine.
type style struct {
	size, pitch float64
	bold        bool
}

var (
	titleStyle   = style{26, 31, true}
	headStyle    = style{16, 20, true}
	subStyle     = style{12, 17, true}
	bodyStyle    = style{10, 12.6, false}
	smallStyle   = style{9.2, 11.2, false}
	smallBold    = style{9.2, 11.2, true}
	captionStyle = style{9.2, 11.2, false}
)

const point = 1. / 72 // in inches

// cap returns the height of its capitals, in inches.
func (s style) cap() float64 { return s.size * draw.GoCap * point }

// line returns how far apart its lines stand, in inches.
func (s style) line() float64 { return s.pitch * point }

func (s style) face() draw.Face { return draw.GoOf(s.bold) }

// width returns how wide a text is, in inches.
func (s style) width(text string) float64 { return s.face().Width(text, s.cap()) }

// shorten cuts a text to one line no wider than room.
func (s style) shorten(text string, room float64) string {
	return s.face().Shorten(text, s.cap(), room)
}

// run is part of a line, all in one style.
type run struct {
	x    float64 // from the line's left end
	text string
	bold bool
}

// text is a paragraph: words in bold that say what it is about, and the rest.
type text struct{ lead, rest string }

func say(rest string) text { return text{rest: rest} }

// wrap breaks a text into lines no wider than room, and where it has a line
// break of its own.
func (s style) wrap(t text, room float64) [][]run {
	var lines [][]run
	line := draw.GoBold.Words(t.lead)
	for _, part := range strings.Split(t.rest, "\n") {
		for _, l := range draw.Lines(append(line, s.face().Words(part)...), s.cap(), room) {
			lines = append(lines, s.runs(l))
		}
		line = nil
	}
	return lines
}

// runs joins the words of a line that are in one face.
func (s style) runs(line []draw.Word) []run {
	var out []run
	x := 0.0
	for i, w := range line {
		if i > 0 {
			x += w.Face.Width(" ", s.cap())
		}
		if n := len(out); n > 0 && line[i-1].Face == w.Face {
			out[n-1].text += " " + w.Text
		} else {
			out = append(out, run{x, w.Text, w.Face == draw.GoBold})
		}
		x += w.Face.Width(w.Text, s.cap())
	}
	return out
}

// widest returns the width of the widest word of a text.
func (s style) widest(text string) float64 {
	widest := 0.0
	for _, w := range strings.Fields(strings.ReplaceAll(text, words.Hard, "_")) {
		widest = max(widest, s.width(strings.ReplaceAll(w, "_", " ")))
	}
	return widest
}
