// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"math"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
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
	inset     = 0.1 // from the rim of the calibrated area
)

// largestSquare is the largest check square: what a quilter's square ruler
// measures in one go.
func largestSquare(u geometry.Unit) int { return int(u.Of(12, 6)) }

// squareStep is the step of its sizes, in inches: 1 in or 5 cm.
func squareStep(u geometry.Unit) float64 { return u.Of(1, 5/geometry.CentimetresPerInch) }

// usefulSquare is a check square that shows what is worth showing: 1/32 in on
// 4 in is 0.8 %.
const usefulSquare = 3.9

// area is the calibrated area on the mat.
type area geometry.Polygon

// chord returns the widest range of x that lies in the area at every height
// from y0 to y1, less the inset.
func (a area) chord(y0, y1 float64) (left, right float64, ok bool) {
	box := geometry.Polygon(a).Bounds()
	if y0 < box.Min.Y+inset || y1 > box.Max.Y-inset || y1 < y0 {
		return 0, 0, false
	}
	left, right = math.Inf(-1), math.Inf(1)
	look := func(y float64) {
		l, r := math.Inf(1), math.Inf(-1)
		for i, p := range a {
			q := a[(i+1)%len(a)]
			if min(p.Y, q.Y) > y || max(p.Y, q.Y) < y {
				continue
			}
			t := 0.0
			if p.Y != q.Y {
				t = (y - p.Y) / (q.Y - p.Y)
			}
			x := p.X + float64((q.X-p.X)*t)
			l, r = min(l, x), max(r, x)
		}
		left, right = max(left, l), min(right, r)
	}
	// The area is convex but for what the lens bends: its sides come closest
	// at an end of the range or at a corner.
	look(y0 - inset)
	look(y1 + inset)
	for _, p := range a {
		if p.Y > y0 && p.Y < y1 {
			look(p.Y)
		}
	}
	left, right = left+inset, right-inset
	return left, right, right > left
}

// place is where things lie on the mat.
type place struct {
	low         float64 // the cloth's lower edge
	left, right float64 // where cuts may lie
	side        int     // of the check square, in steps
	square      geometry.Rect
	text        geometry.Point // upper left corner
	wide, high  float64        // of the text
	letter      float64        // cap height of the text
}

// width is how wide a text may come out: narrow faces are narrower than what
// is taken for usual, wide ones (DejaVu Sans) wider by up to a sixth.
func width(text string, letter float64) float64 { return 1.17 * draw.TextWidth(text, letter) }

// wrap breaks text into lines of at most the given width.
func wrap(text string, letter, wide float64) (lines []string) {
	line := ""
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		switch longer := line + " " + word; {
		case line == "":
			line = word
		case width(longer, letter) <= wide:
			line = longer
		default:
			lines = append(lines, line)
			line = word
		}
	}
	lines = append(lines, line)
	for i := range lines {
		lines[i] = words.Loose(lines[i])
	}
	return lines
}

// tall returns how much height the sentences take in a column, 0 when a word
// does not fit into it.
func tall(sentences []string, letter, wide float64) float64 {
	n := 0
	for _, s := range sentences {
		for _, l := range wrap(s, letter, wide) {
			if width(l, letter) > wide {
				return 0
			}
			n++
		}
	}
	return letter * (leading*float64(n) + pause*float64(len(sentences)-1))
}

// panel places the check square and the text behind the height y: the text
// to the right of the square, or behind it. samples are the texts of all
// frames; each must fit.
func (a area) panel(p *place, y float64, u geometry.Unit, samples [][]string) bool {
	type choice struct {
		sides   [2]int // of the square, from large to small
		letters []float64
	}
	large := largestSquare(u)
	useful := int(math.Ceil(usefulSquare / squareStep(u)))
	for _, c := range []choice{
		{[2]int{large, useful}, []float64{lettering, 0.35, readable}},
		{[2]int{large, useful}, []float64{0.24, smallest}},
		{[2]int{useful - 1, 1}, []float64{lettering, 0.35, readable, 0.24, smallest}},
	} {
		for side := c.sides[0]; side >= c.sides[1]; side-- {
			for _, letter := range c.letters {
				p.side, p.letter = side, letter
				if a.beside(p, y, u, samples, 10) || a.behind(p, y, u, samples) || a.beside(p, y, u, samples, 4) {
					return true
				}
			}
		}
	}
	return false
}

