// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"
	"math"

	"lozenge/geometry"
)

// Sizes on every page, in inches.
const (
	margin   = 0.28 // 7.1 mm: 1/4 in and 7 mm, and half a line
	barStrip = 0.3  // the bar and its words
	header   = 0.26 // the line at the top
	gap      = 0.2
	leastWay = 1.5 // of a window onto a piece
	gutter   = 0.2 // beside a window, for the names of its neighbours
	overlap  = 0.75
)

// place is where the calibration square and the words lie.
type place int

const (
	beside  place = iota // at the bottom, the words to the right of the square
	stacked              // at the bottom, the words above the square
	right                // at the right, the words above the square
)

// layout is how a page is divided: the bar at its left or lower edge, the
// header at the top, and what is left for square, words and drawing.
type layout struct {
	unit    geometry.Unit
	page    geometry.Rect // the paper
	print   geometry.Rect // what a printer reaches
	header  geometry.Rect
	body    geometry.Rect
	upright bool // the bar
	bar     float64
	square  float64
	place   place
	terse   bool     // most words stand on pages of their own
	inside  block    // the words in the square
	outside []string // paragraphs that did not fit into it
	proof   []string // what square and bar are for, in full
}

func (l *layout) in(inches float64) float64 { return l.unit.FromInches(inches) }

// layouts returns the ways of dividing a page with a square of that side.
func layouts(paper Paper, u geometry.Unit, side float64, terse bool) []*layout {
	var out []*layout
	for _, where := range []place{beside, stacked, right} {
		for _, upright := range []bool{true, false} {
			l := &layout{unit: u, square: side, place: where, upright: upright, terse: terse}
			l.page = geometry.Rect{Max: geometry.Point{X: paper.Width, Y: paper.Height}}
			l.print = l.page.Inset(l.in(margin))
			l.body = l.print
			length := l.print.Width()
			if upright {
				length = l.print.Height()
				l.body.Min.X += l.in(barStrip)
			} else {
				l.body.Min.Y += l.in(barStrip)
			}
			l.bar = math.Floor(length + geometry.Fit)
			l.header = l.body
			l.header.Min.Y = l.header.Max.Y - l.in(header)
			l.body.Max.Y = l.header.Min.Y
			if l.bar < 1 || l.body.Width() < side || l.body.Height() < side {
				continue
			}
			l.prove()
			out = append(out, l)
		}
	}
	return out
}

// squares returns the sides of calibration squares, the one that is wanted
// first and then the smaller ones, in whole inches or centimetres.
func squares(u geometry.Unit) []float64 {
	var out []float64
	for side := u.Of(4, 10); side >= u.Of(1, 3); side-- {
		out = append(out, side)
	}
	return out
}

// prove puts into words what the square and the bar are for.
func (l *layout) prove() {
	u := l.unit
	full := u.Of(4, 10)
	size := geometry.FormatLength(l.square, u)
	where := "the bar at the lower edge"
	if l.upright {
		where = "the bar at the left edge"
	}
	short := l.square - u.Of(0.125, 0.3)
	l.proof = []string{
		`Print at 100 % ("actual size"), never "fit" or "shrink to page".`,
		fmt.Sprintf("Before you cut, measure with the ruler that you cut with: this square is %s each way, %s %s long.", size, where, geometry.FormatLength(l.bar, u)),
		fmt.Sprintf("Is either off? A square of %s came out at %.0f %%. Turn scaling off in the print window and print again. If that does not help, print from another program or printer, and cut nothing from this page.",
			geometry.FormatLength(short, u), 100*short/l.square),
	}
	if l.square < full {
		why := fmt.Sprintf("A square of %s has no room on this paper.", geometry.FormatLength(full, u))
		l.proof = append([]string{why}, l.proof...)
	}
	l.outside = l.proof
	if l.terse {
		l.outside = []string{fmt.Sprintf("Print at 100 %%. Before you cut, measure: this square %s each way, %s %s long. Is either off? See the page \"How to print\".", size, where, geometry.FormatLength(l.bar, u))}
	}
	room := l.square - 2*l.bare()
	for _, title := range []string{"calibration square, " + size + " each way", size + " each way", size} {
		if width(title, l.in(small)) <= room {
			l.inside = block{unit: u, room: room}
			l.inside.say(small, 1, title)
			break
		}
	}
	// The larger of two sizes that fits.
	for _, height := range []float64{middle, small} {
		b := l.inside
		b.rows = append([]row(nil), b.rows...)
		for _, text := range l.outside {
			b.gap()
			b.say(height, 0, text)
		}
		if b.high() <= room {
			l.inside, l.outside = b, nil
			return
		}
	}
}

// bare is how far from its sides the square holds no words: there the ruler lies.
func (l *layout) bare() float64 { return l.square / 8 }

// room is where things lie on one page.
type room struct {
	words, drawing geometry.Rect
	square         geometry.Point // lower-left corner
}

// textWidth returns how wide the words may be.
func (l *layout) textWidth() float64 {
	switch l.place {
	case beside:
		return l.body.Width() - l.square - l.in(gap)
	case stacked:
		return l.body.Width()
	}
	return l.square
}

// divide returns where things lie on a page with these words; ok is false
// when too little is left to draw on.
func (l *layout) divide(b *block) (r room, ok bool) {
	g, high := l.in(gap), b.high()
	r.words, r.drawing, r.square = l.body, l.body, l.body.Min
	switch l.place {
	case beside:
		top := l.body.Min.Y + max(l.square, high)
		r.words.Min.X += l.square + g
		r.words.Max.Y = top
		r.drawing.Min.Y = top + g
		ok = b.room >= l.in(2)
	case stacked:
		r.words.Min.Y += l.square + g
		r.words.Max.Y = r.words.Min.Y + high
		r.drawing.Min.Y = r.words.Max.Y + g
		ok = b.room >= l.in(2)
	case right:
		r.square.X = l.body.Max.X - l.square
		r.words.Min = geometry.Point{X: r.square.X, Y: r.square.Y + l.square + g}
		r.drawing.Max.X = r.square.X - g
		ok = r.words.Height() >= high && b.room >= l.in(2)
	}
	least := l.in(leastWay)
	return r, ok && r.drawing.Width() >= least && r.drawing.Height() >= least
}
