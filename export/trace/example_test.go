// SPDX-License-Identifier: Apache-2.0

package trace_test

import (
	"fmt"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// A path in pixels, 96 to an inch and y down, becomes inches, y up.
func ExamplePen() {
	var store trace.Store
	p := trace.Pen{M: trace.Scale(1./96, -1./96), Store: &store}
	p.Move(geometry.Point{})
	p.Line(geometry.Point{X: 192})
	p.Line(geometry.Point{X: 192, Y: 96})
	p.Close()
	subs, err := p.Done()
	fmt.Println(subs[0].Points, subs[0].Closed, err)
	// Output: [{0 0} {2 0} {2 -1}] true <nil>
}
