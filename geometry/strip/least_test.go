// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Law: no row of so many diamonds and edge triangles is shorter, found here by
// laying out every word letter by letter; and the layout of each is a row of
// exactly that length, whichever half has the odd edge triangle and however
// its diamonds are divided between the leans.
func TestLeastIsTheShortestRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := drawSet(t)
		length := set.CutSide() * rapid.Float64Range(0.3, 5).Draw(t, "length over side")
		mix := set.Angle == 60 && rapid.Bool().Draw(t, "mix")
		letters := []string{"D", "L", "U"}
		if mix {
			letters = append(letters, "d")
		}
		type held struct{ diamonds, triangles int }
		shortest := map[held]float64{}
		level := []string{""}
		for len(level) > 0 {
			var next []string
			for _, w := range level {
				for _, c := range letters {
					row, err := strip.NewRow(set, geometry.Right, w+c)
					if err != nil || row.Length > length+geometry.Fit || len(w) > 8 {
						continue
					}
					next = append(next, w+c)
					d, l, u := row.Count()
					k := held{d, l + u}
					if before, ok := shortest[k]; !ok || row.Length < before {
						shortest[k] = row.Length
					}
				}
			}
			level = next
		}
		seen := map[held]bool{}
		for _, l := range set.Least(length, false) {
			k := held{l.Diamonds, l.Triangles}
			seen[k] = true
			if want, ok := shortest[k]; ok && math.Abs(l.Length-want) > 1e-9 {
				t.Fatalf("%+v: trying everything finds %v", l, want)
			}
			for _, uppers := range []int{l.Triangles / 2, (l.Triangles + 1) / 2} {
				for _, lean := range geometry.Leans {
					others := 0
					if mix && l.Triangles > 0 {
						others = rapid.IntRange(0, l.Diamonds).Draw(t, "others")
					}
					layout := l.Layout(lean, others, uppers, strip.Count{})
					row, err := strip.NewRow(set, layout.Lean, layout.Word)
					if err != nil {
						t.Fatal(err)
					}
					if math.Abs(row.Length-l.Length) > 1e-9 {
						t.Fatalf("%+v: %q is %v long", l, layout.Word, row.Length)
					}
					var has strip.Count
					for _, p := range row.Pieces {
						has[p.Lean][p.Shape]++
					}
					if has.Diamonds(lean) != l.Diamonds-others || has.Diamonds(lean.Other()) != others ||
						strings.Count(layout.Word, "U") != uppers || strings.Count(layout.Word, "L") != l.Triangles-uppers {
						t.Fatalf("%+v, lean %v, %d others, %d uppers: %q", l, lean, others, uppers, layout.Word)
					}
				}
			}
		}
		for k := range shortest {
			if !seen[k] {
				t.Fatalf("%+v fits and is not listed", k)
			}
		}
	})
}

// A staggered strip set of k diamonds takes k cut sides and the slant of its
// widest strip, where that is shorter.
func TestLeastOfStaggeredStrips(t *testing.T) {
	set, _ := strip.New([]float64{2.5, 2.5}, 0.25, 45, geometry.Matched, 0)
	for _, l := range set.Least(40, true) {
		if l.Triangles > 0 {
			continue
		}
		layout := l.Layout(geometry.Right, 0, 0, strip.Count{})
		if got := set.Uses(layout); math.Abs(got-l.Length) > 1e-12 || !layout.Staggered {
			t.Errorf("%+v: %+v takes %v", l, layout, got)
		}
	}
}
