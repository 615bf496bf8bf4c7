// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"lozenge/calibrate"
)

var nineCrosses = calibrate.Grid{Columns: 3, Rows: 3}

// Without nudges Refine is Solve, to the last bit.
func TestRefineWithoutNudgesIsSolve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		g := rapid.SampledFrom([]calibrate.Grid{{Columns: 2, Rows: 2}, {Columns: 3, Rows: 2}, nineCrosses, {Columns: 4, Rows: 3}}).Draw(t, "grid")
		o := calibrate.Options{Lens: rapid.SampledFrom([]calibrate.Lens{calibrate.LensAuto, calibrate.LensFit, calibrate.LensOff}).Draw(t, "lens")}
		p := aim(r, 0.04*r.Float64()-0.02)
		readings := p.readGrid(r, g, 1, 1.0/32)
		if rapid.Bool().Draw(t, "blunder") {
			readings[r.IntN(len(readings))].X++
		}
		text := func(r calibrate.Result) string {
			f, err := r.File()
			return fmt.Sprintf("%v %v %v %v %x %x %x %v %v", r.Verdict, r.Reasons, r.Homography, r.Points, r.K1, r.Sigma, r.Expected, f, err)
		}
		if a, b := text(calibrate.Solve(readings, fullHD, o)), text(calibrate.Refine(readings, nil, fullHD, o)); a != b {
			t.Fatalf("Solve: %s\nRefine: %s", a, b)
		}
	})
}
