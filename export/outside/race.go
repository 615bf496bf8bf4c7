// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"slices"
	"testing"
	"time"
)

// Race is how long this program and something beside it take for the same, in
// rounds that take turns on one machine. The medians count: what else runs
// there only ever adds, now to one side, now to the other.
type Race struct{ ours, theirs []float64 } // seconds

// Round adds a round.
func (r *Race) Round(ours, theirs time.Duration) {
	r.ours = append(r.ours, ours.Seconds())
	r.theirs = append(r.theirs, theirs.Seconds())
}

// Ours and Theirs return the median of either side.
func (r *Race) Ours() time.Duration   { return Median(r.ours) }
func (r *Race) Theirs() time.Duration { return Median(r.theirs) }

// Times returns how many times as fast as the other side this one is.
func (r *Race) Times() float64 { return r.Theirs().Seconds() / r.Ours().Seconds() }

// Report gives the medians and their ratio as metrics of the benchmark:
// "ours-ms", "theirs-ms" and "times", how many times as fast we are. The time
// of the benchmark itself says nothing and is left out.
func (r *Race) Report(b *testing.B) {
	b.Helper()
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(r.Ours().Seconds()*1e3, "ours-ms")
	b.ReportMetric(r.Theirs().Seconds()*1e3, "theirs-ms")
	b.ReportMetric(r.Times(), "times")
}

// Median returns the median of seconds; of an even number, the upper one.
func Median(seconds []float64) time.Duration {
	s := slices.Sorted(slices.Values(seconds))
	return time.Duration(s[len(s)/2] * float64(time.Second))
}

// Timed returns how long do takes on the average of so many times.
func Timed(times int, do func()) time.Duration {
	start := time.Now()
	for range times {
		do()
	}
	return time.Since(start) / time.Duration(times)
}
