// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// What 40 in of two 3 in strips give, and how few such strip sets give twenty
// diamonds with the edge triangles above and below.
func ExampleSet_Fewest() {
	set, err := strip.New([]float64{3, 3}, 0.25, 60, geometry.Matched, 0)
	if err != nil {
		panic(err)
	}
	y := set.Yield(40)
	fmt.Printf("%d diamonds, or %d between two edge triangles\n", y.Plain, *y.TwoTriangles)
	need := strip.Count{geometry.Right: {20, 2, 2}}
	for _, l := range set.Fewest(need, strip.Terms{Length: 40}).Layouts {
		fmt.Printf("%s-leaning %s takes %.2f in\n", l.Lean, l.Word, set.Uses(l))
	}
	// Output:
	// 5 diamonds, or 4 between two edge triangles
	// right-leaning UDDDDD takes 38.11 in
	// right-leaning UDDDDD takes 38.11 in
	// right-leaning DDDDDL takes 38.11 in
	// right-leaning DDDDDL takes 38.11 in
}
