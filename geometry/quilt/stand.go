// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Centre returns where the centre of the finished diamond of which p is, or
// is half, lies in the quilt.
func (p *Plan) Centre(pl Placement) geometry.Point {
	half := 0.0
	if pl.Row&1 != 0 {
		half = p.ColumnStep / 2
	}
	return geometry.Point{
		X: float64(float64(pl.Column)*p.ColumnStep) + half,
		Y: float64(float64(pl.Row+1) * p.RowStep),
	}
}

// stance moves a piece from the strip frame to its place in the quilt: turned
// about the centre of its diamond so that the long diagonal stands upright,
// right-leaning pieces to the left, left-leaning ones to the right.
type stance struct {
	centre   geometry.Point // in the strip frame
	sin, cos float64
	shift    geometry.Point // after the turn
}

func (p *Plan) stanceOf(pl Placement) stance {
	turn := 90 - p.Set.Angle/2
	if pl.Lean == geometry.Left {
		turn = -turn
	}
	if pl.Turned {
		turn += 180
	}
	s := stance{centre: p.Set.Centre(pl.Lean)}
	s.sin, s.cos = turn.SinCos()
	if p.Spec.EdgeGrain != Straight || pl.Shape == geometry.Diamond {
		return s
	}
	// An equilateral edge triangle is turned once more about its own centre,
	// by the third of a turn that brings its strip edge where its base lay.
	corners := p.Set.Piece(pl.Shape, pl.Lean).Finished
	own := corners[0].Add(corners[1]).Add(corners[2]).Mul(1.0 / 3)
	s.shift, s.centre = s.point(own), own
	third := geometry.Angle(120)
	if pl.Lean == geometry.Left {
		third = -third
	}
	s.sin, s.cos = (turn + third).SinCos()
	return s
}

func (s stance) point(p geometry.Point) geometry.Point {
	d := p.Sub(s.centre)
	return geometry.Point{
		X: float64(d.X*s.cos) - float64(d.Y*s.sin) + s.shift.X,
		Y: float64(d.X*s.sin) + float64(d.Y*s.cos) + s.shift.Y,
	}
}

// Standing is a piece as it stands in the quilt, its diamond's centre at
// (0, 0): everything that pieces of one lean, shape and turn share.
type Standing struct {
	Turned   bool
	Piece    geometry.Piece     // in the strip frame
	Finished geometry.Polygon   // corners
	Raw      geometry.Polygon   // the outline
	Patches  []geometry.Polygon // finished, what shows of each strip, lowest first
}

// Standing returns what pieces like pl share.
func (p *Plan) Standing(pl Placement) Standing {
	piece := p.Set.Piece(pl.Shape, pl.Lean)
	s := p.stanceOf(pl)
	out := Standing{Turned: pl.Turned, Piece: piece, Finished: piece.Finished.Map(s.point), Raw: piece.Outline.Map(s.point)}
	box := piece.Finished.Bounds()
	for _, band := range p.Set.Bands() {
		box.Min.Y, box.Max.Y = band[0], band[1]
		out.Patches = append(out.Patches, piece.Finished.Within(box).Map(s.point))
	}
	return out
}

// Stand is what pieces that share a [Standing] have in common.
type Stand struct {
	Shape  geometry.Shape
	Lean   geometry.Lean
	Turned bool
}

// Stand returns how a piece stands.
func (pl Placement) Stand() Stand { return Stand{pl.Shape, pl.Lean, pl.Turned} }

// Standings returns how the pieces stand: each kind once, in the order in which
// the plan lists the first of it, and the kind of each piece.
func (p *Plan) Standings() (kinds []Standing, of []int) {
	known := map[Stand]int{}
	of = make([]int, len(p.Pieces))
	for i, pl := range p.Pieces {
		kind, ok := known[pl.Stand()]
		if !ok {
			kind = len(kinds)
			known[pl.Stand()] = kind
			kinds = append(kinds, p.Standing(pl))
		}
		of[i] = kind
	}
	return kinds, of
}

// Frame returns the squared-up finished quilt.
func (p *Plan) Frame() geometry.Rect {
	return geometry.Rect{Max: geometry.Point{X: p.Finished.Width, Y: p.Finished.Height}}
}

