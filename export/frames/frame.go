// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"

	"lozenge/calibrate"
	"lozenge/export/words"
	"lozenge/geometry"
)

// Role is what a line on a frame is for; each is an SVG group of that name.
type Role int

// The roles.
const (
	Cut    Role = iota // cut here, on this frame
	LineUp             // lay the edge of the last cut here
	Done               // the cut before that, already made
	Sew                // a seam; never cut
	Mark               // edges of the cloth
	Square             // the check square
	roles
)

// String returns the id of the role's group.
func (r Role) String() string {
	return [...]string{"cut", "line-up", "done", "sew", "mark", "square"}[r]
}

// Line is a straight line on the mat.
type Line struct {
	Role   Role
	Number int // of the cut in the flat drawing, or 0
	Thin   bool
	geometry.Segment
}

// Text is one line of text, upright for a reader at the mat's lower edge.
type Text struct {
	At      geometry.Point // left end of the baseline, or its middle when Centred
	Height  float64        // of a capital
	Value   string
	Centred bool
	Faint   bool // about what is done already
	Number  int  // of the cut at whose line it stands, or 0
	Panel   bool // it says what is to be done, or what the check square is
}

// Piece is a piece that is cut on a frame.
type Piece struct {
	Index int   // in the row's Pieces, see strip.Row
	Frees int   // number of the cut across that frees it
	Trims []int // numbers of the cuts that blunt its tips
}

// Frame is one picture to project. Lengths are inches on the mat, x to the
// right and y up.
type Frame struct {
	Name       string // of its file
	Number, Of int
	Covers     string // "strip sets 1 to 11, right-leaning, right side up"
	Sentences  []string
	// Slide is how far the cloth is slid to the left since the frame before;
	// 0 on the first frame of a run.
	Slide float64
	First bool // of a run: what begins here is whole
	Run   int  // of the runs, from 0: for strip sets that of [quilt.Plan.Alike]
	// Shift is where on the mat the cloth's own frame lies: a strip set's row
	// of cut lines has its left end at x = 0 and its lower edge at y = 0.
	Shift  geometry.Point
	ToCut  []int // numbers of the cuts, in cutting order
	Pieces []Piece
	Lines  []Line
	Texts  []Text
	Square geometry.Rect
	Panel  geometry.Rect // where it says what is to be done
	Size   string        // of the check square, as "12 in"
}

// frame draws one part of a run.
func (r *run) frame(p place, pt part, s spoken, m *calibrate.Map, u geometry.Unit) Frame {
	f := Frame{
		Number: s.frame, Of: s.of, Covers: words.Loose(r.title), Slide: pt.slide, First: pt.isFirst(),
		Shift: geometry.Point{X: pt.shift, Y: p.low}, Square: p.square,
		Size:  words.Length(p.square.Width(), u),
		Panel: geometry.Rect{Min: p.text.Sub(geometry.Point{Y: p.high}), Max: p.text.Add(geometry.Point{X: p.wide})},
	}
	for _, text := range r.sentences(s, u) {
		f.Sentences = append(f.Sentences, words.Loose(text))
	}
	d := drawing{Frame: &f, run: r, place: p, part: pt, m: m}
	d.cloth()
	d.cuts()
	d.labels()
	d.panel(r.sentences(s, u))
	return f
}

// drawing is a frame that is being drawn.
type drawing struct {
	*Frame
	run   *run
	place place
	part  part
	m     *calibrate.Map
}

func (d *drawing) line(role Role, c cut, thin bool) {
	d.Lines = append(d.Lines, Line{role, c.number, thin, c.line.Move(d.Shift)})
}

// mark draws what of a line lies in the calibrated area.
func (d *drawing) mark(role Role, s geometry.Segment) {
	for _, part := range d.m.Clip(s) {
		d.Lines = append(d.Lines, Line{Role: role, Segment: part})
	}
}

// cloth draws edges and seams as far as there is cloth: of what is lined up,
// from its cut edge on.
func (d *drawing) cloth() {
	along := func(role Role, s geometry.Segment) {
		s = s.Move(d.Shift)
		if !d.part.isFirst() {
			edge := d.run.across[d.part.firstNew()]
			s.A.X = edge.at(s.A.Y-d.Shift.Y) + d.Shift.X
		}
		d.mark(role, s)
	}
	for _, s := range d.run.rims {
		along(Mark, s)
	}
	for _, s := range d.run.seams {
		along(Sew, s)
	}
	if d.part.isFirst() {
		for _, s := range d.run.ends {
			d.mark(Mark, s.Move(d.Shift))
		}
	}
}

func (p part) isFirst() bool { return p.first == 0 && !p.over }

