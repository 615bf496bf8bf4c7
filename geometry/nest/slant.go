// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"math"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// perRow is into how many steps the distance of two rows is divided when
// slanted rows are placed.
const perRow = 24

// slanted returns the sheet of right-leaning diamonds that holds most of
// them, lengths of strip set lying at any whole degree or at an angle that
// the crosscuts suggest; nil when none holds more than rows along the sheet.
// The pieces lie inside the margin, the lengths of strip set on the sheet.
func (b Bed) slanted(set strip.Set, longest float64) *Sheet {
	most := 0
	if along := b.along(longest); b.holds(set, geometry.Diamond, along) {
		most = b.rows(set.Width) * set.Yield(along).Plain
	}
	a := set.Angle
	turns := []geometry.Angle{90, a, -a, a / 2, -a / 2, 90 - a, a - 90, 90 - a/2, a/2 - 90}
	for d := geometry.Angle(1); d < 90; d++ {
		turns = append(turns, d, -d)
	}
	one := set.Piece(geometry.Diamond, geometry.Right).Outline
	one = one.Move(geometry.Point{X: -one.Bounds().Min.X})
	var best *Sheet
	for _, turn := range turns {
		s := slant{b, set, turn, longest, newHull(b.inside(), turn), newHull(b.whole(), turn)}
		if rows, n := s.rows(one, most); n > most {
			most = n
			best = &Sheet{Bed: b, Number: 1, Rows: rows}
		}
	}
	return best
}

// slant lays rows of right-leaning diamonds at an angle. Its frame is the
// sheet's, turned back by the angle, so that rows run along x.
type slant struct {
	bed           Bed
	set           strip.Set
	turn          geometry.Angle
	longest       float64
	inside, whole hull
}

// rows returns the rows that together hold most diamonds, and how many; none
// when they don't hold more than enough. one is a diamond whose left end is at
// x = 0.
// Heights are tried in steps of a part of the distance between rows, from the
// lowest corner of what the margin leaves; the best choice among them is
// exact (it is built up from below).
func (s slant) rows(one geometry.Polygon, enough int) ([]Row, int) {
	clear, width := s.inside.clearance(one), one.Bounds().Width()
	low, high := s.inside.corners.Bounds().Min.Y, s.inside.corners.Bounds().Max.Y
	step := (s.set.Width + s.bed.Gap) / perRow
	steps := int(math.Floor((high-low-s.set.Width)/step + geometry.Fit))
	if steps < 0 {
		return nil, 0
	}
	type height struct {
		best  int // diamonds up to here
		row   int // of them in a row at this height; 0 when there is none
		start float64
	}
	heights := make([]height, steps+1)
	for i := range heights {
		h := &heights[i]
		y := low + float64(float64(i)*step)
		n, x := s.most(clear, width, y)
		below := 0
		if i >= perRow {
			below = heights[i-perRow].best
		}
		h.best = n + below
		if n > 0 {
			h.row, h.start = n, x
		}
		if i > 0 && heights[i-1].best >= h.best {
			h.best, h.row = heights[i-1].best, 0
		}
	}
	if heights[steps].best <= enough {
		return nil, 0
	}
	var rows []Row
	for i := steps; i >= 0; {
		h := heights[i]
		if h.row == 0 {
			i--
			continue
		}
		y := low + float64(float64(i)*step)
		at := turned(geometry.Point{X: h.start, Y: y}, s.turn)
		rows = append(rows, Row{Row: diamonds(s.set, h.row), At: at, Turn: s.turn})
		i -= perRow
	}
	slices.Reverse(rows)
	return rows, heights[steps].best
}

func diamonds(set strip.Set, n int) strip.Row {
	return strip.MustRow(set, geometry.Right, strings.Repeat("D", n))
}

// most returns how many diamonds a row at height y holds, and where it
// begins; clear is the clearance of one.
func (s slant) most(clear [4]float64, width, y float64) (n int, x float64) {
	first, last := s.inside.shifts(clear, y)
	if !geometry.Fits(first, last) {
		return 0, 0
	}
	side := s.set.CutSide()
	for n = int(math.Floor((last-first)/side+geometry.Fit)) + 1; n > 0; n-- {
		reach := float64(float64(n-1) * side)
		length := reach + width
		from, to := s.whole.shifts(s.whole.clearance(cloth(length, s.set.Width)), y)
		from, to = max(from, first), min(to, last-reach)
		if geometry.Fits(from, to) && geometry.Fits(length, s.longest) {
			return n, from
		}
	}
	return 0, 0
}

// hull is a rectangle of the sheet in a slanted frame.
type hull struct {
	corners geometry.Polygon  // counter-clockwise
	along   [4]geometry.Point // unit directions of its edges
}

func newHull(r geometry.Rect, turn geometry.Angle) hull {
	h := hull{corners: r.Polygon()}
	for i, p := range h.corners {
		h.corners[i] = turned(p, -turn)
		h.along[i] = turned([...]geometry.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}[i], -turn)
	}
	return h
}

// clearance returns how far inside each edge an outline lies, less than 0
// outside.
func (h hull) clearance(g geometry.Polygon) (clear [4]float64) {
	for i, d := range h.along {
		clear[i] = math.Inf(1)
		for _, p := range g {
			clear[i] = min(clear[i], d.Cross(p.Sub(h.corners[i])))
		}
	}
	return clear
}

// shifts returns between which displacements along x an outline of that
// clearance, raised by y, lies inside; from is above to when there is none.
func (h hull) shifts(clear [4]float64, y float64) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	for i, d := range h.along {
		// Moved by (x, y) it lies inside when off - d.Y x >= 0.
		off := clear[i] + float64(d.X*y)
		switch {
		case math.Abs(d.Y) < geometry.Clip:
			if off < -geometry.Fit {
				return 1, 0
			}
		case d.Y > 0:
			to = min(to, off/d.Y)
		default:
			from = max(from, off/d.Y)
		}
	}
	return from, to
}

// times returns sheets like s, of right-leaning diamonds, that give n of a
// lean: full ones, and one with the rest.
func (s Sheet) times(n int, lean geometry.Lean) []Sheet {
	var out []Sheet
	full := s.Gives().Diamonds(geometry.Right)
	if n >= full {
		whole := s
		whole.Number = n / full
		out = append(out, whole)
	}
	if n %= full; n > 0 {
		part := s
		part.Number, part.Rows = 1, nil
		for _, r := range s.Rows {
			k := min(n, len(r.Pieces))
			if k == 0 {
				break
			}
			n -= k
			r.Row = diamonds(r.Set, k)
			part.Rows = append(part.Rows, r)
		}
		out = append(out, part)
	}
	if lean == geometry.Left {
		for i := range out {
			out[i] = out[i].Mirror()
		}
	}
	return out
}
