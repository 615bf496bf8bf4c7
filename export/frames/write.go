// SPDX-License-Identifier: Apache-2.0

package frames

import (
	"fmt"
	"io"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// step is how long the pieces are at most, in inches, into which a line is
// divided that the lens bends: at 2 % of distortion the middle of one is off
// by less than 3/10000 in.
const step = 1.0

// Write writes the frame as an SVG of the screen's size, its lines taken
// through the calibration m that it was laid out for.
func (f *Frame) Write(w io.Writer, m *calibrate.Map, look Look) error {
	p, err := f.project(m, look)
	if err != nil {
		return fmt.Errorf("%s: %w", f.Name, err)
	}
	return svg.WriteScreen(w, p)
}

func (f *Frame) project(m *calibrate.Map, look Look) (*draw.Screen, error) {
	s := m.Screen()
	p := &draw.Screen{
		Width: s.Width, Height: s.Height, Ground: look.Ground.String(),
		Title: fmt.Sprintf("Frame %d of %d: %s", f.Number, f.Of, f.Covers),
		Note:  strings.Join(append(f.Sentences, "Check square: "+f.Size+" each way."), " "),
	}
	line := look.width(s)
	faint := look.faint()
	layers := [roles]draw.Layer{
		Cut:    {Line: line},
		LineUp: {Line: 1.5 * line, Dash: []float64{12 * line, 5 * line}},
		Done:   {Line: line, Dash: []float64{line, 4 * line}},
		Sew:    {Line: line, Dash: []float64{6 * line, 4 * line}},
		Mark:   {Line: line / 2},
		Square: {Line: line / 2},
	}
	for role := range layers {
		l := &layers[role]
		l.ID, l.Colour = Role(role).String(), faint.String()
		if r := Role(role); r == Cut || r == LineUp || r == Square {
			l.Colour = look.Line.String()
		}
	}
	words := draw.Layer{ID: "words", Colour: look.Line.String(), Line: line}
	for _, l := range f.Lines {
		if l.Role == Square {
			continue // one outline, below
		}
		points, ok := m.Polyline(l.Segment, step)
		if !ok {
			return nil, fmt.Errorf("a line from %v to %v lies off the screen", l.A, l.B)
		}
		t := draw.Trace{Points: points, Thin: l.Thin, Number: l.Number}
		layers[l.Role].Traces = append(layers[l.Role].Traces, t)
	}
	outline := draw.Trace{Closed: true, Size: strings.ReplaceAll(f.Size, " ", "")}
	for _, l := range f.Lines {
		if l.Role == Square {
			points, ok := m.Polyline(l.Segment, step)
			if !ok {
				return nil, fmt.Errorf("the check square lies off the screen")
			}
			outline.Points = append(outline.Points, points[:len(points)-1]...)
		}
	}
	layers[Square].Traces = append(layers[Square].Traces, outline)
	for _, t := range f.Texts {
		letter, ok := letters(m, t)
		if !ok {
			return nil, fmt.Errorf("the text %q lies off the screen", t.Value)
		}
		to := &words
		if t.Faint {
			to = &layers[Done]
		}
		to.Words = append(to.Words, letter)
	}
	p.Layers = []draw.Layer{layers[Sew], layers[Mark], layers[Done], layers[LineUp], layers[Cut], layers[Square], words}
	return p, nil
}

// letters lays a text on the mat: upright along x, whatever the projector
// does. The line of text is as long on the mat as it is taken to be, its
// capitals are as high as in its middle.
func letters(m *calibrate.Map, t Text) (draw.Lettering, bool) {
	w := width(t.Value, t.Height)
	left := t.At
	if t.Centred {
		left.X -= w / 2
	}
	all := true
	at := func(p geometry.Point) geometry.Point {
		u, v, ok := m.ToScreen(p.X, p.Y)
		all = all && ok
		return geometry.Point{X: u, Y: v}
	}
	from, to := at(left), at(left.Add(geometry.Point{X: w}))
	middle := left.Add(geometry.Point{X: w / 2})
	l := draw.Lettering{
		At:      from,
		Across:  to.Sub(from).Mul(t.Height / w),
		Up:      at(middle.Add(geometry.Point{Y: t.Height})).Sub(at(middle)),
		Centred: t.Centred,
		Value:   t.Value,
	}
	if t.Centred {
		l.At = at(middle)
	}
	return l, all
}
