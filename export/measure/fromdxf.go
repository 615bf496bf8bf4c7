// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"lozenge/export/dxf"
	"lozenge/geometry"
)

// layerRole is what a layer of our own forms is for. In the sewn-products form
// layers have numbers, which mean something inside blocks only.
func layerRole(e *dxf.Entity) Role {
	if role := RoleNamed(e.Layer); role != Unknown || e.Block == "" {
		return role
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
	for i := range f.Entities {
		e := &f.Entities[i]
		points := room[:len(e.Points):len(e.Points)]
		room = room[len(e.Points):]
		for j, p := range e.Points {
			if points[j] = p.Mul(k); math.Abs(points[j].X) > maxReach || math.Abs(points[j].Y) > maxReach {
				return nil, fmt.Errorf("reading DXF: the %s of line %d has a point beyond all measure", e.Kind, e.Line)
			}
		}
		switch {
		case e.Kind == dxf.Text && len(points) > 0:
			page.Texts = append(page.Texts, Text{At: points[0], Value: e.Value})
		case (e.Kind == dxf.Line || e.Kind == dxf.Polyline) && len(points) > 1: // a single point is drawn as nothing
			path := dxfPath(e, points)
			page.Paths = append(page.Paths, path)
			d.Roles = d.Roles || path.Role != Unknown
		}
	}
	page.Width, page.Height = dxfSize(f, k)
	d.Pages = []Page{page}
	kinds := slices.Sorted(maps.Keys(f.Skipped))
	for _, kind := range kinds[:min(len(kinds), 10)] {
		d.Notes = append(d.Notes, fmt.Sprintf("%s entities are not measured (%d)", kind, f.Skipped[kind]))
	}
	return d, nil
}

// dxfPath returns a line, its points being in inches.
func dxfPath(e *dxf.Entity, points []geometry.Point) Path {
	path := Path{Points: points, Role: layerRole(e), Closed: e.Closed && len(points) > 2}
	// The sewn-products form keeps the square in a block of its own.
	if path.Role == Cut && strings.EqualFold(e.Block, "CALIBRATION_SQUARE") {
		path.Square, path.Role = ByBlock, Square
	}
	return path
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
