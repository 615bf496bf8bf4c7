// SPDX-License-Identifier: Apache-2.0

// Package sewing puts the pieces of a planned quilt in the order in which they
// are sewn: [New] turns a [quilt.Plan] into an [Order], plain data with every
// seam, the grain of both its edges, and the joins of the rows.
//
// # Rows and labels
//
// A diagonal row climbs to the right. Rows are counted from the top left corner
// of the quilt to its bottom right and lettered so (see [Letters]); within a row
// pieces are counted from its lower left end. C3 is the third piece of row C.
//
// # Edges
//
// What an edge is, a strip edge, a crosscut or a base, and its angle to the
// grain are read off the piece's own raw edge, which runs a seam allowance
// outside the finished one; nothing is assumed about setting or angle. A seam's
// sides are given in sewing order: within a row the lower piece first, between
// two rows the piece of the earlier letter.
//
// # Which edge lies underneath
//
// The machine's feed dogs ease in what lies underneath. The edge that stretches
// goes there: a bias edge under a straight one; of two bias edges the one nearer
// 45 degrees to the grain, where woven cloth stretches most; of two that stretch
// alike, or not at all, either.
package sewing