// Seams returns the straight lines inside the squared-up quilt along which
// pieces are joined: the sides of all diamonds lie on two families of them.
func (p *Plan) Seams() []geometry.Segment {
	frame := p.Frame()
	var out []geometry.Segment
	// One family climbs a row step in half a column step. The lines through
	// the lattice's points on y = 0, the bottom row of points, are half a
	// column off the middle of row 0's diamonds: at whole column steps.
	rise := frame.Height()
	run := float64(p.ColumnStep/2) * float64(p.Rows+1)
	first := -(p.Rows + 2) / 2
	for i := first; i <= p.Columns-first; i++ {
		x := float64(float64(i) * p.ColumnStep)
		for _, d := range []float64{run, -run} {
			line := geometry.Segment{A: geometry.Point{X: x}, B: geometry.Point{X: x + d, Y: rise}}
			// A line through a corner alone is none.
			if part, ok := frame.Clip(line); ok && part.B.Sub(part.A).Len() > geometry.Fit {
				out = append(out, part)
			}
		}
	}
	return out
}

// Like is a run of strip sets that are cut alike.
type Like struct {
	strip.Layout
	First, Number int     // strip sets First, First+1, ... in cutting order, from 0
	Length        float64 // of each, end trim included
}

// Alike returns the strip sets in cutting order, those that are cut alike
// together.
func (p *Plan) Alike() []Like { return alike(p.Fewest.Layouts, p.SetLength) }

// SetLength returns how long strip set k is sewn, from 0, end trim included.
func (p *Plan) SetLength(k int) float64 {
	if k < len(p.sewn) && p.sewn[k].Length > 0 {
		return p.sewn[k].Length
	}
	return p.Yield.Length + p.Spec.EndTrim
}

// CutLength returns how long the strips of strip set k are cut at least, end trim
// included.
func (p *Plan) CutLength(k int) float64 {
	if p.sewn != nil {
		return p.SetLength(k)
	}
	return p.CommonLength
}

// Tight returns the strip sets, from 0, that leave less than 1/2 in (1 cm) beyond
// what they use.
func (p *Plan) Tight() (out []int) {
	if !p.Fewest.OK() {
		return nil
	}
	for _, like := range p.Alike() {
		leaves := p.Leaves(like)
		for k := like.First; k < like.First+like.Number; k++ {
			spare := 0.0
			if k < len(p.sewn) {
				spare = p.sewn[k].Spare
			}
			if leaves+spare < p.tightBelow()-geometry.Fit {
				out = append(out, k)
			}
		}
	}
	return out
}

func (p *Plan) tightBelow() float64 { return p.Spec.Unit.Of(0.5, 1) }

// Trimmed returns how many strip sets the quilt takes when each is shorter by what
// makes a strip set tight; 0 where that can't be told.
func (p *Plan) Trimmed() (sets int, by float64) {
	by = p.tightBelow()
	if p.sewn != nil || p.Yield.Length <= by {
		return 0, by
	}
	f := p.fewest(p.groups, p.terms(p.Yield.Length-by))
	if !f.OK() {
		return 0, by
	}
	return len(f.Layouts) + p.fewer, by
}

// Leaves returns how much is left of each of the strip sets when its row is cut.
func (p *Plan) Leaves(like Like) float64 {
	return max(like.Length-p.Spec.EndTrim-p.Set.Uses(like.Layout), 0)
}

func alike(layouts []strip.Layout, length func(k int) float64) (out []Like) {
	for i, l := range layouts {
		one := Like{l, i, 1, length(i)}
		if n := len(out); n > 0 && out[n-1].Lean == l.Lean && out[n-1].Word == l.Word && out[n-1].Staggered == l.Staggered && out[n-1].Length == one.Length {
			out[n-1].Number++
			continue
		}
		out = append(out, one)
	}
	return out
}

// Piece returns a piece as it is seen on the mat; see [geometry.Face.Seen].
func (p *Plan) Piece(shape geometry.Shape, lean geometry.Lean) geometry.Piece {
	return p.Set.Piece(shape, p.Spec.Face.Seen(lean))
}

// Row returns the row of cut lines of a layout as it is seen on the mat.
func (p *Plan) Row(l strip.Layout) strip.Row {
	return strip.MustRow(p.Set, p.Spec.Face.Seen(l.Lean), l.Word)
}

// RimGrain returns the angles in degrees, 0 to 90, between the strips and the
// quilt's rim: its top and bottom edges, which are the bases of edge
// triangles, or their strip edges when those were turned outward, and its
// squared-up sides, which run along long diagonals.
func (p *Plan) RimGrain() (topAndBottom, sides float64) {
	half := p.Set.Angle / 2
	topAndBottom = (90 + half).FromGrain()
	if p.Spec.EdgeGrain == Straight {
		topAndBottom = 0
	}
	return topAndBottom, half.FromGrain()
}
