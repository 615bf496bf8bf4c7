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
	if mm, ok := f.Millimetres(); ok {
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
	box := page.bounds()
	if !box.Empty() {
		page.Width, page.Height = box.Width(), box.Height()
	}
	d.Pages = []Page{page}
	d.Notes = append(dxfUnitNotes(f), dxfSizeNotes(f, box, k, d.Unit)...)
	if f.Skipped["WIPEOUT"] > 0 {
		d.Doubt = "it has areas that hide what lies under them (WIPEOUT), which not every program draws"
	}
	kinds := slices.Sorted(maps.Keys(f.Skipped))
	for _, kind := range kinds[:min(len(kinds), 10)] {
		d.Notes = append(d.Notes, fmt.Sprintf("%s entities are not measured (%d)", kind, f.Skipped[kind]))
	}
	return d, nil
}

// dxfPath returns a line, its points being in inches.
func dxfPath(e *dxf.Entity, points []geometry.Point) Path {
	path := Path{Points: points, Role: layerRole(e), Closed: e.Closed && len(points) > 2, Hidden: e.Hidden}
	// The sewn-products form keeps the square in a block of its own.
	if path.Role == Cut && strings.EqualFold(e.Block, "CALIBRATION_SQUARE") {
		path.Square, path.Role = ByBlock, Square
	}
	return path
}

// dxfUnitNotes says what other programs may make of the unit.
func dxfUnitNotes(f *dxf.File) []string {
	mm, ok := f.Millimetres()
	metric, stated := f.Metric()
	system := map[bool]string{false: "inches", true: "millimetres"}
	inches := mm == 25.4 || mm == 304.8 || mm == 914.4 || mm == 0.0254
	number, given := f.Int("$INSUNITS")
	switch {
	case !ok && given && number != 0:
		return []string{fmt.Sprintf("$INSUNITS is %d, which is no unit that anyone cuts in", number)}
	case !ok && stated:
		return []string{fmt.Sprintf("$MEASUREMENT speaks of %s, but it chooses how areas are hatched and is no unit", system[metric])}
	case ok && !stated:
		return []string{"$MEASUREMENT is missing: programs that go by it may take the numbers for inches or for millimetres, whatever $INSUNITS says"}
	case ok && metric == inches:
		return []string{fmt.Sprintf("$INSUNITS and $MEASUREMENT contradict each other: programs that go by the second may take the numbers for %s", system[metric])}
	}
	return nil
}

// dxfSizeNotes holds what the header says of the size against the lines. Beyond
// those may lie words, which have no exact width, and what is not read.
func dxfSizeNotes(f *dxf.File, lines geometry.Rect, k float64, u Unit) []string {
	low, ok := f.Point("$EXTMIN")
	high, ok2 := f.Point("$EXTMAX")
	said := geometry.Rect{Min: low.Mul(k), Max: high.Mul(k)}
	if !ok || !ok2 || lines.Empty() || !(said.Width() > 0 && said.Height() > 0) || said.Width() > maxReach || said.Height() > maxReach {
		return nil // an empty drawing has extents of 1e20
	}
	most := lines
	for i := range f.Entities {
		if e := &f.Entities[i]; e.Kind == dxf.Text && len(e.Points) > 0 {
			reach := e.Height * float64(1+len(e.Value)) * k
			at := e.Points[0].Mul(k)
			most = most.Grow(at.Sub(geometry.Point{X: reach, Y: reach}), at.Add(geometry.Point{X: reach, Y: reach}))
		}
	}
	const slack = 0.02
	wrong := func(said, least, most float64) bool { return said < least*(1-slack) || said > most*(1+slack) }
	if !wrong(said.Width(), lines.Width(), most.Width()) && !wrong(said.Height(), lines.Height(), most.Height()) {
		return nil
	}
	return []string{fmt.Sprintf("the header says %s by %s ($EXTMIN, $EXTMAX), but the lines reach over %s by %s: programs that fit the drawing to what the header says would scale it",
		u.Format(said.Width()), u.Format(said.Height()), u.Format(lines.Width()), u.Format(lines.Height()))}
}
