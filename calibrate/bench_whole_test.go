// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math/rand/v2"
	"testing"

	"lozenge/calibrate"
)

// BenchmarkSolveWhole solves 25 readings, everything judged and promised.
func BenchmarkSolveWhole(b *testing.B) {
	r := rand.New(rand.NewPCG(5, 5))
	readings := regimes[5].aim(r).read(r, calibrate.Grid{Columns: 5, Rows: 5}, 64)
	for b.Loop() {
		calibrate.Solve(readings, fullHD, calibrate.Options{})
	}
}
