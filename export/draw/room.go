// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"

	"lozenge/geometry"
)

// Room is where labels may stand: clear of lines and of each other.
type Room struct {
	Lines []geometry.Segment
	Boxes []geometry.Rect             // that are taken
	Holds func(p geometry.Point) bool // of the corners of a box; nil: everywhere
}

// Free reports whether a box lies in the room and touches nothing.
func (r *Room) Free(box geometry.Rect) bool {
	for _, b := range r.Boxes { // first, for that is soon told
		if box.Min.X < b.Max.X && b.Min.X < box.Max.X && box.Min.Y < b.Max.Y && b.Min.Y < box.Max.Y {
			return false
		}
	}
	for _, c := range box.Polygon() {
		if r.Holds != nil && !r.Holds(c) {
			return false
		}
	}
	for _, s := range r.Lines {
		if _, hit := box.Clip(s); hit {
			return false
		}
	}
	return true
}

// LargestBox returns the height of the largest box, so many times as wide as
// high, that lies in a convex polygon, and its middle. The largest one touches
// three sides; where several do so alike, the middle between them is taken.
func LargestBox(g geometry.Polygon, wide float64) (middle geometry.Point, height float64) {
	type side struct{ nx, ny, d, k float64 } // inside: n·p <= d - k height
	var sides []side
	for i, p := range g {
		q := g[(i+1)%len(g)]
		along := q.Sub(p)
		n := along.Len()
		if n < geometry.Fit {
			continue
		}
		nx, ny := along.Y/n, -along.X/n
		sides = append(sides, side{nx, ny, float64(nx*p.X) + float64(ny*p.Y), (float64(math.Abs(nx)*wide) + math.Abs(ny)) / 2})
	}
	holds := func(x, y, h float64) bool {
		for _, s := range sides {
			if !(float64(s.nx*x)+float64(s.ny*y)+float64(s.k*h) <= s.d+geometry.Fit) {
				return false
			}
		}
		return h > 0
	}
	height = -1
	var found geometry.Polygon
	for i, a := range sides {
		for j, b := range sides[:i] {
			for _, c := range sides[:j] {
				// Three equations for x, y and the height, by Cramer's rule.
				d := det(a.nx, a.ny, a.k, b.nx, b.ny, b.k, c.nx, c.ny, c.k)
				if math.Abs(d) < 1e-12 {
					continue
				}
				x := det(a.d, a.ny, a.k, b.d, b.ny, b.k, c.d, c.ny, c.k) / d
				y := det(a.nx, a.d, a.k, b.nx, b.d, b.k, c.nx, c.d, c.k) / d
				h := det(a.nx, a.ny, a.d, b.nx, b.ny, b.d, c.nx, c.ny, c.d) / d
				switch {
				case !holds(x, y, h) || h < height-geometry.Fit:
				case h > height+geometry.Fit:
					height, found = h, geometry.Polygon{{X: x, Y: y}}
				default:
					found = append(found, geometry.Point{X: x, Y: y})
				}
			}
		}
	}
	if len(found) == 0 {
		return middle, 0
	}
	return found.Middle(), height
}

// det is the determinant of three rows.
func det(ax, ay, ak, bx, by, bk, cx, cy, ck float64) float64 {
	return float64(ax*(float64(by*ck)-float64(bk*cy))) - float64(ay*(float64(bx*ck)-float64(bk*cx))) + float64(ak*(float64(bx*cy)-float64(by*cx)))
}
