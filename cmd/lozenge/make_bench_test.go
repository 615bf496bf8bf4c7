// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"lozenge/export/outside"
)

// makeSized returns a run of make on a quilt of single 2 1/2 in strips; 2,500
// diamonds are about 108 in square.
func makeSized(b *testing.B, columns, rows int) func() {
	b.Helper()
	dir := b.TempDir()
	file := filepath.Join(dir, "q.yaml")
	text := fmt.Sprintf("unit: in\nstrips: [{cut: 2 1/2, fabric: a}]\ncolumns: %d\nrows: %d\n", columns, rows)
	if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
		b.Fatal(err)
	}
	return func() {
		var out, talk bytes.Buffer
		if s := run([]string{"make", file, "--out", filepath.Join(dir, "out")}, nil, &out, &talk); s != statusDone {
			b.Fatalf("status %d: %s", s, talk.String())
		}
	}
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{10, 50, 158, 500} {
		b.Run(fmt.Sprintf("diamonds=%d", n*n), func(b *testing.B) {
			make := makeSized(b, n, n)
			b.ReportAllocs()
			for b.Loop() {
				make()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/diamond")
		})
	}
}

// BenchmarkMakeCost makes quilts of 100 to 100,000 diamonds, in rounds, and
// reports the medians with the exponent e of the cost n^e that fits them best
// (least squares of the logarithms), and with that of the last step alone,
// where what a run costs whatever the size no longer counts. It fails above
// 0.25 s for 2,500 diamonds, or above an exponent of 1.05.
func BenchmarkMakeCost(b *testing.B) {
	sizes := []struct{ columns, rows int }{{10, 10}, {25, 40}, {50, 50}, {100, 100}, {250, 400}}
	runs := make([]func(), len(sizes))
	took := make([][]float64, len(sizes))
	for i, s := range sizes {
		runs[i] = makeSized(b, s.columns, s.rows)
	}
	for b.Loop() {
		for i := range sizes {
			took[i] = append(took[i], outside.Timed(1, runs[i]).Seconds())
		}
	}
	b.ReportMetric(0, "ns/op")
	var x, y []float64
	for i, s := range sizes {
		n := s.columns * s.rows
		seconds := outside.Median(took[i]).Seconds()
		b.ReportMetric(seconds*1e3, fmt.Sprintf("ms-at-%d", n))
		if n == 2500 {
			if seconds > 0.25 {
				b.Errorf("2,500 diamonds take %.2f s, at most 0.25", seconds)
			}
			continue
		}
		x, y = append(x, math.Log(float64(n))), append(y, math.Log(seconds))
	}
	all, last := slope(x, y), slope(x[len(x)-2:], y[len(y)-2:])
	b.ReportMetric(all, "exponent")
	b.ReportMetric(last, "exponent-of-last-step")
	if all > 1.05 || last > 1.05 {
		b.Errorf("the cost grows with exponent %.2f, in the last step %.2f, at most 1.05", all, last)
	}
}

// slope is that of the line through the points by least squares.
func slope(x, y []float64) float64 {
	n, sx, sy, sxx, sxy := float64(len(x)), 0.0, 0.0, 0.0, 0.0
	for i := range x {
		sx, sy = sx+x[i], sy+y[i]
		sxx, sxy = sxx+x[i]*x[i], sxy+x[i]*y[i]
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}
