// SPDX-License-Identifier: Apache-2.0

package nest_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/nest"
	"lozenge/geometry/strip"
)

// Laws: lengths come out of the strip sets that are sewn, as many as it says,
// cut straight across: of those, never more than are sewn where a sheet holds
// them whole. Strip sets that differ give just the pieces that the plan cuts
// from them; what is needed is given in any case.
func TestOutOfStripSetsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
		const long = 42.0
		fewest := set.Fewest(need, strip.Terms{Length: long, MixLeans: rapid.Bool().Draw(t, "mix")})
		if !fewest.OK() {
			return
		}
		sewn := nest.Sewn{Set: set, Layouts: fewest.Layouts, Length: long, Alike: rapid.Bool().Draw(t, "alike")}
		if rapid.Bool().Draw(t, "long sheet") {
			bed.Width = 60
		}
		sheets, takes, err := nest.OutOf(sewn, need, []nest.Bed{bed})
		if err != nil {
			return // too large for the sheet
		}
		stripSets := takes.Straight
		var lengths []float64
		along := true
		for _, s := range sheets {
			checkSheet(t, s)
			along = along && s.Turn() == 0
			for range s.Number {
				for _, r := range s.Rows {
					lengths = append(lengths, r.Length)
				}
			}
		}
		got, _ := total(sheets)
		for shape := range 3 {
			if got[0][shape]+got[1][shape] < need[0][shape]+need[1][shape] {
				t.Fatalf("gives %v, need %v", got, need)
			}
		}
		holds := bed.Width >= long+2*bed.Margin && bed.Height >= set.Width+2*bed.Margin
		if holds && stripSets > len(fewest.Layouts) {
			t.Fatalf("%d strip sets out of %d that are sewn", stripSets, len(fewest.Layouts))
		}
		if takes.Apart || !sewn.Alike && holds {
			var whole strip.Count
			for _, l := range fewest.Layouts {
				row, err := strip.NewRow(set, l.Lean, l.Word)
				for _, p := range row.Pieces {
					whole[p.Lean][p.Shape]++
				}
				if err != nil && l.Word != "" {
					t.Fatal(err)
				}
			}
			if along && got != whole {
				t.Fatalf("gives %v, the strip sets %v", got, whole)
			}
		}
		// First fit shows that so many strip sets do, or nearly so.
		slices.Sort(lengths)
		slices.Reverse(lengths)
		var left []float64
		for _, l := range lengths {
			k := slices.IndexFunc(left, func(r float64) bool { return l <= r+1e-9 })
			if k < 0 {
				left, k = append(left, long), len(left)
			}
			left[k] -= l
		}
		if stripSets > len(left) && sewn.Alike || 9*len(left) > 11*stripSets+6 {
			t.Fatalf("%d strip sets, laid end to end %d: %v", stripSets, len(left), lengths)
		}
	})
}

// Figured by hand: a strip set 4 1/2 in wide has crosscuts 5.196 in apart and
// a diamond is 7.51 in from tip to tip, so that 8 of them take 43.9 in. On a
// sheet 24 in long lie 4, 23.1 in of strip set; two such are too much for one
// of 44 in, unless they are cut apart along a crosscut, which both share.
func TestSheetsThatHoldNoWholeLength(t *testing.T) {
	set := mustSet(t, 60, 2.5, 2.5)
	sewn := nest.Sewn{Set: set, Layouts: slices.Repeat([]strip.Layout{{Word: "DDDDDDDD"}}, 6), Length: 44}
	bed := []nest.Bed{{Width: 24, Height: 12, Margin: 0.25, Gap: 0.125}}
	sheets, takes, err := nest.OutOf(sewn, strip.Count{{48, 0, 0}}, bed)
	if err != nil || takes != (nest.Lengths{Straight: 12, Apart: true}) || len(sheets) != 1 || sheets[0].Number != 6 || len(sheets[0].Rows) != 2 {
		t.Errorf("%v: %+v, %+v", err, takes, sheets)
	}
	// 46.3 in hold both; so does a longer sheet.
	sewn.Length = 46.3
	if _, takes, _ = nest.OutOf(sewn, strip.Count{{48, 0, 0}}, bed); takes.Straight != 6 {
		t.Errorf("%d strip sets of 46.3 in", takes.Straight)
	}
	sewn.Length, bed[0].Width = 44, 48
	if _, takes, _ = nest.OutOf(sewn, strip.Count{{48, 0, 0}}, bed); takes.Straight != 6 {
		t.Errorf("%d strip sets on a longer sheet", takes.Straight)
	}
}
