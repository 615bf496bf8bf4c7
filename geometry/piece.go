// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"math"
	"slices"
)

// Edge is what the edge from vertex i to vertex i+1 of an outline is.
type Edge struct {
	Kind  EdgeKind
	Grain float64 // angle to the strip's length, 0..90 degrees
}

// Bias reports whether the edge lies off the grain and so stretches.
func (e Edge) Bias() bool { return e.Grain > Clip && e.Grain < 90-Clip }

// Piece is one piece as it is cut, in the strip frame.
type Piece struct {
	Shape    Shape
	Lean     Lean
	Finished Polygon   // corners where the seams will cross
	Outline  Polygon   // where it is cut, seam allowance and tips included
	Edges    []Edge    // Edges[i] runs from Outline[i] to Outline[i+1]
	Seams    []Segment // the strip set's own seam lines inside the outline
}

// Piece returns the piece of the given shape and lean. The cutting must be
// valid.
//
// The outline lies a seam allowance outside the finished corners. There the
// raw edges run a cot(phi/2) past the corner, phi being its angle; with
// matched tips a corner where that is more than [Cutting.PastSeam] is cut
// straight across, both raw edges ending just so far past it. What then lies
// outside the strip set is cut off by its raw edge.
func (c Cutting) Piece(shape Shape, lean Lean) Piece {
	corners, sides := c.finished(shape)
	p := Piece{Shape: shape, Lean: Right, Finished: corners}
	raw := clipBand(c.rawOutline(corners, sides), c.Width)
	for i, v := range raw {
		edge := Edge{v.kind, v.dir.FromGrain()}
		next := raw[(i+1)%len(raw)].at
		if v.at.Y == next.Y && (v.at.Y == 0 || v.at.Y == c.Width) {
			edge = Edge{StripEdge, 0}
		}
		p.Outline = append(p.Outline, v.at)
		p.Edges = append(p.Edges, edge)
	}
	for _, y := range c.Seams {
		if s, ok := p.Outline.Across(y); ok {
			p.Seams = append(p.Seams, s)
		}
	}
	if lean == Left {
		return p.mirror()
	}
	return p
}

// side is an edge of the finished piece: its kind and the direction in which
// it runs, counted up from vertex to vertex.
type side struct {
	kind EdgeKind
	dir  Angle
}

func (s side) along() Point {
	sin, cos := s.dir.SinCos()
	return Point{cos, sin}
}

// finished returns the right-leaning finished corners and, for each, the side
// that begins there.
func (c Cutting) finished(shape Shape) (Polygon, []side) {
	s, top := c.FinishedSide(), c.Seam+c.FinishedWidth()
	run := float64(s * c.Angle.Cos())
	lowerLeft, lowerRight := Point{0, c.Seam}, Point{s, c.Seam}
	upperRight, upperLeft := Point{s + run, top}, Point{run, top}
	var (
		right = side{StripEdge, 0}
		up    = side{Crosscut, c.Angle}
		left  = side{StripEdge, 180}
		down  = side{Crosscut, 180 + c.Angle}
	)
	switch shape {
	case LowerTriangle:
		back := side{Base, 90 + c.Angle/2}
		return Polygon{lowerLeft, lowerRight, upperLeft}, []side{right, back, down}
	case UpperTriangle:
		back := side{Base, 270 + c.Angle/2}
		return Polygon{lowerRight, upperRight, upperLeft}, []side{up, left, back}
	}
	return Polygon{lowerLeft, lowerRight, upperRight, upperLeft}, []side{right, up, left, down}
}

// vertex is a corner of an outline and the side that begins there.
type vertex struct {
	at Point
	side
}

func (c Cutting) rawOutline(corners Polygon, sides []side) []vertex {
	past := c.PastSeam()
	var out []vertex
	for i, p := range corners {
		in, next := sides[(i+len(sides)-1)%len(sides)], sides[i]
		if i == 0 {
			in.dir -= 360 // so that directions grow from in to next
		}
		u, v := in.along(), next.along()
		run := c.Seam * ((1 - u.Dot(v)) / u.Cross(v))
		if c.Tips == Matched && run > past+float64(1e-9*c.Seam) {
			trim := side{TipTrim, (in.dir + next.dir) / 2}
			out = append(out,
				vertex{c.onRawEdge(in, p, past), trim},
				vertex{c.onRawEdge(next, p, -past), next})
			continue
		}
		out = append(out, vertex{c.onRawEdge(in, p, run), next})
	}
	return out
}

// onRawEdge returns the point of the raw edge of side s that lies run past
// the finished corner p, measured the way the side runs.
func (c Cutting) onRawEdge(s side, p Point, run float64) Point {
	d := s.along()
	return p.Add(d.Mul(run)).Add(Point{d.Y, -d.X}.Mul(c.Seam))
}

// clipBand keeps what lies in 0 <= y <= width. Vertices within [Clip] of a
// raw edge of the strip set are put exactly on it.
func clipBand(g []vertex, width float64) []vertex {
	for _, edge := range []struct{ y, up float64 }{{0, 1}, {width, -1}} {
		off := func(v vertex) float64 { return float64((v.at.Y - edge.y) * edge.up) }
		g = Keep(g, off, func(a, b vertex, t float64) vertex { return vertex{a.at.toward(b.at, t), a.side} })
		for i, v := range g {
			if math.Abs(off(v)) <= Clip {
				g[i].at.Y = edge.y
			}
		}
	}
	return dropRepeats(g)
}

// dropRepeats removes edges of no length, keeping the kind of the edge that
// goes on.
func dropRepeats(g []vertex) []vertex {
	var out []vertex
	for i, v := range g {
		if !v.at.near(g[(i+1)%len(g)].at) {
			out = append(out, v)
		}
	}
	return out
}

func (p Piece) mirror() Piece {
	m := Piece{
		Shape:    p.Shape,
		Lean:     p.Lean.Other(),
		Finished: p.Finished.MirrorX(),
		Outline:  p.Outline.MirrorX(),
		Edges:    slices.Clone(p.Edges),
	}
	// MirrorX reverses the order of travel, so the edge that began at a
	// vertex now ends there.
	slices.Reverse(m.Edges)
	for _, s := range p.Seams {
		s = s.MirrorX()
		m.Seams = append(m.Seams, Segment{s.B, s.A})
	}
	return m
}

// Across returns where the line at height y crosses a convex g, from left to
// right; ok is false when it only touches.
func (g Polygon) Across(y float64) (s Segment, ok bool) {
	r := EmptyRect()
	for i, p := range g {
		q := g[(i+1)%len(g)]
		if (p.Y < y) != (q.Y < y) {
			x := p.X + float64((q.X-p.X)*((y-p.Y)/(q.Y-p.Y)))
			r = r.Grow(Point{x, y})
		}
	}
	if r.Empty() || r.Width() <= Clip {
		return Segment{}, false
	}
	return Segment{r.Min, r.Max}, true
}

// Move returns p displaced by d.
func (p Piece) Move(d Point) Piece { return p.Map(d.Add) }

// Map returns p with every point where f puts it.
func (p Piece) Map(f func(Point) Point) Piece {
	p.Finished, p.Outline = p.Finished.Map(f), p.Outline.Map(f)
	seams := make([]Segment, len(p.Seams))
	for i, s := range p.Seams {
		seams[i] = Segment{f(s.A), f(s.B)}
	}
	p.Seams = seams
	return p
}
