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

// makeSized returns a run of make on a quilt of single 2 1/2 in strips, and the
// folder that it makes; 2,500 diamonds are about 108 in square.
func makeSized(b *testing.B, columns, rows int) (run1 func(), made string) {
	b.Helper()
	dir := b.TempDir()
	made = filepath.Join(dir, "out")
	file := filepath.Join(dir, "q.yaml")
	text := fmt.Sprintf("unit: in\nstrips: [{cut: 2 1/2, fabric: a}]\ncolumns: %d\nrows: %d\n", columns, rows)
	if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
		b.Fatal(err)
	}
	return func() {
		var out, talk bytes.Buffer
		if s := run([]string{"make", file, "--out", made}, nil, &out, &talk); s != statusDone {
			b.Fatalf("status %d: %s", s, talk.String())
		}
	}, made
}

// writing returns what writes the files of a folder anew, ready made, without
// waiting until they are safe on the disk, which takes anything.
func writing(b *testing.B, made string) func() {
	b.Helper()
	to := b.TempDir()
	files := map[string][]byte{}
	entries, err := os.ReadDir(made)
	if err != nil {
		b.Fatal(err)
	}
	for _, e := range entries {
		if files[e.Name()], err = os.ReadFile(filepath.Join(made, e.Name())); err != nil {
			b.Fatal(err)
		}
	}
	return func() {
		for name, data := range files {
			if err := os.WriteFile(filepath.Join(to, name), data, 0o666); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{10, 50, 158, 440} {
		b.Run(fmt.Sprintf("diamonds=%d", n*n), func(b *testing.B) {
			make, _ := makeSized(b, n, n)
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
// where what a run costs whatever the size no longer counts. Beside the making
// of 2,500 diamonds stands the writing of the same bytes, in turns. It fails
// when the one takes 250 times as long as the other (100 is usual: the bytes are
// few), or above an exponent of 1.05.
func BenchmarkMakeCost(b *testing.B) {
	sizes := []struct{ columns, rows int }{{10, 10}, {25, 40}, {50, 50}, {100, 100}, {250, 400}}
	runs := make([]func(), len(sizes))
	took := make([][]float64, len(sizes))
	var write func()
	for i, s := range sizes {
		var made string
		runs[i], made = makeSized(b, s.columns, s.rows)
		if i == 2 {
			runs[i]()
			write = writing(b, made)
		}
	}
	var race outside.Race
	for b.Loop() {
		for i := range sizes {
			t := outside.Timed(1, runs[i])
			took[i] = append(took[i], t.Seconds())
			if i == 2 {
				race.Round(t, outside.Timed(1, write))
			}
		}
	}
	race.Report(b)
	if race.Times() < 1./250 {
		b.Errorf("2,500 diamonds take %v, and to write the bytes takes %v", race.Ours(), race.Theirs())
	}
	var x, y []float64
	for i, s := range sizes {
		n := s.columns * s.rows
		seconds := outside.Median(took[i]).Seconds()
		b.ReportMetric(seconds*1e3, fmt.Sprintf("ms-at-%d", n))
		if n == 2500 {
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
