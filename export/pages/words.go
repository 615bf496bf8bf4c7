// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"regexp"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
)

// Heights of capitals, in inches. A letter 10 points in size, 7.2 points
// high, is the smallest.
const (
	small  = 0.1
	middle = 0.125
	large  = 0.16
	pitch  = 1.65 // from line to line, over the height of a capital
)

// width returns at most how wide a text is, for capitals of that height.
func width(text string, height float64) float64 { return draw.Loose.Width(text, height) }

// withinLength are the blanks within a length or a share: before the fraction,
// the unit, and the decimals in brackets.
var withinLength = []*regexp.Regexp{
	regexp.MustCompile(`(\d) (\d\S*/)`),
	regexp.MustCompile(`(\d) ((?:in|cm|%)(?: |$))`),
	regexp.MustCompile(`() (\(\d)`),
}

// wrap breaks a text into lines no wider than room, but not within a length:
// 4 5/8 in (4.619).
func wrap(text string, height, room float64) []string {
	for _, blank := range withinLength {
		text = blank.ReplaceAllString(text, "${1}"+words.Hard+"${2}")
	}
	lines := draw.Loose.Wrap(text, height, room)
	for i := range lines {
		lines[i] = words.Loose(lines[i])
	}
	return lines
}

// row is a line of a block of text.
type row struct {
	text     string
	height   float64
	sample   sample     // drawn before the text
	swatches [][]string // likewise
}

// sample is a piece of a line that a row explains.
type sample int

const (
	noSample sample = iota
	cutSample
	sewSample
	seamSample
	grainSample
	glueSample
	noLine // room for one
)

// block is a text of several paragraphs. Heights are in the unit of the page.
type block struct {
	unit geometry.Unit
	room float64 // width, in the unit
	base float64 // height of most lines, in inches
	rows []row
}

func (b *block) inches(v float64) float64 { return b.unit.FromInches(v) }

// say adds a paragraph of at most most lines; 0 is as many as it takes.
func (b *block) say(height float64, most int, text string) { b.name(height, most, text, nil) }

// name adds a paragraph with swatches before its first line, unless these would take
// more than half of it.
func (b *block) name(height float64, most int, text string, swatches [][]string) {
	height = b.inches(height)
	room := b.room - draw.SwatchesWidth(swatches, height)
	if room < b.room/2 {
		room, swatches = b.room, nil
	}
	lines := wrap(text, height, room)
	if most > 0 && len(lines) > most {
		rest := strings.Join(lines[most-1:], " ")
		lines = append(lines[:most-1], draw.Loose.Shorten(rest, height, room))
	}
	for i, l := range lines {
		r := row{text: l, height: height}
		if i == 0 {
			r.swatches = swatches
		}
		b.rows = append(b.rows, r)
	}
}

// sampleRoom is the width of the piece of a line and the gap after it.
const sampleRoom = 0.55

// explain adds what a line means.
func (b *block) explain(s sample, text string) {
	height := b.inches(b.base)
	for i, l := range wrap(text, height, b.room-b.inches(sampleRoom)) {
		r := row{text: l, height: height, sample: s}
		if i > 0 {
			r.sample = noLine
		}
		b.rows = append(b.rows, r)
	}
}

// gap leaves half a line free.
func (b *block) gap() { b.rows = append(b.rows, row{height: b.inches(small / 2)}) }

func (b *block) high() float64 {
	sum := 0.0
	for _, r := range b.rows {
		sum += pitch * r.height
	}
	return sum
}
