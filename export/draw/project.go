// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"slices"

	"lozenge/geometry"
)

// Surface is where a drawing is shown, such as the mat under a projector: places
// on it are in inches, y up, those of the screen that shows it in pixels, v down.
// calibrate.Map is one.
type Surface interface {
	// ToScreen takes a place to its pixel; ok is false off the screen.
	ToScreen(x, y float64) (u, v float64, ok bool)
	// Clip returns the parts of a line that may be shown, in its direction.
	Clip(s geometry.Segment) []geometry.Segment
	// Polyline takes a line to the screen: its two ends, and points between them,
	// at most step inches apart, where the lens bends it; ok is false when one
	// lies off the screen.
	Polyline(s geometry.Segment, step float64) (points []geometry.Point, ok bool)
}

// Look is the colours (#rrggbb) and the width of lines on a screen.
type Look struct {
	Line  string  // of what is cut or measured now, and of words
	Faint string  // of all else
	Width float64 // of a cut line, pixels
}

// step is how long the parts are at most, in inches, into which a line is divided
// that the lens bends: at 2 % of distortion the middle of one is off by less than
// 3/10000 in.
const step = 1.0

// Project takes the lines, the words and the calibration square of a drawing
// through a map: a layer for each role in the order in which they are drawn (of
// figures only where there are any), and one, "words", for what is written. whole
// is false when something of it can't be shown; the rest is there all the same.
func Project(d *Drawing, on Surface, look Look) (layers []Layer, whole bool) {
	whole = true
	inches := d.Unit.Inches(1)
	for _, s := range styles {
		if s.Role == Figure && !slices.ContainsFunc(d.Paths, func(p Path) bool { return p.Role == Figure }) {
			continue
		}
		l := Layer{ID: s.Role.String(), Colour: look.Line, Line: s.Width * look.Width, Dash: s.Dashes(look.Width, false)}
		if s.Faint {
			l.Colour = look.Faint
		}
		for _, p := range d.Paths {
			if p.Role == s.Role {
				traces, all := ProjectPath(p.scaled(inches), on)
				l.Traces, whole = append(l.Traces, traces...), whole && all
			}
		}
		if q := d.Square; q != nil && s.Role == Square {
			traces, all := ProjectPath(Path{Points: q.Rect().Polygon(), Closed: true}.scaled(inches), on)
			for _, t := range traces {
				t.Size = q.Size
				l.Traces = append(l.Traces, t)
			}
			whole = whole && all
		}
		layers = append(layers, l)
	}
	layers = append(layers, Layer{ID: "words", Colour: look.Line, Line: look.Width})
	for _, t := range d.Texts {
		t.At, t.Height = t.At.Mul(inches), t.Height*inches
		words, ok := ProjectText(t, on)
		if whole = whole && ok; !ok {
			continue
		}
		to := &layers[len(layers)-1]
		if t.Faint {
			to = &layers[slices.IndexFunc(layers, func(l Layer) bool { return l.ID == Done.String() })]
		}
		to.Words = append(to.Words, words)
	}
	return layers, whole
}

func (p Path) scaled(k float64) Path {
	points := make([]geometry.Point, len(p.Points))
	for i, q := range p.Points {
		points[i] = q.Mul(k)
	}
	p.Points = points
	return p
}

// Segments returns the lines of a path, in its direction.
func (p Path) Segments() []geometry.Segment {
	sides := geometry.Polygon(p.Points).Sides()
	if !p.Closed && len(sides) > 0 {
		sides = sides[:len(sides)-1]
	}
	return sides
}

// ProjectPath takes a path, in inches, through a map: one trace when all of it
// may be shown, else one for each part that may. whole tells which.
func ProjectPath(p Path, on Surface) (traces []Trace, whole bool) {
	whole = true
	trace := Trace{Thin: p.Thin, Number: p.Number}
	var end geometry.Point // of the trace
	finish := func() {
		if len(trace.Points) > 0 {
			traces = append(traces, trace)
		}
		trace.Points = nil
	}
	for _, s := range p.Segments() {
		if s.A == s.B {
			continue
		}
		parts := on.Clip(s)
		whole = whole && len(parts) == 1 && same(parts[0].A, s.A) && same(parts[0].B, s.B)
		for _, part := range parts {
			points, ok := on.Polyline(part, step)
			if !ok {
				whole = false
				continue
			}
			if len(trace.Points) > 0 && same(part.A, end) {
				points = points[1:]
			} else {
				finish()
			}
			trace.Points, end = append(trace.Points, points...), part.B
		}
	}
	if whole && p.Closed && len(trace.Points) > 2 {
		trace.Points, trace.Closed = trace.Points[:len(trace.Points)-1], true
	}
	finish()
	return traces, whole
}

// same reports whether places are the same but for rounding: clipping a line that
// was clipped before may find its ends anew.
func same(a, b geometry.Point) bool { return a.Sub(b).Len() <= geometry.Fit }

// ProjectText lays a text, in inches, on a surface, upright along x whatever the
// projector does. The line of text is as long there as [Wide] takes it to be, its
// capitals are as high as in its middle. ok is false off the screen.
func ProjectText(t Text, on Surface) (l Lettering, ok bool) {
	w := Wide.Width(t.Value, t.Height)
	left := t.At
	if t.Centred {
		left.X -= w / 2
	}
	ok = true
	at := func(p geometry.Point) geometry.Point {
		u, v, on := on.ToScreen(p.X, p.Y)
		ok = ok && on
		return geometry.Point{X: u, Y: v}
	}
	from, to := at(left), at(left.Add(geometry.Point{X: w}))
	middle := left.Add(geometry.Point{X: w / 2})
	l = Lettering{
		At:      from,
		Across:  to.Sub(from).Mul(t.Height / w),
		Up:      at(middle.Add(geometry.Point{Y: t.Height})).Sub(at(middle)),
		Centred: t.Centred,
		Value:   t.Value,
	}
	if t.Centred {
		l.At = at(middle)
	}
	return l, ok
}
