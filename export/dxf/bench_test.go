// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// many returns a sheet of n diamonds with blunted tips.
func many(n int) *draw.Drawing {
	s := page(geometry.Inch)
	corners := []geometry.Point{{X: 0, Y: 0}, {X: 2.886751, Y: 0}, {X: 3.1, Y: 0.25}, {X: 4.33, Y: 2.5}, {X: 1.443375, Y: 2.5}, {X: 1.2, Y: 2.2}}
	for i := range n {
		at := geometry.Point{X: float64(i%200) * 4.1234567, Y: float64(i/200) * 2.7654321}
		ring := make(geometry.Polygon, len(corners))
		for j, p := range corners {
			ring[j] = at.Add(p)
		}
		s.Paths = append(s.Paths, draw.Path{Points: ring, Closed: true})
		s.Parts = append(s.Parts, draw.Part{Name: "diamond", Number: 1, Outline: ring})
	}
	return s
}

const manyPieces = 50_000

func BenchmarkForms(b *testing.B) {
	for _, n := range []int{500, 5_000, manyPieces} {
		s := many(n)
		for _, form := range Forms {
			b.Run(fmt.Sprintf("%v/n=%d", form, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					b.SetBytes(int64(len(formed(b, s, form))))
				}
			})
		}
	}
}

func BenchmarkRead(b *testing.B) {
	s := many(5_000)
	for _, form := range Forms {
		file := formed(b, s, form)
		b.Run(form.String(), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(file)))
			for b.Loop() {
				read(b, file)
			}
		})
	}
}

// BenchmarkAgainstEzdxf writes pieces to a file, and has ezdxf write the same in
// the same run, from the same outlines to the same disk; starting Python does
// not count. It reports the medians and how many times as fast this is, and
// fails below 8 times, above a second, or above 300 MB.
func BenchmarkAgainstEzdxf(b *testing.B) {
	for _, n := range []int{10_000, manyPieces} {
		b.Run(fmt.Sprintf("pieces=%d", n), func(b *testing.B) { againstEzdxf(b, n) })
	}
}

func againstEzdxf(b *testing.B, n int) {
	python := outside.Python(b, "ezdxf")
	s := many(n)
	dir := b.TempDir()
	outlines := make([][][2]float64, 0, n)
	for _, p := range s.Paths {
		var ring [][2]float64
		for _, q := range p.Points {
			ring = append(ring, [2]float64{q.X, q.Y})
		}
		outlines = append(outlines, ring)
	}
	data, err := json.Marshal(outlines)
	if err != nil {
		b.Fatal(err)
	}
	in, theirs, ours := filepath.Join(dir, "outlines.json"), filepath.Join(dir, "theirs.dxf"), filepath.Join(dir, "ours.dxf")
	if err := os.WriteFile(in, data, 0o644); err != nil {
		b.Fatal(err)
	}
	var race outside.Race
	var megabytes float64
	for b.Loop() {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		our := outside.Timed(1, func() {
			f, err := os.Create(ours)
			if err != nil {
				b.Fatal(err)
			}
			if err := Write(f, s); err != nil {
				b.Fatal(err)
			}
			if err := f.Close(); err != nil {
				b.Fatal(err)
			}
		})
		runtime.ReadMemStats(&after)
		megabytes = max(megabytes, float64(after.TotalAlloc-before.TotalAlloc)/1e6)
		said := outside.Run(b, python, filepath.Join("testdata", "compare_ezdxf.py"), in, theirs)
		seconds, err := strconv.ParseFloat(strings.TrimSpace(string(said)), 64)
		if err != nil {
			b.Fatal(err)
		}
		race.Round(our, time.Duration(seconds*float64(time.Second)))
	}
	race.Report(b)
	b.ReportMetric(megabytes, "MB")
	if race.Times() < 8 || race.Ours() > time.Second || megabytes > 300 {
		b.Errorf("%.1f times as fast as ezdxf, want 8; %v, at most 1s; %.0f MB, at most 300", race.Times(), race.Ours(), megabytes)
	}
	same(b, n, ours, theirs)
}

// same fails unless two files hold the same outlines.
func same(b *testing.B, n int, paths ...string) {
	b.Helper()
	var found [][]geometry.Polygon
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		f, err := Read(bytes.NewReader(data))
		if err != nil {
			b.Fatal(err)
		}
		found = append(found, rings(onLayer(f, "CUT"), 0))
	}
	if len(found[0]) != n || len(found[1]) != n {
		b.Fatalf("%d and %d outlines", len(found[0]), len(found[1]))
	}
	for i := range found[0] {
		if d := apart(found[0][i], found[1][i]); d > 1e-8 {
			b.Fatalf("outline %d is %v apart", i, d)
		}
	}
}

// 50 000 pieces take less than 300 MB: a tenth of them less than a tenth, in
// any form. How long they take is for the benchmark.
func TestMemoryOfManyPieces(t *testing.T) {
	s := many(manyPieces / 10)
	for _, form := range Forms {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		formed(t, s, form)
		runtime.ReadMemStats(&after)
		if used := (after.TotalAlloc - before.TotalAlloc) / 1e6; used > 30 {
			t.Errorf("%v: %d MB", form, used)
		}
	}
}
