// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"math"

	"lozenge/geometry"
)

// Either is [SeamKind.Under] where it makes no difference.
const Either = -1

// SeamKind is what all seams between pieces that stand alike share. Its sides
// are 0, the first piece, and 1, the second.
type SeamKind struct {
	Kinds  [2]int  // of the pieces; index into Order.Kinds
	Edges  [2]Edge // the edges that are sewn together
	Within bool    // a diagonal row; else between two rows
	Under  int     // the side that lies underneath, toward the feed dogs, or Either
	Seams  int     // how many seams are of this kind
}

// Overhang returns how much farther the raw edge of the first piece runs past
// the seam's left end (0) or right end (1) than that of the second: 0 with
// matched tips, where the raw ends lie on each other. Below 0 it is the second
// piece that overhangs.
func (k *SeamKind) Overhang(end int) float64 {
	d := k.Edges[0].Past[end] - k.Edges[1].Past[end]
	if math.Abs(d) < geometry.Fit {
		return 0
	}
	return d
}

// Bias returns how many of the two edges are bias.
func (k *SeamKind) Bias() int {
	n := 0
	for _, e := range k.Edges {
		if e.Bias() {
			n++
		}
	}
	return n
}

// Seam is one seam: the whole of the edge that two pieces have in common.
type Seam struct {
	Pieces [2]int // index into Order.Pieces
	Kind   int    // index into Order.SeamKinds
}

// under says which of two edges stretches more.
func under(a, b geometry.Edge) int {
	switch d := stretch(a) - stretch(b); {
	case d > 1e-6:
		return 0
	case d < -1e-6:
		return 1
	}
	return Either
}

// stretch grows with how much an edge gives: 0 on the grain, most at 45
// degrees to it (from memory: cloth shears most easily along its true bias).
func stretch(e geometry.Edge) float64 {
	if !e.Bias() {
		return 0
	}
	return 45 - math.Abs(e.Grain-45)
}