func (d *drawing) cuts() {
	r, p := d.run, d.part
	from := p.firstNew()
	if p.isFirst() {
		d.cut(r.across[0])
	} else {
		if p.over {
			done := r.across[p.first]
			for _, s := range d.m.Clip(done.line.Move(d.Shift)) {
				d.Lines = append(d.Lines, Line{Done, done.number, true, s})
			}
		}
		d.line(LineUp, r.across[from], false)
	}
	for i := from; i <= p.last; i++ {
		d.cut(r.across[i+1])
	}
	for i := from; i <= p.last; i++ {
		here := Piece{Index: r.pieces[i].index, Frees: r.across[i+1].number}
		for _, t := range r.pieces[i].trims {
			d.line(Cut, t, true)
			d.ToCut = append(d.ToCut, t.number)
			here.Trims = append(here.Trims, t.number)
		}
		d.Pieces = append(d.Pieces, here)
	}
}

func (d *drawing) cut(c cut) {
	d.line(Cut, c, false)
	d.ToCut = append(d.ToCut, c.number)
}

// labels puts a number at each line. The word at the broken line comes first:
// it is the longest.
func (d *drawing) labels() {
	_, outline := d.m.Area()
	box := outline.Bounds()
	l := labeller{holds: func(p geometry.Point) bool {
		return p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y && d.m.Holds(p)
	}}
	for _, line := range d.Lines {
		l.lines = append(l.lines, line.Segment)
	}
	l.boxes = append(l.boxes, d.place.square, geometry.Rect{
		Min: geometry.Point{X: d.place.text.X, Y: d.place.square.Min.Y}, Max: d.place.text.Add(geometry.Point{X: d.place.wide}),
	})
	put := func(number int, value string, faint bool, sizes []float64, near, away places) {
		t := l.put(value, sizes, near, away)
		t.Faint, t.Number = faint, number
		d.Texts = append(d.Texts, t)
	}
	low, height := d.Shift.Y, d.run.height
	as := func(line Line) cut { return cut{line.Number, line.Segment} }
	for _, line := range d.Lines {
		if line.Role == LineUp {
			put(line.Number, fmt.Sprintf("edge of cut %d here", line.Number), false, numberSizes[1:], beyond(as(line), low, height, 0.5), beyond(as(line), low, height, 2*far))
		}
	}
	for _, line := range d.Lines {
		switch {
		case line.Number == 0, line.Role == LineUp:
		case line.Role == Done:
			put(line.Number, fmt.Sprintf("%d done", line.Number), true, numberSizes[2:], beside(as(line), low, d.run), beyond(as(line), low, height, far))
		case !line.Thin:
			put(line.Number, fmt.Sprint(line.Number), false, numberSizes, beside(as(line), low, d.run), beyond(as(line), low, height, far))
		}
	}
	for _, line := range d.Lines {
		if line.Role == Cut && line.Thin {
			put(line.Number, fmt.Sprint(line.Number), false, numberSizes[2:], nearTrim(line.Segment, low, height, 0), nearTrim(line.Segment, low, height, far))
		}
	}
	if d.run.foot != "" {
		x := d.Shift.X
		for _, line := range d.Lines {
			if line.Role == Mark && line.A.Y == low {
				x = (line.A.X + line.B.X) / 2
			}
		}
		at := func(w, h float64) []geometry.Point { return outside(x, low, -1, 2*far, h) }
		put(0, d.run.foot, false, numberSizes[2:], at, at)
	}
}

// nearTrim returns places for the number of a tip trim: outside the cloth,
// beside the tip; aside is how far to the side to look.
func nearTrim(s geometry.Segment, low, height, aside float64) places {
	mid := s.A.Add(s.B).Mul(0.5)
	edge, away := low, -1.0
	if mid.Y > low+height/2 {
		edge, away = low+height, 1
	}
	return func(w, h float64) []geometry.Point { return outside(mid.X, edge, away, aside+w, h) }
}

// panel draws the check square with its words, and what is to be done.
func (d *drawing) panel(sentences []string) {
	q := d.Square
	corners := []geometry.Point{q.Min, {X: q.Max.X, Y: q.Min.Y}, q.Max, {X: q.Min.X, Y: q.Max.Y}}
	for i, c := range corners {
		d.Lines = append(d.Lines, Line{Role: Square, Segment: geometry.Segment{A: c, B: corners[(i+1)%4]}})
	}
	inside := []string{"check square", d.Size + " each way", "measure it first"}
	letter := lettering
	for _, t := range inside {
		letter = min(letter, (q.Width()-gap)/width(t, 1))
	}
	if letter < smallest {
		inside = []string{d.Size}
		letter = min(lettering, (q.Width()-0.2)/width(d.Size, 1))
	}
	y := (q.Min.Y+q.Max.Y)/2 + letter*leading*float64(len(inside)-1)/2 - letter/2
	for _, t := range inside {
		d.Texts = append(d.Texts, Text{At: geometry.Point{X: (q.Min.X + q.Max.X) / 2, Y: y}, Height: letter, Value: t, Centred: true, Panel: true})
		y -= letter * leading
	}
	at := d.place.text
	for _, s := range sentences {
		for _, t := range wrap(s, d.place.letter, d.place.wide) {
			d.Texts = append(d.Texts, Text{At: at.Sub(geometry.Point{Y: d.place.letter}), Height: d.place.letter, Value: t, Panel: true})
			at.Y -= d.place.letter * leading
		}
		at.Y -= d.place.letter * pause
	}
}
