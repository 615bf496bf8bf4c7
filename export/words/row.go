// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"

	"lozenge/geometry/sewing"
)

// What is said of diagonal rows, wherever it is said.
const (
	LoneTriangle = "sew it to its neighbour row, last of all when that row is sewn and pressed"
	JoinInHalves = "Rows are joined in halves: first to their neighbours, then pairs to pairs and so on."
)

// RowLetters says how diagonal rows are named; last is the letters of the last
// one, or "" where that is not the same for all.
func RowLetters(last string) string {
	s := "Its letters count from the top left corner of the quilt, row A, to the bottom right"
	if last != "" {
		s += ", row " + last
	}
	return s + ". I and O are left out: they look like 1 and 0."
}

// Join says which rows a join sews to which: "A-B to C-D".
func Join(o *sewing.Order, j sewing.Join) string {
	return rows(o, j.Rows[0]) + " to " + rows(o, j.Rows[1])
}

// Round names a round of joins: "round 2", or "lone edge triangles" before the
// first one.
func Round(round int) string {
	if round == 0 {
		return "lone edge triangles"
	}
	return "round " + fmt.Sprint(round)
}

func rows(o *sewing.Order, r [2]int) string {
	first, last := o.Rows[r[0]].Letters, o.Rows[r[1]].Letters
	if first == last {
		return first
	}
	return first + "-" + last
}

// RowEnds says from where to where the diamonds of a row are measured, when so
// many of its two ends are raw edges.
func RowEnds(raw int) string {
	return [...]string{"from seam to seam", "from raw edge to seam", "from raw edge to raw edge"}[raw]
}
