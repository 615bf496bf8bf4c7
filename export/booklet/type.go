// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"strings"

	"lozenge/export/pdf"
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
	headStyle    = style{17, 23, true}
	subStyle     = style{12, 17, true}
	bodyStyle    = style{10.5, 14.2, false}
	smallStyle   = style{9.2, 12, false}
	smallBold    = style{9.2, 12, true}
	captionStyle = style{9.2, 12, false}
)

const point = 1. / 72 // in inches

// cap returns the height of its capitals, in inches.
func (s style) cap() float64 { return pdf.TextHeight(s.size) * point }

// line returns how far apart its lines stand, in inches.
func (s style) line() float64 { return s.pitch * point }

// width returns how wide a text is, in inches.
func (s style) width(text string) float64 { return pdf.TextWidth(text, s.cap(), s.bold) }

// space is how wide a space is: 278/1000 of the size, in Adobe's metrics of
// Helvetica and of its bold.
func (s style) space() float64 { return 0.278 * s.size * point }

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
	type word struct {
		text string
		bold bool
	}
	var words []word
	split := func(text string, bold bool) {
		for i, line := range strings.Split(text, "\n") {
			if i > 0 {
				words = append(words, word{"\n", bold})
			}
			for _, w := range strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == '\t' }) {
				words = append(words, word{w, bold})
			}
		}
	}
	split(t.lead, true)
	split(t.rest, s.bold)
	var lines [][]run
	var line []run
	x := 0.0
	end := func() {
		if len(line) > 0 {
			lines = append(lines, line)
		}
		line, x = nil, 0
	}
	for _, w := range words {
		if w.text == "\n" {
			end()
			continue
		}
		in := style{s.size, s.pitch, w.bold}
		wide := in.width(w.text)
		if len(line) > 0 && x+s.space()+wide > room {
			end()
		}
		// A word that fills more than a line is broken anywhere.
		for wide > room {
			letters := []rune(w.text)
			n := len(letters) - 1
			for n > 1 && in.width(string(letters[:n])) > room {
				n--
			}
			if n < 1 {
				break
			}
			line = append(line, run{0, string(letters[:n]), w.bold})
			end()
			w.text = string(letters[n:])
			wide = in.width(w.text)
		}
		if n := len(line); n > 0 {
			x += s.space()
			if line[n-1].bold == w.bold {
				line[n-1].text += " " + w.text
				x += wide
				continue
			}
		}
		line = append(line, run{x, w.text, w.bold})
		x += wide
	}
	end()
	return lines
}

// widest returns the width of the widest word of a text.
func (s style) widest(text string) float64 {
	widest := 0.0
	for _, w := range strings.Fields(strings.ReplaceAll(text, words.Hard, "_")) {
		widest = max(widest, s.width(strings.ReplaceAll(w, "_", " ")))
	}
	return widest
}
