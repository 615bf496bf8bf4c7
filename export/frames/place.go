// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"math"
	"slices"

	"lozenge/export/draw"
	"lozenge/export/onmat"
	"lozenge/geometry"
)

// Sizes on the mat, in inches. Letters are read from 2 m away: a height of
// 1/200 to 1/250 of the distance is read without effort (common practice for
// signs), which is 8 to 10 mm.
const (
	lettering = 0.4  // a capital, where there is room
	readable  = 0.3  // a capital that still reads well from 2 m
	smallest  = 0.18 // a capital that reads standing at the mat
	leading   = 1.6  // from line to line, in capitals
	pause     = 0.5  // more of it between sentences
	rimRoom   = 0.75 // beside the cloth's long edges, for numbers
	gap       = 0.4
)

// usefulSquare is a check square that shows what is worth showing: 1/32 in on
// 4 in is 0.8 %.
const usefulSquare = 3.9

// place is where things lie on the mat.
type place struct {
	low         float64 // the cloth's lower edge
	left, right float64 // where cuts may lie
	side        float64 // of the check square
	square      geometry.Rect
	clear       bool           // the square, of the mat's printed lines
	text        geometry.Point // upper left corner
	wide, high  float64        // of the text
	letter      float64        // cap height of the text
}

// tall returns how much height sentences take in a column, 0 when a word does not
// fit into it.
func tall(sentences [][]draw.Word, letter, wide float64) float64 {
	n := 0
	for _, words := range sentences {
		for _, w := range words {
			if w.Face.Width(w.Text, letter) > wide {
				return 0
			}
		}
		n += len(draw.Lines(words, letter, wide))
	}
	return letter * (leading*float64(n) + pause*float64(len(sentences)-1))
}

// placer finds the place for cloth and words.
type placer struct {
	room    onmat.Room
	unit    geometry.Unit
	squares []float64
	samples [][][]draw.Word // sentences of all frames; each must fit
}

// panel places the check square and the text behind the height y: the text to the
// right of the square, or behind it. A useful square goes before large letters,
// but not before those that can be read; one that is clear of the mat's lines goes
// before a larger one, but not before wide text.
func (r placer) panel(p *place, y float64) bool {
	large := []float64{lettering, 0.35, readable}
	small := []float64{0.24, smallest}
	for _, c := range []struct {
		useful  bool
		letters []float64
	}{{true, large}, {true, small}, {false, slices.Concat(large, small)}} {
		for _, p.clear = range []bool{true, false} {
			for _, side := range r.squares {
				if c.useful != (side >= usefulSquare) {
					continue
				}
				for _, letter := range c.letters {
					p.side, p.letter = side, letter
					if r.beside(p, y, 10) || r.behind(p, y) || !p.clear && r.beside(p, y, 4) {
						return true
					}
				}
			}
		}
	}
	return false
}

// beside has the text to the right of the square, at least so wide.
func (r placer) beside(p *place, y, least float64) bool {
	takes := r.takes(p)
	left, ok := r.column(p, y, takes, takes+gap, least)
	p.square = r.square(p, left, y)
	return ok
}

// behind has the text behind the square, as seen from the lower edge.
func (r placer) behind(p *place, y float64) bool {
	takes := r.takes(p)
	left, right, ok := r.room.Chord(y, y+takes)
	p.square = r.square(p, left, y)
	if !ok || right-left < takes {
		return false
	}
	_, ok = r.column(p, y+takes+gap, p.letter*leading, 0, 4)
	return ok
}

// takes is the side of the room for the check square: one that lies clear of the
// mat's lines is moved in it.
func (r placer) takes(p *place) float64 {
	if p.clear {
		return p.side + onmat.Lines(r.unit)
	}
	return p.side
}

// square puts the check square into its room.
func (r placer) square(p *place, x, y float64) geometry.Rect {
	at := geometry.Rect{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + p.side, Y: y + p.side}}
	if p.clear {
		return onmat.Clear(at, r.unit)
	}
	return at
}

// column finds room for the text from the height y on, at least so high and, from
// aside to the right of the room's left, so wide.
func (r placer) column(p *place, y, high, aside, least float64) (left float64, ok bool) {
	for range 3 { // the taller the text, the narrower the room for it
		left, right, ok := r.room.Chord(y, y+high)
		if p.wide = right - left - aside; !ok || p.wide < least {
			return left, false
		}
		need := 0.0
		for _, s := range r.samples {
			t := tall(s, p.letter, p.wide)
			if t == 0 {
				return left, false
			}
			need = max(need, t)
		}
		if need <= high {
			p.text, p.high = geometry.Point{X: left + aside, Y: y + high}, high
			return left, true
		}
		high = need
	}
	return left, false
}

// laid is runs that lie in one place, and the frames that they are cut into.
type laid struct {
	place
	parts  [][]part // of each run
	frames int
}

// before reports whether a serves better than b: with a useful check square, then
// with the fewest frames, then with a square that is clear of the mat's lines, then
// with the largest.
func (a laid) before(b laid) bool {
	if useful := a.side >= usefulSquare; useful != (b.side >= usefulSquare) {
		return useful
	}
	if a.frames != b.frames {
		return a.frames < b.frames
	}
	if a.clear != b.clear {
		return a.clear
	}
	return a.side > b.side
}

// settle finds the best place for runs of equal height, and of several the one
// nearest the reader, and cuts them into frames. The lower edge lies on a whole
// inch or centimetre of the mat's grid if it can. When they don't fit, long may
// say why.
func settle(room onmat.Room, runs []*run, u geometry.Unit) (best laid, long *tooLong, ok bool) {
	r := placer{room: room, unit: u, squares: onmat.Squares(u)}
	for _, one := range runs {
		for _, sentences := range one.samples(u) {
			var sample [][]draw.Word
			for _, s := range sentences {
				sample = append(sample, draw.Wide.Words(s))
			}
			r.samples = append(r.samples, sample)
		}
	}
	line := u.Of(1, 1/geometry.CentimetresPerInch) // of the grid
	for _, step := range []float64{line, line / 8} {
		for n := math.Ceil((room.Box().Min.Y + rimRoom) / step); n*step < room.Box().Max.Y; n++ {
			l, why, fits := r.lay(runs, n*step, u)
			if fits && (!ok || l.before(best)) {
				best, ok = l, true
			}
			if why != nil && (long == nil || why.room > long.room) {
				long = why
			}
		}
		if ok {
			return best, nil, true
		}
	}
	return best, long, false
}

// lay lays runs with their lower edge at a height.
func (r placer) lay(runs []*run, low float64, u geometry.Unit) (l laid, long *tooLong, ok bool) {
	l.low = low
	high := low + runs[0].height + rimRoom
	if l.left, l.right, ok = r.room.Chord(low-rimRoom, high); !ok || !r.panel(&l.place, high+gap/2) {
		return l, nil, false
	}
	for _, one := range runs {
		parts, long := one.split(l.left, l.right, u)
		if long != nil {
			return l, long, false
		}
		l.parts = append(l.parts, parts)
		l.frames += len(parts)
	}
	return l, nil, true
}

// atHeights returns the heights at which to look for room for a number.
func (r *run) atHeights() []float64 {
	out := slices.Clone(r.bands)
	for _, f := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9} {
		out = append(out, f*r.height)
	}
	return out
}
