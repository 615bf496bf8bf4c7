// SPDX-License-Identifier: Apache-2.0

package sewing_test

import (
	"fmt"

	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// A seam says which two pieces it joins, what their edges are, and which piece
// lies underneath.
func ExampleNew() {
	p, err := quilt.New(spec([]float64{3, 3}, 0.25, 60, quilt.Zigzag, 4, 4))
	if err != nil {
		panic(err)
	}
	o := sewing.New(p)
	row := o.Rows[2]
	s := o.Seams[row.FirstSeam]
	k := o.SeamKinds[s.Kind]
	for side, piece := range s.Pieces {
		fmt.Printf("%s: %v at %v degrees to the grain\n", o.Label(piece), k.Edges[side].Kind, k.Edges[side].Grain)
	}
	fmt.Printf("%s lies underneath\n", o.Label(s.Pieces[k.Under]))
	// Output:
	// C1: crosscut at 60 degrees to the grain
	// C2: strip edge at 0 degrees to the grain
	// C1 lies underneath
}
