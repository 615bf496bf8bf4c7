// SPDX-License-Identifier: Apache-2.0

// Package dxf writes a drawing as a DXF file in one of three forms, and reads
// back such files and those of other programs.
//
// [AC1015] and [R12] hold the whole drawing: outlines on the layer CUT, seams
// on SEW, text and marks on MARK, the calibration square on SQUARE. In AC1015
// an outline is a closed LWPOLYLINE, which readers of R12 do not know; in R12
// it is a POLYLINE with a VERTEX for each corner. [SewnProducts] keeps each
// piece together in a block.
//
// The header states the unit and the extents; y runs up, as in the drawing.
// Fills are left out, and so is the line width: a blade has none.
package dxf

import (
	"fmt"
	"io"
	"strings"

	"lozenge/export"
	"lozenge/export/draw"
)

// Form is how a drawing is put into a DXF file.
type Form int

// The forms. AC1015 is what 2000 brought and what nearly every program
// reads; R12 is for older machines; SewnProducts follows ASTM D6673, which
// was withdrawn in 2019 and is still read by industrial cutters.
const (
	AC1015 Form = iota
	R12
	SewnProducts
)

// Forms lists them all.
var Forms = [...]Form{AC1015, R12, SewnProducts}

// String returns "ac1015", "r12" or "d6673".
func (f Form) String() string { return [...]string{"ac1015", "r12", "d6673"}[f] }

// ParseForm is the reverse of [Form.String]; case does not matter.
func ParseForm(s string) (Form, error) {
	names := make([]string, len(Forms))
	for i, f := range Forms {
		if names[i] = f.String(); strings.EqualFold(s, names[i]) {
			return f, nil
		}
	}
	return 0, fmt.Errorf("%q is no form of DXF; the forms are %s", s, strings.Join(names, ", "))
}

// Write writes the drawing as AC1015; see [WriteForm].
func Write(w io.Writer, s *draw.Drawing) error { return WriteForm(w, s, AC1015) }

// WriteForm writes the drawing. It fails when a coordinate is not finite, a
// line is too short to be one, or w fails; nothing is written before all is
// known to be right. SewnProducts writes the drawing's Parts and the
// calibration square and nothing else of the drawing, and fails with
// [ErrNoPieces] when there are none.
func WriteForm(w io.Writer, s *draw.Drawing, form Form) error {
	c, err := prepare(s, form)
	if err == nil {
		f := newFormatter(w)
		if form == AC1015 {
			formatAC1015(f, c)
		} else {
			formatR12(f, c)
		}
		err = f.finish()
	}
	if err != nil {
		return fmt.Errorf("writing DXF: %w", err)
	}
	return nil
}

// prepare takes from a drawing what goes into the file, and checks all of it.
func prepare(s *draw.Drawing, form Form) (*content, error) {
	if err := export.Finite("the page", -1, s.Page.Min, s.Page.Max); err != nil {
		return nil, err
	}
	if form == SewnProducts {
		return prepareSewn(s)
	}
	return prepareDrawing(s, form)
}
