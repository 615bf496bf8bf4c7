// SPDX-License-Identifier: Apache-2.0

package nest

import (
	"math"
	"slices"

	"lozenge/geometry"
)

// nearest puts lines in an order, and turns them, so that always the nearest is
// next.
func nearest(lines []Line, from geometry.Point) {
	for i := range lines {
		best, flip, way := i, false, math.Inf(1)
		for j := i; j < len(lines); j++ {
			// A later one must be nearer by more than rounding.
			if d := lines[j].A.Sub(from).Len(); d < way-geometry.Fit {
				best, flip, way = j, false, d
			}
			if d := lines[j].B.Sub(from).Len(); d < way-geometry.Fit {
				best, flip, way = j, true, d
			}
		}
		next := lines[best]
		copy(lines[i+1:best+1], lines[i:best])
		if flip {
			next.A, next.B = next.B, next.A
		}
		lines[i], from = next, next.B
	}
}

// window is the most lines that are turned round together.
const window = 64

// improve turns stretches of the way round as long as that shortens it
// (Croes's inversion, Operations Research 6, 1958). The way may end anywhere.
func improve(lines []Line, from geometry.Point) {
	for better, pass := true, 0; better && pass < 50; pass++ {
		better = false
		for i := range lines {
			before := from
			if i > 0 {
				before = lines[i-1].B
			}
			for j := i; j < min(len(lines), i+window); j++ {
				gain := lines[i].A.Sub(before).Len() - lines[j].B.Sub(before).Len()
				if j+1 < len(lines) {
					after := lines[j+1].A
					gain += lines[j].B.Sub(after).Len() - lines[i].A.Sub(after).Len()
				}
				if gain > geometry.Fit {
					turnRound(lines[i : j+1])
					better = true
				}
			}
		}
	}
}

func turnRound(lines []Line) {
	slices.Reverse(lines)
	for i := range lines {
		lines[i].A, lines[i].B = lines[i].B, lines[i].A
	}
}
