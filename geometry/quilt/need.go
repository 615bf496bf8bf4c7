// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// Need returns the pieces of a quilt of so many columns and rows in this
// setting, without spares: what [Plan.Need] is, without the plan.
func (s Setting) Need(columns, rows int) Count {
	// Rows of diamonds come in pairs, and which triangles close the quilt
	// depends only on whether their number is even.
	few := min(rows, 2+rows&1)
	c := countPieces(lay(s, 1, few))
	for row := few; row < rows; row++ {
		c[s.leanOf(row)][geometry.Diamond]++
	}
	for lean := range c {
		for shape := range c[lean] {
			c[lean][shape] *= columns
		}
	}
	return c
}
