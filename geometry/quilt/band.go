// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// Band returns the number of the band of colour to which strip i of a piece,
// from 0 for the lowest, belongs. Pieces whose strips have the same number
// join into one band: up the quilt in zigzag, across it in chevron, along the
// diagonal row in one-way. The lowest and the highest strip have bands of
// their own kind; the strips between them, which are islands, are counted
// with the lowest. Numbers begin at 0 or, for one-way, below it.
//
// A right-leaning diamond has its lowest strip to the right of its highest, a
// left-leaning one to the left: in zigzag its lowest strip therefore continues
// that of the diamond below it to the left, and its highest that of the
// diamond below it to the right.
func (p *Plan) Band(pl Placement, i int) int {
	highest := i > 0 && i == len(p.Spec.Strips)-1
	left := pl.Lean == geometry.Left
	switch p.Spec.Setting {
	case Zigzag:
		if left && highest {
			return pl.Column + 1
		}
		return pl.Column
	case Chevron:
		if left && !highest {
			return floorHalf(pl.Row + 1)
		}
		return floorHalf(pl.Row)
	}
	return pl.DiagonalRow()
}
