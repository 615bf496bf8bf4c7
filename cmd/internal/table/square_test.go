// SPDX-License-Identifier: Apache-2.0

package table

import (
	"math"
	"testing"

	"lozenge/export/frames"
	"lozenge/export/onmat"
	"lozenge/export/outside/virtual"
)

// Where there is room for any, the square that is measured at the beginning and
// the one beside the cuts are equally large: both are the largest there is.
func TestOneLargestCheckSquare(t *testing.T) {
	mat := virtual.Tilted()
	mat.Wide = 60
	m := mapOf(t, mat)
	for _, name := range []string{"tide-lap", "meadow-cot"} {
		p := planOf(t, name)
		all, err := frames.StripSets(p, m)
		if err != nil {
			t.Fatal(err)
		}
		measured, _, ok := onmat.RoomOf(m).CheckSquare(p.Spec.Unit)
		if beside := all[0].Square.Side; !ok || math.Abs(beside-measured.Width()) > 1e-9 {
			t.Errorf("%s: %v in is measured, and %v in stands beside the cuts", name, measured.Width(), beside)
		}
	}
}
