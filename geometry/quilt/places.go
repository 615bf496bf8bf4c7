// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Places returns where in the quilt the pieces of each strip set go: for
// strip set k and piece i of its row ([strip.Row].Pieces), the index into
// p.Pieces, or -1 for one to spare. Pieces that are alike fill their places
// from the bottom up. It takes all strip sets to be cut.
func (p *Plan) Places() [][]int {
	free := make([][2][3][]int, len(p.Fewest.Layouts))
	for i, pl := range p.Pieces {
		if pl.StripSet < len(free) {
			slot := &free[pl.StripSet][pl.Lean][pl.Shape]
			*slot = append(*slot, i)
		}
	}
	var out [][]int
	for k, l := range p.Fewest.Layouts {
		row := strip.MustRow(p.Set, l.Lean, l.Word)
		places := make([]int, len(row.Pieces))
		for i, pc := range row.Pieces {
			places[i] = take(&free[k][pc.Lean][pc.Shape])
		}
		// What is left over of the edge triangles serves for the same half
		// of the other lean.
		for i, pc := range row.Pieces {
			if places[i] < 0 && pc.Shape != geometry.Diamond {
				places[i] = take(&free[k][pc.Lean.Other()][pc.Shape])
			}
		}
		out = append(out, places)
	}
	return out
}

// take returns the first of a list and drops it, or -1.
func take(list *[]int) int {
	if len(*list) == 0 {
		return -1
	}
	first := (*list)[0]
	*list = (*list)[1:]
	return first
}
