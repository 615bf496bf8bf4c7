// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"fmt"
	"math"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Side is where on a piece, as it stands in the quilt, an edge lies.
type Side int

// The sides. Outer is the edge of an edge triangle on the quilt's bottom or
// top.
const (
	LowerLeft Side = iota
	LowerRight
	UpperRight
	UpperLeft
	Outer
)

// String returns the side in words.
func (s Side) String() string {
	return [...]string{"lower left", "lower right", "upper right", "upper left", "outer"}[s]
}

// Edge is an edge of a piece as it stands in the quilt.
type Edge struct {
	geometry.Edge                  // what the raw edge is, and its grain
	Side          Side             // where it lies
	Line          geometry.Segment // finished, left end first; the diamond's centre is (0, 0)
	Past          [2]float64       // how far the raw edge runs past the left and the right end
	Corner        [2]float64       // angle of the finished corner there, degrees
}

// Tip reports whether the piece ends in a sharp corner at the left (0) or the
// right end (1) of the edge.
func (e Edge) Tip(end int) bool { return e.Corner[end] < 90-1e-6 }

// Kind is what all pieces that stand alike share.
type Kind struct {
	quilt.Standing
	Edges []Edge // in the order of Finished: Edges[i] begins at Finished[i]
}

// Edge returns the edge on that side, if the kind has one.
func (k *Kind) Edge(s Side) (Edge, bool) {
	for _, e := range k.Edges {
		if e.Side == s {
			return e, true
		}
	}
	return Edge{}, false
}

// FirstStrip says where in pieces of this kind the first strip, the one nearest
// her when she cut, shows: how much farther to the right its middle lies than
// the last one's. It is 0 for a single strip.
func (k *Kind) FirstStrip() float64 {
	first, last := k.Patches[0].Middle(), k.Patches[len(k.Patches)-1].Middle()
	return first.X - last.X
}

// newKind reads the edges of a standing piece off its raw outline.
func newKind(p *quilt.Plan, s quilt.Standing) Kind {
	k := Kind{Standing: s}
	n := len(k.Finished)
	for i, a := range k.Finished {
		b := k.Finished[(i+1)%n]
		before, after := k.Finished[(i+n-1)%n], k.Finished[(i+2)%n]
		dir := b.Sub(a)
		dir = dir.Mul(1 / dir.Len())
		raw := k.rawEdge(a, dir, p.Set.Seam)
		from, to := k.Raw[raw], k.Raw[(raw+1)%len(k.Raw)]
		e := Edge{
			Edge:   k.Piece.Edges[raw],
			Side:   sideOf(a.Add(b).Mul(0.5), p),
			Line:   geometry.Segment{A: a, B: b},
			Past:   [2]float64{-dir.Dot(from.Sub(a)), dir.Dot(to.Sub(b))},
			Corner: [2]float64{corner(before, a, b), corner(a, b, after)},
		}
		if b.X < a.X {
			e.Line.A, e.Line.B = b, a
			e.Past[0], e.Past[1] = e.Past[1], e.Past[0]
			e.Corner[0], e.Corner[1] = e.Corner[1], e.Corner[0]
		}
		k.Edges = append(k.Edges, e)
	}
	return k
}

// rawEdge returns which edge of the raw outline lies a seam allowance outside
// the finished edge that begins at a and runs along dir. Every finished edge has
// one, with either kind of tips and at any angle.
func (k *Kind) rawEdge(a, dir geometry.Point, seam float64) int {
	best, off := -1, math.Inf(1)
	for i, u := range k.Raw {
		v := k.Raw[(i+1)%len(k.Raw)]
		if !(dir.Dot(v.Sub(u)) > 0) {
			continue
		}
		away := math.Abs(dir.Cross(u.Sub(a))+seam) + math.Abs(dir.Cross(v.Sub(a))+seam)
		if away < off {
			best, off = i, away
		}
	}
	if off > float64(geometry.Fit*(1+seam)) {
		panic(fmt.Sprintf("sewing: no raw edge a seam allowance outside a finished edge of a %v, the nearest is %g off", k.Piece.Shape, off))
	}
	return best
}

// sideOf tells where an edge with that middle lies: the sides of a diamond have
// their middles half a step off its centre both ways, the outer edge of an edge
// triangle runs through it.
func sideOf(mid geometry.Point, p *quilt.Plan) Side {
	switch low := mid.Y < 0; {
	case math.Abs(mid.Y) < p.RowStep/4:
		return Outer
	case low && mid.X < 0:
		return LowerLeft
	case low:
		return LowerRight
	case mid.X > 0:
		return UpperRight
	}
	return UpperLeft
}

// corner returns the angle at b between a and c, in degrees.
func corner(a, b, c geometry.Point) float64 {
	u, v := a.Sub(b), c.Sub(b)
	return math.Atan2(math.Abs(u.Cross(v)), u.Dot(v)) * (180 / math.Pi)
}
