// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Law: every option can be laid out in the length and gives what it says, and
// none is as good as another one and more.
func TestOptionsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, err := strip.New([]float64{rapid.Float64Range(1, 4).Draw(t, "cut"), rapid.Float64Range(1, 4).Draw(t, "cut")}, 0.25,
			geometry.Angle(rapid.SampledFrom([]float64{30, 45, 60, 75}).Draw(t, "angle")), geometry.Matched, 0)
		if err != nil {
			t.Fatal(err)
		}
		length := rapid.Float64Range(3, 60).Draw(t, "length")
		options := set.Options(strip.Terms{Length: length}, strip.Count{{0, 40, 40}})
		for i, o := range options {
			var all strip.Count
			for _, shape := range geometry.Shapes {
				all[geometry.Right][shape] = o.Gives(shape)
			}
			if all.Total() == 0 {
				continue
			}
			row := strip.MustRow(set, geometry.Right, o.Layout(geometry.Right, all).Word)
			if d, l, u := row.Count(); d != o.Diamonds || l != o.Lowers || u != o.Uppers || !geometry.Fits(row.Length, length) {
				t.Fatalf("%+v: row %q of %v in %v gives %d, %d, %d", o, row.Word, row.Length, length, d, l, u)
			}
			for j, p := range options {
				if i != j && p.Diamonds >= o.Diamonds && p.Lowers >= o.Lowers && p.Uppers >= o.Uppers {
					t.Fatalf("%+v is as good as %+v", p, o)
				}
			}
		}
	})
}
