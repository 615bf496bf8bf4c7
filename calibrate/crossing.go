// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// Crossing is a crossing of the mat's own grid, and where it is drawn.
type Crossing struct {
	Point int     // the number of the target it belongs to
	X, Y  float64 // inches, on the mat
	// U and V, in pixels, are where the solution so far draws it; where that is
	// nowhere, they are where the target stands.
	U, V     float64
	OnScreen bool // on the screen and in the calibrated area
}

// crossingReach is how many units of the mat the crossing of a target may lie
// away from it in each direction. The calibrated area goes beyond the outer
// targets by 2 % of the picture, so that nearly always the nearest will do.
const crossingReach = 4

// Crossings returns where the crosses should be drawn that refine the
// solution: for each target the crossing of the mat's grid, of whole inches or
// of whole centimetres, that lies nearest to it on the mat, is on the screen
// and inside the calibrated area, and the pixel at which the solution so far
// draws it. The area is that of the map and of the targets given, so that one
// whose reading is suspect gets its crossing too. Where there is none, OnScreen
// is false and the crossing is the nearest one. Nil when the solution has no
// map.
func (r Result) Crossings(targets []Target, unit geometry.Unit) []Crossing {
	if r.Map == nil {
		return nil
	}
	area := areaAround(r.Screen, slices.Concat(r.Map.targets, places(targets)))
	out := make([]Crossing, 0, len(targets))
	for _, t := range targets {
		out = append(out, r.Map.gridCrossing(t, unit.Inches(1), area))
	}
	return out
}

// gridCrossing returns the crossing of one target, for lines of the grid that
// are so many inches apart, inside an area of the screen.
func (m *Map) gridCrossing(t Target, apart float64, area geometry.Polygon) Crossing {
	x, y := m.ToMat(t.U, t.V)
	nx, ny := math.Round(x/apart), math.Round(y/apart)
	type place struct{ i, j, far float64 }
	var near []place
	for i := -crossingReach; i <= crossingReach; i++ {
		for j := -crossingReach; j <= crossingReach; j++ {
			p := place{i: nx + float64(i), j: ny + float64(j)}
			p.far = math.Hypot(p.i*apart-x, p.j*apart-y)
			near = append(near, p)
		}
	}
	slices.SortStableFunc(near, func(a, b place) int { return cmp.Compare(a.far, b.far) })
	at := func(p place) Crossing {
		// + 0 keeps -0 away.
		c := Crossing{Point: t.Point, X: p.i*apart + 0, Y: p.j*apart + 0, U: t.U, V: t.V}
		if u, v, ok := m.ToScreen(c.X, c.Y); !math.IsNaN(u) {
			c.U, c.V = u, v
			c.OnScreen = ok && inside(area, geometry.Point{X: u, Y: v}) >= -rim
		}
		return c
	}
	for _, p := range near {
		if c := at(p); c.OnScreen {
			return c
		}
	}
	return at(near[0])
}
