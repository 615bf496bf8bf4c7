// SPDX-License-Identifier: Apache-2.0

package draw

import "lozenge/geometry"

// Path is a line or, when Closed, an outline whose first point is not
// repeated.
type Path struct {
	Role   Role
	Points []geometry.Point
	Closed bool
	Thin   bool // half the usual line width, for tip trims and the like
	Dark   bool // of the Mark role, nearly as dark and as wide as a cut line: a sample of one
	Number int  // of a cut, kept with the line on a screen; 0: none
}

// Text is one line of text on the Mark role.
type Text struct {
	At      geometry.Point // baseline; left end, or middle when Centred
	Height  float64        // of a capital letter
	Turn    geometry.Angle // counter-clockwise
	Value   string
	Centred bool
	Colour  string // #rrggbb; "": that of all lettering. DXF has the one only
	Bold    bool   // in PDF and SVG
	Number  int    // of the cut at whose line it stands; 0: none
	Faint   bool   // on a screen: about what is done already
}

// Outline returns the corners of the box around a text in a face, the lower left
// one first. It reaches so far below the baseline, in heights of a capital.
func (t Text) Outline(face Face, below float64) geometry.Polygon {
	left, wide := 0.0, face.Width(t.Value, t.Height)
	if t.Centred {
		left = -wide / 2
	}
	box := geometry.Rect{Min: geometry.Point{X: left, Y: -below * t.Height}, Max: geometry.Point{X: left + wide, Y: t.Height}}
	sin, cos := t.Turn.SinCos()
	out := box.Polygon()
	for i, p := range out {
		out[i] = t.At.Add(geometry.Point{X: float64(p.X*cos) - float64(p.Y*sin), Y: float64(p.X*sin) + float64(p.Y*cos)})
	}
	return out
}

// Fill is polygons of one colour under the lines. SVG, PDF and PNG show them;
// DXF does not.
type Fill struct {
	Colour   string // #rrggbb
	Polygons []geometry.Polygon
	Bare     bool // without the hairline in its own colour that closes the gap to the next
}

// CalibrationSquare is the square that proves the scale.
type CalibrationSquare struct {
	At   geometry.Point // lower-left corner
	Side float64        // in the drawing's unit
	Size string         // side with its unit, as "4in" or "50mm"
}

// Rect returns where the square lies.
func (q *CalibrationSquare) Rect() geometry.Rect {
	return geometry.Rect{Min: q.At, Max: q.At.Add(geometry.Point{X: q.Side, Y: q.Side})}
}

// Part is a whole piece as it lies in a drawing, for forms that keep pieces
// together. Its lines are among the drawing's Paths too.
type Part struct {
	Name     string // short, its own in the drawing: "1 right-leaning diamond"
	Number   int    // how many to cut
	Outline  geometry.Polygon
	Finished geometry.Polygon   // corners where the seams will cross
	Seams    []geometry.Segment // inside the outline
	Grain    geometry.Segment   // along the strips
	Labels   []string
}

// Drawing is a drawing at true size: x to the right, y up, lengths in Unit.
type Drawing struct {
	Title   string
	Note    string // what it is for, in a sentence; the SVG's description
	Heading string // what begins on this page of several, in a few words; "": what the last one shows goes on
	Unit    geometry.Unit
	Page    geometry.Rect // all that is shown
	Line    float64       // width of a cut line
	Fills   []Fill
	Paths   []Path
	Texts   []Text
	Parts   []Part
	Square  *CalibrationSquare // nil on a picture
	// Machine says that a machine cuts along it: an SVG then has no white ground,
	// which it might take for a cut.
	Machine bool
	// Scale is paper length per drawn length: 1 for true size; a picture is
	// drawn smaller.
	Scale float64
}
