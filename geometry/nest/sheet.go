// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Row is a row of pieces on a sheet: its own (0, 0), the lower left end of the
// strip that it is cut from, lies at At, and it is turned by Turn.
type Row struct {
	strip.Row
	At   geometry.Point
	Turn geometry.Angle
}

// Place returns where a point of the row's own frame lies on the sheet.
func (r Row) Place(p geometry.Point) geometry.Point { return r.At.Add(turned(p, r.Turn)) }

// Strip returns the length of strip, or of strip set, that the row is cut
// from, as it lies on the sheet.
func (r Row) Strip() geometry.Polygon {
	return cloth(r.Length, r.Set.Width).Map(r.Place)
}

// cloth returns the outline of a length of strip or strip set.
func cloth(length, width float64) geometry.Polygon {
	return geometry.Rect{Max: geometry.Point{X: length, Y: width}}.Polygon()
}

// Piece returns piece i as it lies on the sheet.
func (r Row) Piece(i int) geometry.Piece { return r.Row.Piece(i).Map(r.Place) }

func turned(p geometry.Point, by geometry.Angle) geometry.Point {
	if by == 0 {
		return p
	}
	sin, cos := by.SinCos()
	return geometry.Point{
		X: float64(p.X*cos) - float64(p.Y*sin),
		Y: float64(p.X*sin) + float64(p.Y*cos),
	}
}

// Sheet is one layout and how often it is cut.
type Sheet struct {
	Bed
	Rows   []Row
	Number int // of sheets like this one
}

// Pieces returns the pieces, row by row, each row from its left end.
func (s Sheet) Pieces() []geometry.Piece {
	var out []geometry.Piece
	for _, r := range s.Rows {
		for i := range r.Pieces {
			out = append(out, r.Piece(i))
		}
	}
	return out
}

// Gives returns how many of each piece one such sheet gives.
func (s Sheet) Gives() strip.Count {
	var c strip.Count
	for _, r := range s.Rows {
		for _, p := range r.Row.Pieces {
			c[p.Lean][p.Shape]++
		}
	}
	return c
}

// Area returns the area of the pieces on one sheet.
func (s Sheet) Area() float64 {
	sum := 0.0
	for _, r := range s.Rows {
		var area [3]float64
		for _, shape := range geometry.Shapes {
			area[shape] = r.Set.Piece(shape, geometry.Right).Outline.Area()
		}
		for _, p := range r.Row.Pieces {
			sum += area[p.Shape]
		}
	}
	return sum
}

// Covered returns the area of the pieces over the area of the sheet.
func (s Sheet) Covered() float64 { return s.Area() / float64(s.Width*s.Height) }

// Turn returns the angle at which the rows lie; 0 is along the sheet.
func (s Sheet) Turn() geometry.Angle {
	if len(s.Rows) == 0 {
		return 0
	}
	return s.Rows[0].Turn
}

// Seen returns the sheet as it is for fabric that lies so.
func (s Sheet) Seen(f geometry.Face) Sheet {
	if f == geometry.FaceDown {
		return s.Mirror()
	}
	return s
}

// Mirror returns the mirror image in x of a sheet, in which a right-leaning
// piece looks left-leaning.
func (s Sheet) Mirror() Sheet {
	rows := make([]Row, len(s.Rows))
	for i, r := range s.Rows {
		m := strip.MustRow(r.Set, r.Lean.Other(), r.Word)
		// A gang's pieces lie farther apart than NewRow lays them.
		m.Length = r.Length
		for k := range m.Pieces {
			m.Pieces[k].Offset = r.Length - r.Pieces[k].Offset
		}
		end := r.Place(geometry.Point{X: r.Length}).MirrorX()
		rows[i] = Row{Row: m, Turn: -r.Turn, At: geometry.Point{X: s.Width + end.X, Y: end.Y}}
	}
	s.Rows = rows
	return s
}

// Room returns where a square of that side lies inside the margin and a gap
// clear of every row; ok is false where there is no room.
func (s Sheet) Room(side float64) (at geometry.Point, ok bool) {
	room := s.inside()
	right, top := room.Max.X-side, room.Max.Y-side
	if !geometry.Fits(room.Min.X, right) || !geometry.Fits(room.Min.Y, top) {
		return geometry.Point{}, false
	}
	xs, ys := []float64{right, room.Min.X}, []float64{top, room.Min.Y}
	var strips []geometry.Polygon
	for _, r := range s.Rows {
		g := r.Strip()
		strips = append(strips, g)
		box := g.Bounds()
		xs = append(xs, box.Max.X+s.Gap, box.Min.X-s.Gap-side)
		ys = append(ys, box.Max.Y+s.Gap, box.Min.Y-s.Gap-side)
	}
	for _, y := range ys {
		for _, x := range xs {
			if !geometry.Fits(room.Min.X, x) || !geometry.Fits(x, right) || !geometry.Fits(room.Min.Y, y) || !geometry.Fits(y, top) {
				continue
			}
			// Exactly a gap away is clear.
			clear := geometry.Rect{
				Min: geometry.Point{X: x - s.Gap + geometry.Fit, Y: y - s.Gap + geometry.Fit},
				Max: geometry.Point{X: x + side + s.Gap - geometry.Fit, Y: y + side + s.Gap - geometry.Fit},
			}
			if !slices.ContainsFunc(strips, func(g geometry.Polygon) bool { return g.Within(clear).Area() > geometry.Fit }) {
				return geometry.Point{X: x, Y: y}, true
			}
		}
	}
	return geometry.Point{}, false
}
