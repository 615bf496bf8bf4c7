// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lozenge/export/dxf"
	"lozenge/geometry"
)

// layerRole is what a layer of our own forms is for. In the sewn-products form
// layers have numbers, which mean something inside blocks only.
func layerRole(e *dxf.Entity) Role {
	switch strings.ToUpper(e.Layer) {
	case "CUT":
		return Cut
	case "SEW":
		return Sew
	case "MARK":
		return Mark
	case "SQUARE":
		return Square
	}
	if e.Block == "" {
		return Unknown
	}
	switch e.Layer {
	case "1":
		return Cut
	case "8":
		return Sew
	case "4", "7", "14", "15":
		return Mark
	}
	return Unknown
}

// maxReach is the largest coordinate in inches, or in the file's own unit.
const maxReach = 1e7

// FromDXF returns a DXF file as a drawing. A file that states no unit is
// NoUnit. A point beyond all measure is an error that names the line.
func FromDXF(f *dxf.File) (*Drawing, error) {
	d := &Drawing{Format: DXF, Unit: NoUnit}
	k := 1.0
	if mm, _, ok := f.Millimetres(); ok {
		k = Millimetre.Inches() * mm
		switch mm {
		case 1:
			d.Unit = Millimetre
		case 10:
			d.Unit = Centimetre
		default:
			d.Unit = Inch
		}
	}
	n := 0
	for i := range f.Entities {
		n += len(f.Entities[i].Points)
	}
	room := make([]geometry.Point, n) // for all points at once
	page := Page{Paths: make([]Path, 0, len(f.Entities))}
	curved := 0
	for i := range f.Entities {
		e := &f.Entities[i]
		points := room[:len(e.Points):len(e.Points)]
		room = room[len(e.Points):]
		for j, p := range e.Points {
			if points[j] = p.Mul(k); math.Abs(points[j].X) > maxReach || math.Abs(points[j].Y) > maxReach {
				return nil, fmt.Errorf("reading DXF: the %s of line %d has a point beyond all measure", e.Kind, e.Line)
			}
		}
		role := layerRole(e)
		switch e.Kind {
		case dxf.Text:
			if len(points) > 0 {
				page.Texts = append(page.Texts, Text{At: points[0], Value: e.Value})
			}
		case dxf.Line, dxf.Polyline:
			if len(points) < 2 {
				continue // a single point is drawn as nothing
			}
			if e.Curved {
				curved++
			}
			d.Roles = d.Roles || role != Unknown
			path := Path{Points: points, Role: role, Closed: e.Closed && len(points) > 2}
			// The sewn-products form keeps the square in a block of its own.
			if role == Cut && strings.EqualFold(e.Block, "CALIBRATION_SQUARE") {
				path.Square, path.Role = ByBlock, Square
			}
			page.Paths = append(page.Paths, path)
		}
	}
	page.Width, page.Height = dxfSize(f, k)
	d.Pages = []Page{page}
	if curved > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d lines have arcs in them; they were measured by the ends of the arcs", curved))
	}
	kinds := make([]string, 0, len(f.Skipped))
	for kind := range f.Skipped {
		kinds = append(kinds, kind)
	}
	slices.Sort(kinds)
	for _, kind := range kinds[:min(len(kinds), 10)] {
		d.Notes = append(d.Notes, fmt.Sprintf("%s entities are not measured (%d)", kind, f.Skipped[kind]))
	}
	return d, nil
}

// dxfSize returns the extents: those that the header states, else those of
// what is drawn.
func dxfSize(f *dxf.File, k float64) (width, height float64) {
	low, ok := f.Point("$EXTMIN")
	high, ok2 := f.Point("$EXTMAX")
	box := geometry.Rect{Min: low, Max: high}
	if !ok || !ok2 || !(box.Width() > 0 && box.Height() > 0) || box.Width() > maxReach || box.Height() > maxReach {
		box = f.Bounds()
	}
	if box.Empty() {
		return 0, 0
	}
	return box.Width() * k, box.Height() * k
}