// beside has the text to the right of the square, at least so wide.
func (a area) beside(p *place, y float64, u geometry.Unit, samples [][]string, least float64) bool {
	s := float64(p.side) * squareStep(u)
	high := s
	for range 3 { // the taller the text, the narrower the room for it
		left, right, ok := a.chord(y, y+high)
		if p.wide = right - left - s - gap; !ok || p.wide < least {
			return false
		}
		need := tallest(samples, p.letter, p.wide)
		if need == 0 {
			return false
		}
		if need <= high {
			p.square = square(left, y, s)
			p.text, p.high = geometry.Point{X: left + s + gap, Y: y + high}, high
			return true
		}
		high = need
	}
	return false
}

// behind has the text behind the square, as seen from the lower edge.
func (a area) behind(p *place, y float64, u geometry.Unit, samples [][]string) bool {
	s := float64(p.side) * squareStep(u)
	l, r, ok := a.chord(y, y+s)
	if !ok || r-l < s {
		return false
	}
	from := y + s + gap
	high := p.letter * leading
	for range 3 {
		left, right, ok := a.chord(from, from+high)
		if p.wide = right - left; !ok || p.wide < 4 {
			return false
		}
		need := tallest(samples, p.letter, p.wide)
		if need == 0 {
			return false
		}
		if need <= high {
			p.square = square(l, y, s)
			p.text, p.high = geometry.Point{X: left, Y: from + high}, high
			return true
		}
		high = need
	}
	return false
}

func square(x, y, side float64) geometry.Rect {
	return geometry.Rect{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + side, Y: y + side}}
}

// tallest returns the height that the tallest of the samples takes, 0 when
// one does not fit the column.
func tallest(samples [][]string, letter, wide float64) float64 {
	most := 0.0
	for _, s := range samples {
		t := tall(s, letter, wide)
		if t == 0 {
			return 0
		}
		most = max(most, t)
	}
	return most
}

// settle finds the place for runs of equal height and cuts them into frames:
// with a useful check square if there is one, then with the fewest frames,
// then with the largest square, nearest the reader. The lower edge lies on a
// whole inch or centimetre of the mat's grid if it can.
func (a area) settle(runs []*run, u geometry.Unit) (best place, parts [][]part, err *tooLong, ok bool) {
	var samples [][]string
	for _, r := range runs {
		samples = append(samples, r.samples(u)...)
	}
	height := runs[0].height
	box := geometry.Polygon(a).Bounds()
	step := u.Of(1, 1/geometry.CentimetresPerInch)
	fewest := 0
	try := func(low float64) {
		p := place{low: low}
		var inside bool
		if p.left, p.right, inside = a.chord(low-rimRoom, low+height+rimRoom); !inside {
			return
		}
		if !a.panel(&p, low+height+rimRoom+gap/2, u, samples) {
			return
		}
		var all [][]part
		n := 0
		for _, r := range runs {
			one, long := r.split(p.left, p.right, u)
			if long != nil {
				if err == nil || long.room > err.room {
					err = long
				}
				return
			}
			all = append(all, one)
			n += len(one)
		}
		useful := func(p place) bool { return float64(p.side)*squareStep(u) >= usefulSquare }
		better := !ok || useful(p) && !useful(best)
		if ok && useful(p) == useful(best) {
			better = n < fewest || n == fewest && p.side > best.side
		}
		if better {
			best, parts, fewest, ok = p, all, n, true
		}
	}
	for _, s := range []float64{step, step / 8} {
		for n := math.Ceil((box.Min.Y + rimRoom) / s); n*s < box.Max.Y; n++ {
			try(n * s)
		}
		if ok {
			return best, parts, nil, true
		}
	}
	return best, nil, err, false
}

// atHeights returns the heights at which to look for room for a number.
func (r *run) atHeights() []float64 {
	out := slices.Clone(r.bands)
	for _, f := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9} {
		out = append(out, f*r.height)
	}
	return out
}
