// SPDX-License-Identifier: Apache-2.0

// Package quilt plans a whole quilt: [New] turns a [Spec], the pattern file's
// contents, into a [Plan], plain data with everything computed. Writers and
// commands read the plan; none of them computes geometry.
//
// # The lattice
//
// Diamonds stand with their long diagonals upright, point to point. x runs to
// the right and y up; (0, 0) is the bottom-left corner of the squared-up
// finished quilt. The diamond of column i and row j has its centre at
//
//	x = i column steps, half a step more in odd rows
//	y = (j + 1) row steps
//
// Row 0 is the bottom row. Row -1 and row Rows hold the edge triangles that
// close the bottom and the top.
package quilt
