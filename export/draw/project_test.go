// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// slope is a surface seen at a slant, of which a window may be shown: y up on it,
// v down on the screen.
type slope struct{ window geometry.Rect }

func (s slope) ToScreen(x, y float64) (u, v float64, ok bool) {
	w := 1 + 0.01*x + 0.02*y
	return 500 + 60*x/w, 900 - 50*y/w, w > 0.1
}

func (s slope) Clip(l geometry.Segment) []geometry.Segment {
	if part, ok := s.window.Clip(l); ok {
		return []geometry.Segment{part}
	}
	return nil
}

func (s slope) Polyline(l geometry.Segment, step float64) ([]geometry.Point, bool) {
	var out []geometry.Point
	n := int(math.Ceil(l.B.Sub(l.A).Len()/step)) + 1
	for i := range n + 1 {
		p := l.A.Add(l.B.Sub(l.A).Mul(float64(i) / float64(n)))
		u, v, ok := s.ToScreen(p.X, p.Y)
		if !ok {
			return nil, false
		}
		out = append(out, geometry.Point{X: u, Y: v})
	}
	return out, true
}

func point(t *rapid.T, name string) geometry.Point {
	return geometry.Point{X: rapid.Float64Range(-8, 8).Draw(t, name+" x"), Y: rapid.Float64Range(-8, 8).Draw(t, name+" y")}
}

func near(trace draw.Trace, p geometry.Point) bool {
	sides := draw.Path{Points: trace.Points, Closed: trace.Closed}.Segments()
	for _, s := range sides {
		d := s.B.Sub(s.A)
		k := max(0, min(1, p.Sub(s.A).Dot(d)/d.Dot(d)))
		if s.A.Add(d.Mul(k)).Sub(p).Len() < 1e-3 {
			return true
		}
	}
	return false
}

// Each place on a line that may be shown lights up where the map has it, and no
// other does.
func TestProjectedThenSampled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := slope{geometry.Rect{Min: geometry.Point{X: -5, Y: -4}, Max: geometry.Point{X: 5, Y: 4}}}
		p := draw.Path{Closed: rapid.Bool().Draw(t, "closed"), Thin: true, Number: 7}
		for range rapid.IntRange(3, 6).Draw(t, "points") {
			p.Points = append(p.Points, point(t, "corner"))
		}
		traces, whole := draw.ProjectPath(p, s)
		inside := true
		for _, side := range p.Segments() {
			for i := range 41 {
				at := side.A.Add(side.B.Sub(side.A).Mul(float64(i) / 40))
				rim := max(math.Abs(at.X)-5, math.Abs(at.Y)-4)
				inside = inside && rim <= 0
				u, v, _ := s.ToScreen(at.X, at.Y)
				lit := false
				for _, trace := range traces {
					lit = lit || near(trace, geometry.Point{X: u, Y: v})
				}
				if lit != (rim <= 0) && math.Abs(rim) > 1e-3 {
					crosses := false // it may lie on another side that is shown
					for _, other := range p.Segments() {
						crosses = crosses || other != side
					}
					if rim <= 0 || !crosses {
						t.Fatalf("%v lights up: %v, %v outside the window", at, lit, rim)
					}
				}
			}
		}
		if whole && !inside || whole && (len(traces) != 1 || traces[0].Closed != p.Closed) {
			t.Fatalf("whole: %v, in %d traces", whole, len(traces))
		}
		for _, trace := range traces {
			if !trace.Thin || trace.Number != 7 {
				t.Fatal("a trace forgot what it is")
			}
			if !trace.Closed && trace.Points[0] == trace.Points[len(trace.Points)-1] && len(trace.Points) < 3 {
				t.Fatalf("a trace of no length: %v", trace.Points)
			}
		}
	})
}

// The layers stand in the order in which they are drawn, words last; the square
// and its size are in one outline; centimetres are taken as such; what is off the
// screen is told.
func TestProject(t *testing.T) {
	s := slope{geometry.Rect{Min: geometry.Point{X: -5, Y: -4}, Max: geometry.Point{X: 5, Y: 4}}}
	d := draw.NewPen(geometry.Centimetre, "", "")
	d.Path(draw.Cut, false, geometry.Point{}, geometry.Point{X: 2.54}).Number = 3
	d.Path(draw.LineUp, false, geometry.Point{}, geometry.Point{Y: 2.54})
	d.Put(draw.Text{At: geometry.Point{X: 2.54, Y: 2.54}, Height: 0.254, Value: "3"})
	d.Put(draw.Text{At: geometry.Point{X: 2.54, Y: 2.54}, Height: 0.254, Value: "2 done", Faint: true})
	d.Square = &draw.CalibrationSquare{Side: 5.08, Size: "5.08cm"}
	layers, whole := draw.Project(d.Drawing, s, draw.Look{Line: "#ffffff", Faint: "#999999", Width: 2})
	want := []struct {
		id            string
		colour        string
		line          float64
		traces, words int
	}{
		{"sew", "#999999", 2, 0, 0}, {"mark", "#999999", 1, 0, 0}, {"done", "#999999", 2, 0, 1}, {"line-up", "#ffffff", 3, 1, 0},
		{"cut", "#ffffff", 2, 1, 0}, {"square", "#ffffff", 1, 1, 0}, {"words", "#ffffff", 2, 0, 1},
	}
	if !whole || len(layers) != len(want) {
		t.Fatalf("whole %v, %d layers", whole, len(layers))
	}
	for i, w := range want {
		l := layers[i]
		if l.ID != w.id || l.Colour != w.colour || l.Line != w.line || len(l.Traces) != w.traces || len(l.Words) != w.words {
			t.Errorf("layer %d is %+v", i, l)
		}
	}
	u, v, _ := s.ToScreen(1, 0)
	cut := layers[4].Traces[0]
	if end := cut.Points[len(cut.Points)-1]; end.Sub(geometry.Point{X: u, Y: v}).Len() > 1e-9 || cut.Number != 3 {
		t.Errorf("the cut ends at %v", end)
	}
	if q := layers[5].Traces[0]; !q.Closed || q.Size != "5.08cm" {
		t.Errorf("the square is %+v", q)
	}
	d.Path(draw.Figure, false, geometry.Point{}, geometry.Point{X: 20})
	if layers, whole := draw.Project(d.Drawing, s, draw.Look{Width: 2}); whole || layers[2].ID != "figure" || len(layers[2].Traces) != 1 {
		t.Error("a line that leaves the window is whole, or gone")
	}
}

// Words stand upright on the surface: along x, as long there as they are taken
// to be.
func TestProjectedWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := slope{}
		x := draw.Text{At: point(t, "at"), Height: rapid.Float64Range(0.1, 0.5).Draw(t, "height"), Value: "edge of cut 7 here"}
		l, ok := draw.ProjectText(x, s)
		w := draw.Wide.Width(x.Value, x.Height)
		u, v, _ := s.ToScreen(x.At.X+w, x.At.Y)
		if end := l.At.Add(l.Across.Mul(w / x.Height)); !ok || end.Sub(geometry.Point{X: u, Y: v}).Len() > 1e-6 {
			t.Fatalf("the text ends at %v, not %v, %v", end, u, v)
		}
		if l.Up.Y >= 0 || l.Across.X <= 0 {
			t.Fatalf("it stands %v, %v", l.Across, l.Up)
		}
	})
}
