// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"io"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/svg"
	"lozenge/export/words"
	"lozenge/geometry"
)

// Piece is a piece that is cut on a frame.
type Piece struct {
	Index int   // in the row's Pieces, see strip.Row
	Frees int   // number of the cut across that frees it
	Trims []int // numbers of the cuts that blunt its tips
}

// Frame is one picture to project: a drawing on the mat in inches, x to the right
// and y up. Its lines bear the numbers that the cuts have in the flat drawing, and
// so do the texts at them; other texts, without a number, say what is to be done.
type Frame struct {
	*draw.Drawing
	Name   string // of its file
	Covers string // "strip sets 1 to 11, right-leaning, right side up"
	// Slide is how far the cloth is slid to the left since the frame before;
	// 0 on the first frame of a run.
	Slide  float64
	LineUp int  // the cut whose edge is laid on the broken line, or 0
	First  bool // of a run: what begins here is whole
	Run    int  // of the runs, from 0: for strip sets that of [quilt.Plan.Alike]
	// Shift is where on the mat the cloth's own frame lies: a strip set's row
	// of cut lines has its left end at x = 0 and its lower edge at y = 0.
	Shift  geometry.Point
	ToCut  []int // numbers of the cuts, in cutting order
	Pieces []Piece
	Panel  geometry.Rect // where it says what is to be done
}

// Write writes the frame as an SVG of the screen's size, its lines taken
// through the calibration m that it was laid out for.
func (f *Frame) Write(w io.Writer, m *calibrate.Map, look Look) error {
	s := m.Screen()
	layers, whole := draw.Project(f.Drawing, m, draw.Look{Line: look.Line.String(), Faint: look.faint().String(), Width: look.width(s)})
	if !whole {
		return fmt.Errorf("%s: it reaches past what this calibration lights", f.Name)
	}
	return svg.WriteScreen(w, &draw.Screen{
		Width: s.Width, Height: s.Height, Ground: look.Ground.String(), Title: f.Title, Note: f.Note, Layers: layers,
	})
}

// frame draws one part of a run.
func (r *run) frame(p place, pt part, s spoken, m *calibrate.Map, u geometry.Unit) Frame {
	size := words.Length(p.side, u)
	f := Frame{
		Drawing: &draw.Drawing{
			Title:  fmt.Sprintf("Frame %d of %d: %s", s.frame, s.of, words.Loose(r.title)),
			Square: &draw.CalibrationSquare{At: p.square.Min, Side: p.side, Size: strings.ReplaceAll(size, " ", "")},
		},
		Covers: words.Loose(r.title), Slide: pt.slide, First: pt.isFirst(),
		Shift: geometry.Point{X: pt.shift, Y: p.low},
		Panel: geometry.Rect{Min: p.text.Sub(geometry.Point{Y: p.high}), Max: p.text.Add(geometry.Point{X: p.wide})},
	}
	d := drawing{Frame: &f, run: r, place: p, part: pt, m: m}
	d.cloth()
	d.cuts()
	n := len(f.Pieces)
	if f.First {
		n++
	}
	s.slide, s.lineUp, s.across, s.trim = f.Slide, f.LineUp, f.ToCut[:n], f.ToCut[n:]
	d.labels()
	sentences := r.sentences(s, u)
	d.panel(size, sentences)
	f.Note = words.Loose(strings.Join(append(sentences, "Check square: "+size+" each way."), " "))
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

func (d *drawing) line(role draw.Role, c cut, thin bool) {
	d.Paths = append(d.Paths, draw.Path{Role: role, Number: c.number, Thin: thin, Points: []geometry.Point{c.line.A, c.line.B}})
}

// visible draws what of a line lies in the calibrated area.
func (d *drawing) visible(role draw.Role, c cut, thin bool) {
	for _, part := range d.m.Clip(c.line) {
		d.line(role, cut{c.number, part}, thin)
	}
}

// cloth draws edges and seams as far as there is cloth: of what is lined up,
// from its cut edge on.
func (d *drawing) cloth() {
	along := func(role draw.Role, s geometry.Segment) {
		s = s.Move(d.Shift)
		if !d.First {
			edge := d.run.across[d.part.firstNew()]
			s.A.X = edge.at(s.A.Y-d.Shift.Y) + d.Shift.X
		}
		d.visible(role, cut{line: s}, false)
	}
	for _, s := range d.run.rims {
		along(draw.Mark, s)
	}
	for _, s := range d.run.seams {
		along(draw.Sew, s)
	}
	if d.First {
		for _, s := range d.run.ends {
			d.visible(draw.Mark, cut{line: s.Move(d.Shift)}, false)
		}
	}
}

func (p part) isFirst() bool { return p.first == 0 && !p.over }

func (d *drawing) cuts() {
	r, p := d.run, d.part
	from := p.firstNew()
	if d.First {
		d.cut(r.across[0], false)
	} else {
		if p.over {
			d.visible(draw.Done, r.across[p.first].move(d.Shift), true)
		}
		up := r.across[from]
		d.LineUp = up.number
		d.line(draw.LineUp, up.move(d.Shift), false)
	}
	for i := from; i <= p.last; i++ {
		d.cut(r.across[i+1], false)
	}
	for i := from; i <= p.last; i++ {
		here := Piece{Index: r.pieces[i].index, Frees: r.across[i+1].number}
		for _, t := range r.pieces[i].trims {
			d.cut(t, true)
			here.Trims = append(here.Trims, t.number)
		}
		d.Pieces = append(d.Pieces, here)
	}
}

func (d *drawing) cut(c cut, thin bool) {
	d.line(draw.Cut, c.move(d.Shift), thin)
	d.ToCut = append(d.ToCut, c.number)
}

// panel writes what the check square is, and what is to be done.
func (d *drawing) panel(size string, sentences []string) {
	side, middle := d.place.side, d.place.square.Centre()
	inside := []string{"check square", size + " each way", "measure it first"}
	letter := lettering
	for _, t := range inside {
		letter = min(letter, (side-gap)/draw.Wide.Width(t, 1))
	}
	if letter < smallest {
		inside = []string{size}
		letter = min(lettering, (side-0.2)/draw.Wide.Width(size, 1))
	}
	at := geometry.Point{X: middle.X, Y: middle.Y + letter*leading*float64(len(inside)-1)/2 - letter/2}
	for _, t := range inside {
		d.Texts = append(d.Texts, draw.Text{At: at, Height: letter, Value: t, Centred: true})
		at.Y -= letter * leading
	}
	at, letter = d.place.text, d.place.letter
	for _, s := range sentences {
		for _, t := range draw.Wide.Wrap(s, letter, d.place.wide) {
			d.Texts = append(d.Texts, draw.Text{At: at.Sub(geometry.Point{Y: letter}), Height: letter, Value: words.Loose(t)})
			at.Y -= letter * leading
		}
		at.Y -= letter * pause
	}
}
