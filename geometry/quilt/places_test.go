// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Law: when all strip sets are cut the quilt is whole: every place is filled
// once, from its own strip set, by a piece of its shape and, but for the edge
// triangles at 60 degrees, of its lean; what is to spare goes nowhere.
func TestEveryPlaceIsFilled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		places := p.Places()
		if len(places) != len(p.Fewest.Layouts) {
			t.Fatalf("%d strip sets of %d", len(places), len(p.Fewest.Layouts))
		}
		filled := make([]bool, len(p.Pieces))
		for k, l := range p.Fewest.Layouts {
			row, err := strip.NewRow(p.Set, l.Lean, l.Word)
			if err != nil {
				t.Fatal(err)
			}
			for i, at := range places[k] {
				if at < 0 {
					continue
				}
				pc, pl := row.Pieces[i], p.Pieces[at]
				if filled[at] || pl.StripSet != k || pl.Shape != pc.Shape {
					t.Fatalf("strip set %d, piece %d (%v %v) goes to %+v, filled: %v", k, i, pc.Lean, pc.Shape, pl, filled[at])
				}
				if pl.Lean != pc.Lean && (pc.Shape == geometry.Diamond || p.Set.Angle != 60) {
					t.Fatalf("strip set %d, piece %d leans %v, its place %v", k, i, pc.Lean, pl.Lean)
				}
				filled[at] = true
			}
		}
		for i, ok := range filled {
			if !ok {
				t.Fatalf("nothing fills place %d, %+v", i, p.Pieces[i])
			}
		}
	})
}
