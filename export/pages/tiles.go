// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"
	"math"

	"lozenge/export/words"
	"lozenge/geometry"
)

// grid spreads an outline over windows in columns and rows, row A at the top.
// Neighbours overlap; the glue line runs in the overlap.
type grid struct {
	cols, rows    int
	width, height float64 // of a window
	overlap       float64
	corner        geometry.Point // lower-left of all windows
	outline       geometry.Polygon
	levels        []float64 // heights at which level lines run, cut lines and seams
	clear         float64   // of those lines and of the windows' rims
}

// newGrid returns the fewest windows of at most width by height that hold the
// outline; what is left over is shared by both sides.
func newGrid(outline geometry.Polygon, width, height, overlap float64) grid {
	box := outline.Bounds()
	g := grid{outline: outline, overlap: overlap, width: width, height: height}
	g.cols, g.rows = windows(box.Width(), width, overlap), windows(box.Height(), height, overlap)
	spareX := g.span(g.cols, width) - box.Width()
	spareY := g.span(g.rows, height) - box.Height()
	g.corner = box.Min.Sub(geometry.Point{X: spareX / 2, Y: spareY / 2})
	return g
}

// span returns how much n windows cover.
func (g grid) span(n int, window float64) float64 {
	return float64(float64(n)*window) - float64(float64(n-1)*g.overlap)
}

// windows returns how many windows cover a length. An exact fit takes no
// further one.
func windows(length, window, overlap float64) int {
	if geometry.Fits(length, window) {
		return 1
	}
	return int(math.Ceil((length - overlap - geometry.Fit) / (window - overlap)))
}

// tile is one window of a grid, in the coordinates of the piece.
type tile struct {
	col, row int
	window   geometry.Rect
	core     geometry.Rect // from glue line to glue line
}

func (t tile) name() string { return words.Letters(t.row) + fmt.Sprint(t.col+1) }

// glueLevel returns where the glue line below a window of that row from the
// bottom runs: in the middle of the overlap, or, where a level line lies too
// near to be told from it, so far above or below as is clear of both.
func (g grid) glueLevel(up int) float64 {
	middle := g.corner.Y + float64(float64(up)*(g.height-g.overlap)) + g.overlap/2
	best, bestClear := middle, -1.0
	for step := 0; step <= 16 && bestClear < g.clear; step++ {
		for _, way := range []float64{1, -1} {
			y := middle + float64(way*(g.overlap/2-g.clear)*float64(step)/16)
			clear := g.clear
			for _, l := range g.levels {
				clear = min(clear, math.Abs(l-y))
			}
			if clear > bestClear {
				best, bestClear = y, clear
			}
		}
	}
	return best
}

func (g grid) tile(col, row int) tile {
	up := g.rows - 1 - row
	low := g.corner.Add(geometry.Point{
		X: float64(float64(col) * (g.width - g.overlap)),
		Y: float64(float64(up) * (g.height - g.overlap)),
	})
	t := tile{col: col, row: row, window: geometry.Rect{Min: low, Max: low.Add(geometry.Point{X: g.width, Y: g.height})}}
	t.core = t.window
	if col > 0 {
		t.core.Min.X += g.overlap / 2
	}
	if col < g.cols-1 {
		t.core.Max.X -= g.overlap / 2
	}
	if row < g.rows-1 {
		t.core.Min.Y = g.glueLevel(up)
	}
	if row > 0 {
		t.core.Max.Y = g.glueLevel(up + 1)
	}
	return t
}

// sliver is the least area, in the square of any unit, that is worth a page.
const sliver = 1e-6

// printed reports whether a window is there and holds part of the outline
// between its glue lines.
func (g grid) printed(col, row int) bool {
	if col < 0 || col >= g.cols || row < 0 || row >= g.rows {
		return false
	}
	return g.outline.Within(g.tile(col, row).core).Area() > sliver
}

// tiles returns the windows that are printed, row by row from the top.
func (g grid) tiles() []tile {
	var out []tile
	for row := range g.rows {
		for col := range g.cols {
			if g.printed(col, row) {
				out = append(out, g.tile(col, row))
			}
		}
	}
	return out
}

// clipped is what a window shows of a closed outline.
type clipped struct {
	points []geometry.Point
	closed bool
}

// clip returns what r shows of a convex outline: the whole of it, or lines
// that begin and end on the rim of r.
func clip(outline geometry.Polygon, r geometry.Rect) []clipped {
	var parts []clipped
	joined := false // the part before ends in the vertex where this one begins
	for _, side := range outline.Sides() {
		s, ok := r.Clip(side)
		switch {
		case ok && joined && s.A == side.A:
			last := &parts[len(parts)-1]
			last.points = append(last.points, s.B)
		case ok:
			parts = append(parts, clipped{points: []geometry.Point{s.A, s.B}})
		}
		joined = ok && s.B == side.B
	}
	if !joined || parts[0].points[0] != outline[0] {
		return parts
	}
	first, last := &parts[0], parts[len(parts)-1]
	if len(parts) == 1 {
		first.points, first.closed = first.points[:len(first.points)-1], true
		return parts
	}
	// The first and the last part are one line through the first vertex.
	first.points = append(last.points, first.points[1:]...)
	return parts[:len(parts)-1]
}
