// SPDX-License-Identifier: Apache-2.0

// Package sheet lays pieces, labels and the calibration square out on a sheet
// of paper, a mat or a picture. The svg and dxf packages write a [Sheet] to a
// file; neither moves a point.
package sheet

import "lozenge/geometry"

// Role is what a line is for; each has an SVG group and a DXF layer of its
// own.
type Role int

// The roles.
const (
	Cut    Role = iota // cut here
	Sew                // a seam runs here; never cut
	Mark               // labels, arrows, the edges of the cloth
	Square             // the calibration square
	Figure             // in a drawing that explains: nothing is cut or measured there
)

// String returns "cut", "sew", "mark", "square" or "figure".
func (r Role) String() string { return [...]string{"cut", "sew", "mark", "square", "figure"}[r] }

// Path is a line or, when Closed, an outline whose first point is not
// repeated.
type Path struct {
	Role   Role
	Points []geometry.Point
	Closed bool
	Thin   bool // half the usual line width, for tip trims and the like
	Dark   bool // of the Mark role, nearly as dark and as wide as a cut line: a sample of one
}

// DarkGrey is the colour of what is Dark: a file in which cut lines are only
// known by being black still tells it from one.
const DarkGrey = 0x48

// Text is one line of text on the Mark role.
type Text struct {
	At      geometry.Point // baseline; left end, or middle when Centred
	Height  float64        // of a capital letter
	Turn    geometry.Angle // counter-clockwise
	Value   string
	Centred bool
	Colour  string // #rrggbb; "": that of all lettering. DXF has the one only
	Bold    bool   // in PDF and SVG
}

// Fill is polygons of one colour under the lines. SVG shows them; DXF does
// not.
type Fill struct {
	Colour   string // #rrggbb
	Polygons []geometry.Polygon
}

// CalibrationSquare is the square that proves the scale.
type CalibrationSquare struct {
	At   geometry.Point // lower-left corner
	Side float64        // in the sheet's unit
	Size string         // side with its unit, as "4in" or "50mm"
}

// Piece is a whole piece as it lies on a sheet, for forms that keep pieces
// together. Its lines are among the sheet's Paths too.
type Piece struct {
	Name     string // short, its own on the sheet: "1 right-leaning diamond"
	Number   int    // how many to cut
	Outline  geometry.Polygon
	Finished geometry.Polygon   // corners where the seams will cross
	Seams    []geometry.Segment // of the strip set, inside the outline
	Grain    geometry.Segment   // along the strips
	Labels   []string
}

// Sheet is a drawing at true size: x to the right, y up, lengths in Unit.
type Sheet struct {
	Title  string
	Note   string // what it is for, in a sentence; the SVG's description
	Unit   geometry.Unit
	Page   geometry.Rect // all that is shown
	Line   float64       // width of a cut line
	Fills  []Fill
	Paths  []Path
	Texts  []Text
	Pieces []Piece
	Square *CalibrationSquare // nil on a picture
	// Scale is paper length per drawn length: 1 for true size; a picture is
	// drawn smaller.
	Scale float64
}
