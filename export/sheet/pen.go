// SPDX-License-Identifier: Apache-2.0

// Package sheet draws a quilt: its picture, the strip sets with their cut lines,
// pieces for cutters and dies, and the diagrams and labels for sewing.
package sheet

import (
	"lozenge/export/draw"
	"lozenge/geometry"
)

// pen draws what belongs to a quilt.
type pen struct{ *draw.Pen }

func newPen(unit geometry.Unit, title, note string) *pen {
	return &pen{draw.NewPen(unit, title, note)}
}
