// SPDX-License-Identifier: Apache-2.0

package geometry

// Lean is which way the crosscuts of a strip set run, seen from the right
// side of the fabric with the first strip nearest the reader.
type Lean int

// The two leans: crosscuts run up to the right, or up to the left.
const (
	Right Lean = iota
	Left
)

// Leans lists both, in the order in which they are cut and reported.
var Leans = [...]Lean{Right, Left}

// String returns "right" or "left".
func (l Lean) String() string { return [...]string{"right", "left"}[l] }

// Other returns the opposite lean.
func (l Lean) Other() Lean { return 1 - l }

// Face is which side of the fabric lies up when it is cut.
type Face int

// The faces: the right side up, or down.
const (
	FaceUp Face = iota
	FaceDown
)

// String returns "up" or "down".
func (f Face) String() string { return [...]string{"up", "down"}[f] }

// Seen returns how a lean looks on the mat: when the fabric lies face down, a
// right-leaning piece looks left-leaning. It also returns the lean of what
// looks so.
func (f Face) Seen(l Lean) Lean {
	if f == FaceDown {
		return l.Other()
	}
	return l
}

// Shape is what is cut: a diamond, or the half of one that has its wide side
// on the lower or on the upper edge of the strip set.
type Shape int

// The shapes.
const (
	Diamond Shape = iota
	LowerTriangle
	UpperTriangle
)

// Shapes lists all three.
var Shapes = [...]Shape{Diamond, LowerTriangle, UpperTriangle}

// String returns the shape in the quilter's words.
func (s Shape) String() string {
	return [...]string{"diamond", "lower edge triangle", "upper edge triangle"}[s]
}

// Tips says what happens to the sharp corners of a piece.
type Tips int

// Matched tips are cut straight across so that the raw ends of any two edges
// sewn together coincide; sharp tips are left for those who trim later.
const (
	Matched Tips = iota
	Sharp
)

// String returns "matched" or "sharp".
func (t Tips) String() string { return [...]string{"matched", "sharp"}[t] }

// EdgeKind is what an edge of a piece is.
type EdgeKind int

// The kinds of edge. A strip edge is the raw edge of the strip set and needs
// no cut. A base is the cut along a diamond's short diagonal that makes an
// edge triangle.
const (
	StripEdge EdgeKind = iota
	Crosscut
	Base
	TipTrim
)

// String returns the kind in the quilter's words.
func (k EdgeKind) String() string {
	return [...]string{"strip edge", "crosscut", "base", "tip trim"}[k]
}
