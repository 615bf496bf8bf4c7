// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
)

// firstFitPlain puts piece after piece, largest first, into the first bin
// with room for it.
func firstFitPlain(items []item, room float64) int {
	var sizes []float64
	for _, x := range items {
		sizes = append(sizes, slices.Repeat([]float64{x.size}, x.n)...)
	}
	slices.Sort(sizes)
	slices.Reverse(sizes)
	var left []float64
	for _, s := range sizes {
		k := slices.IndexFunc(left, func(l float64) bool { return geometry.Fits(s, l) })
		if k < 0 {
			left, k = append(left, room), len(left)
		}
		left[k] -= s
	}
	return len(left)
}

// TestFirstFitCountsAlike: counting bins that are filled alike gives what
// filling them one by one does.
func TestFirstFitCountsAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := float64(rapid.IntRange(10, 200).Draw(t, "room"))
		var items []item
		for range rapid.IntRange(1, 8).Draw(t, "sizes") {
			items = append(items, item{
				size: float64(rapid.IntRange(1, int(room)).Draw(t, "size")),
				n:    rapid.IntRange(0, 60).Draw(t, "number"),
			})
		}
		plain := firstFitPlain(items, room)
		if got := firstFit(merge(items), room); got != plain {
			t.Fatalf("%d bins, piece by piece %d", got, plain)
		}
		if got := fewestBins(items, room); got > plain {
			t.Fatalf("the search made %d of %d", got, plain)
		}
	})
}

// TestFirstFitLeavesWhatIsLeft: 60 + 15 + 15, 60 + 15 + 12 + 12,
// 60 + 12 + 12 + 12, and a last 12 by itself.
func TestFirstFitLeavesWhatIsLeft(t *testing.T) {
	if got := firstFit([]item{{60, 3}, {15, 3}, {12, 6}}, 100); got != 4 {
		t.Errorf("%d bins, want 4", got)
	}
}

// TestEnoughIsJoined: the number of strips is enough and one less is not, up
// to where the quotient that it starts from has lost its last digits.
func TestEnoughIsJoined(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strip := rapid.OneOf(rapid.Float64Range(1, 100), rapid.Float64Range(1e5, MaxLength)).Draw(t, "strip")
		seam := strip / 2 * rapid.OneOf(rapid.Float64Range(0, 0.2), rapid.Float64Range(0.999, 0.99999)).Draw(t, "of it lost")
		n := float64(rapid.IntRange(1, 3000).Draw(t, "near"))
		need := joined(n, strip, seam) + rapid.SampledFrom([]float64{-1e-3, -1e-12, 0, 1e-12, 1e-3}).Draw(t, "more")
		got, err := toJoin(value{"length", -1, need}, value{"strip", -1, strip}, seam)
		if err != nil {
			t.Fatal(err)
		}
		if !geometry.Fits(need, joined(float64(got), strip, seam)) || got > 1 && geometry.Fits(need, joined(float64(got-1), strip, seam)) {
			t.Fatalf("%d strips of %v, %v lost at each join, for %v", got, strip, seam, need)
		}
	})
}
