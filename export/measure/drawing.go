// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"slices"
	"strings"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// Drawing is what a file shows, as its reader found it. Lengths are inches,
// or the file's own where Unit is Unknown; x runs right and y up.
type Drawing struct {
	Format Format
	Unit   Unit // in which the file itself counts; the report is in it
	Pages  []Page
	// Roles says that the file tells what its lines are for; else only those
	// that look like cut lines are taken for such.
	Roles bool
	// Pixels says that the file gives its size in screen pixels, 96 to an
	// inch where nothing else is agreed.
	Pixels bool
	// Screen says that it is a picture for a projector: its pixels are those
	// of the screen, and only on the mat has it a size.
	Screen bool
	// Doubt is why programs draw it in different sizes, "" when they do not.
	Doubt string
	Notes []string // what the reader could not follow, in words
}

// Format is the kind of a file.
type Format string

// The formats.
const (
	SVG Format = "svg"
	DXF Format = "dxf"
	PDF Format = "pdf"
)

// Page is a page, or the whole drawing where there are none.
type Page struct {
	Width, Height float64 // 0 where the file has no page
	Paths         []Path
	Texts         []Text
}

// Path is a line or, when Closed, an outline whose first point is not
// repeated.
type Path struct {
	Points []geometry.Point
	Role   Role
	Closed bool
	Filled bool // an area of colour without a line around it
	// Line and Area are what it is painted with, of formats that say so.
	Line, Area Ink
	Broad      float64     // how broad its line is, of formats that say so
	Cover      *trace.Clip // what is painted with Area; of several outlines in the first
	Hidden     string      // why it can't be seen, as "its layer CUT is off"; "" when it can
	Square     FoundBy
	Size       string // of the calibration square, as the file says it: "4in"
}

// Ink is what a line or an area is painted with. The zero value is none.
type Ink struct {
	Colour [3]float32 // red, green and blue, from 0 to 1
	Alpha  float32    // 1 hides what lies under it
	// Unsure says that it is a pattern, a picture or a colour in a way of
	// writing that is not followed.
	Unsure bool
}

func (i Ink) paints() bool { return i.Alpha > 0 }

// edges appends the straight lines between the points.
func (p *Path) edges(to []geometry.Segment) []geometry.Segment {
	n := len(p.Points)
	for j := 1; j < n; j++ {
		to = append(to, geometry.Segment{A: p.Points[j-1], B: p.Points[j]})
	}
	if p.Closed && n > 2 {
		to = append(to, geometry.Segment{A: p.Points[n-1], B: p.Points[0]})
	}
	return to
}

// Text is the place of a line of text.
type Text struct {
	At       geometry.Point
	Value    string
	Mirrored bool // seen in a mirror
}

// Role is what a line is for.
type Role uint8

// The roles.
const (
	Unknown Role = iota
	Cut
	Sew
	Mark
	Square
)

// RoleNamed is the role that a group or a layer is named for, of files of our
// own.
func RoleNamed(name string) Role {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "cut":
		return Cut
	case "sew":
		return Sew
	case "mark":
		return Mark
	case "square":
		return Square
	}
	return Unknown
}

// RoleByLook is the role of a line where no name tells it.
func RoleByLook(dashed, grey bool) Role {
	switch {
	case dashed:
		return Sew
	case grey:
		return Mark
	}
	return Unknown
}

// Grey reports whether a colour, its parts from 0 to 1, is neither black nor
// white nor what anyone would call a colour.
func Grey(parts ...float64) bool {
	low, high := slices.Min(parts), slices.Max(parts)
	return high-low <= 0.1 && high > 0.25 && high < 0.95
}

// FoundBy is what tells the calibration square.
type FoundBy string

// What may tell it.
const (
	ByID    FoundBy = "id"
	ByLayer FoundBy = "layer"
	ByBlock FoundBy = "block"
	ByShape FoundBy = "shape"
)
