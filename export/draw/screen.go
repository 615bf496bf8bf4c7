// SPDX-License-Identifier: Apache-2.0

package draw

import "lozenge/geometry"

// Screen is a drawing in the pixels of a screen, u to the right and v down, to
// be shown full screen: a pixel of the file is a pixel of the projector. Its
// points are where they are to light up; nothing is moved.
type Screen struct {
	Width, Height int // pixels
	Title         string
	Note          string // the description: all that is said, in whole sentences
	Ground        string // #rrggbb, all over the screen
	Layers        []Layer
}

// Layer is lines and lettering of one kind, a group with an id.
type Layer struct {
	ID     string
	Colour string    // #rrggbb of lines and lettering
	Line   float64   // width, pixels
	Dash   []float64 // drawn, left out, ... in pixels; nil for lines that don't break
	Traces []Trace
	Words  []Lettering
}

// Trace is a line or, when Closed, an outline whose first point is not
// repeated.
type Trace struct {
	Points []geometry.Point
	Closed bool
	Apart  bool   // each two points are a line of their own
	ID     string // of its own; "": none
	Thin   bool   // half the width of the layer, but at least a pixel
	Number int    // of a cut; 0: none
	Size   string // of the calibration square, as "12in"; "" for other lines
}

// Lettering is one line of text on a surface that the screen shows at a
// slant: At is where its baseline begins, the middle of it when Centred or its end when Right;
// Across and Up lead on by the height of a capital along the baseline and at
// right angles to it, as they appear on the screen.
type Lettering struct {
	At, Across, Up geometry.Point
	Centred, Right bool
	Value          string
}
