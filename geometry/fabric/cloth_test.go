// SPDX-License-Identifier: Apache-2.0

package fabric_test

import "lozenge/geometry"

// What is bought is cut up here piece by piece, in whole grains: 1/16 in or
// 1 mm, so that nothing is rounded and exactly enough shows as exactly enough.

const (
	sixteenths  = 16 // grains in an inch
	millimetres = 10 // grains in a centimetre
)

func grains(u geometry.Unit) int {
	if u == geometry.Centimetre {
		return millimetres
	}
	return sixteenths
}

// length returns grains as a length in u.
func length(g int, u geometry.Unit) float64 { return float64(g) / float64(grains(u)) }

// boltLength returns the grains in what was bought, and in one step of it.
func boltLength(buy float64, u geometry.Unit) (all, step int) {
	perStep, steps := 72, buy*8 // 4 1/2 in
	if u == geometry.Centimetre {
		perStep, steps = 100, buy*10
	}
	n := int(steps + 0.5)
	return n * perStep, perStep
}

// rect lies in a cloth: from (x, y), w across it and h along.
type rect struct{ x, y, w, h int }

// cloth is one cut of fabric and what has been cut out of it.
type cloth struct {
	w, h int
	gone []rect
}

// take cuts a piece out; false where there is no cloth.
func (c *cloth) take(r rect) bool {
	if r.w <= 0 || r.h <= 0 || r.x < 0 || r.y < 0 || r.x+r.w > c.w || r.y+r.h > c.h {
		return false
	}
	for _, g := range c.gone {
		if r.x < g.x+g.w && g.x < r.x+r.w && r.y < g.y+g.h && g.y < r.y+r.h {
			return false
		}
	}
	c.gone = append(c.gone, r)
	return true
}

// spread lays pieces into at most that many rows of the given room, trying
// every way, and returns the row of each piece; nil if there is no way.
func spread(pieces []int, room, rows int) []int {
	row := make([]int, len(pieces))
	left := make([]int, 0, rows)
	var place func(k int) bool
	place = func(k int) bool {
		if k == len(pieces) {
			return true
		}
		for i := range left {
			if pieces[k] <= left[i] {
				row[k] = i
				left[i] -= pieces[k]
				if place(k + 1) {
					return true
				}
				left[i] += pieces[k]
			}
		}
		if len(left) < rows && pieces[k] <= room {
			row[k] = len(left)
			left = append(left, room-pieces[k])
			if place(k + 1) {
				return true
			}
			left = left[:len(left)-1]
		}
		return false
	}
	if !place(0) {
		return nil
	}
	return row
}

// fewestRows returns the fewest rows into which the pieces go.
func fewestRows(pieces []int, room int) int {
	for n := 0; ; n++ {
		if spread(pieces, room, n) != nil {
			return n
		}
	}
}
