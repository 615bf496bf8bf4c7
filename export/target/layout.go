// SPDX-License-Identifier: Apache-2.0

package target

import (
	"math"
	"strconv"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/geometry"
)

// A layout is where everything stands on the screen, in pixels, v down.
type layout struct {
	stroke  float64 // width of a line: even, so that lines on whole pixels are sharp
	scale   float64 // of the marks, in pixels to one of a screen 1080 high
	crosses []cross
	lines   []line
	whole   bool // all words are there
}

type cross struct {
	calibrate.Target
	number line
}

// line is one line of text.
type line struct {
	u, v  float64 // left end of the baseline, or right end
	size  float64 // of the font
	value string
	right bool // it ends at u
}

// How far capitals and what hangs below the line reach, as parts of the font's
// size, in DejaVu Sans, the widest of the common sans-serif faces.
const (
	capital   = 0.73
	descender = 0.24
)

// width is how wide a text of a font of that size is taken to be. A digit has 0.64
// of it.
func width(text string, size float64) float64 { return draw.Running.Width(text, size*capital) }

// The sizes of text as parts of the shorter side of the screen. 0.031 is 33
// pixels on a screen 1080 high, about 5/8 in on a mat.
const (
	numberSize = 0.045
	mostText   = 0.031
	leastText  = 8.0 // px; smaller letters are not letters
	leading    = 1.4
	mostAcross = 78 // characters in a line that is easy to read
	crowded    = 240
)

// box returns what the text may cover.
func (l line) box() geometry.Rect {
	wide := width(l.value, l.size)
	left := l.u
	if l.right {
		left -= wide
	}
	return geometry.Rect{
		Min: geometry.Point{X: left, Y: l.v - l.size*capital},
		Max: geometry.Point{X: left + wide, Y: l.v + l.size*descender},
	}
}

// lay puts the crosses, their numbers beside them towards the middle of the
// screen, and the words between the rows of crosses.
func lay(s calibrate.Screen, g calibrate.Grid, title string, words []string) (layout, error) {
	targets, err := calibrate.Targets(s, g, 1)
	if err != nil {
		return layout{}, err
	}
	first, last := targets[0], targets[len(targets)-1]
	short := float64(min(s.Width, s.Height))
	across := (last.U - first.U) / float64(g.Columns-1)
	down := (last.V - first.V) / float64(g.Rows-1)
	l := layout{
		stroke: strokeOf(s),
		scale:  min(short/1080, math.Sqrt2/calibrate.ArmLength*min(0.7*first.U, 0.7*first.V, 0.15*across, 0.2*down)),
	}
	room := calibrate.MarkRoom * l.scale
	size := math.Floor(min(numberSize*short, 0.18*across, 0.3*down))
	bottom := make([]float64, g.Rows) // of each row of crosses, and its top
	top := make([]float64, g.Rows)
	for i, t := range targets {
		row := i / g.Columns
		n := line{u: t.U + room, v: t.V + size*capital/2, size: size, value: strconv.Itoa(t.Point)}
		if t.U > float64(s.Width)/2 {
			n.u, n.right = t.U-room, true
		}
		l.crosses = append(l.crosses, cross{t, n})
		top[row], bottom[row] = t.V-room, t.V+room
	}
	var gaps []span
	for row := 1; row < g.Rows; row++ {
		gaps = append(gaps, span{bottom[row-1] + 1, top[row] - 1}) // baselines go to whole pixels
	}
	l.write(s, first.U, gaps, title, words)
	return l, nil
}

// strokeOf is how wide a line is.
func strokeOf(s calibrate.Screen) float64 {
	return 2 * max(1, math.Round(float64(min(s.Width, s.Height))/1080))
}

// span is free height, from top to bottom.
type span struct{ top, bottom float64 }

// write flows the words through the gaps in the largest letters in which they
// fit, or just the title in the least.
func (l *layout) write(s calibrate.Screen, left float64, gaps []span, title string, words []string) {
	room := float64(s.Width) - 2*left
	most := math.Floor(max(leastText, mostText*float64(min(s.Width, s.Height))))
	for size := most; size >= leastText; size-- {
		for _, across := range []int{mostAcross, crowded} {
			characters := min(across, inLine(room, size))
			paragraphs := [][]string{wrap(title, characters)}
			for _, w := range words {
				paragraphs = append(paragraphs, wrap(w, characters))
			}
			lines, ok := flow(paragraphs, gaps, size)
			if !ok {
				continue
			}
			widest := 0.0
			for _, one := range lines {
				widest = max(widest, one.box().Width())
			}
			for i := range lines {
				// Whole pixels keep small letters clear; a half goes up.
				lines[i].u = math.Round(left + (room-widest)/2 + geometry.Fit)
				lines[i].v = math.Round(lines[i].v)
			}
			l.lines, l.whole = lines, true
			return
		}
	}
	if lines, ok := flow([][]string{wrap(title, inLine(room, leastText))}, gaps, leastText); ok {
		for i := range lines {
			lines[i].u = left
		}
		l.lines = lines
	}
}

// inLine is how many characters have room in a line.
func inLine(room, size float64) int { return int(room/width("x", size) + geometry.Fit) }

// flow stands the paragraphs in the gaps. One that a gap has no room for
// begins in the next, and is only parted when none holds it.
func flow(paragraphs [][]string, gaps []span, size float64) (lines []line, ok bool) {
	step := size * leading
	at := 0 // the gap
	v := gaps[0].top
	fits := func(n int) bool { return v+float64(n-1)*step+size*(capital+descender) <= gaps[at].bottom }
	for i, p := range paragraphs {
		if i > 0 {
			v += step / 3
		}
		if !fits(len(p)) && at+1 < len(gaps) {
			at++
			v = gaps[at].top
		}
		for _, text := range p {
			for !fits(1) {
				if at++; at == len(gaps) {
					return nil, false
				}
				v = gaps[at].top
			}
			lines = append(lines, line{v: v + size*capital, size: size, value: text})
			v += step
		}
	}
	return lines, true
}

// wrap parts a text into lines of at most so many characters.
func wrap(text string, most int) []string {
	return draw.Running.Wrap(text, 1, (float64(max(most, 1))+0.5)*draw.Running.Width("x", 1))
}
