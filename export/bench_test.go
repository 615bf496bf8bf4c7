// SPDX-License-Identifier: Apache-2.0

package export_test

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/dxf"
	"lozenge/export/outside"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// outlines returns a sheet of n diamonds with blunted tips.
func outlines(n int) *draw.Drawing {
	s := sample(geometry.Inch)
	s.Fills, s.Paths, s.Texts = nil, nil, nil
	for i := range n {
		at := geometry.Point{X: float64(i%100) * 3.1234567, Y: float64(i/100) * 2.7654321}
		var points []geometry.Point
		for _, p := range []geometry.Point{{X: 0, Y: 0}, {X: 2.886751, Y: 0}, {X: 3.1, Y: 0.25}, {X: 4.33, Y: 2.5}, {X: 1.443375, Y: 2.5}, {X: 1.2, Y: 2.2}} {
			points = append(points, at.Add(p))
		}
		s.Paths = append(s.Paths, draw.Path{Role: draw.Cut, Points: points, Closed: true})
	}
	return s
}

// picture returns a sheet of n areas of eight colours.
func picture(n int) *draw.Drawing {
	s := outlines(n)
	s.Fills = make([]draw.Fill, 8)
	for i := range s.Fills {
		s.Fills[i].Colour = "#1f5f7" + strconv.Itoa(i)
	}
	for i, p := range s.Paths {
		f := &s.Fills[i%8]
		f.Polygons = append(f.Polygons, p.Points[:4])
	}
	s.Paths = nil
	return s
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

func benchmark(b *testing.B, write func(io.Writer) error) {
	b.Helper()
	b.ReportAllocs()
	var size counter
	for b.Loop() {
		size = 0
		if err := write(&size); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(size))
}

// Beside each writer: the same bytes, ready made, through a buffer into a
// file; for the SVG also the same numbers by strconv and nothing else.
func BenchmarkWriters(b *testing.B) {
	s := outlines(10_000)
	b.Run("svg", func(b *testing.B) { benchmark(b, func(w io.Writer) error { return svg.Write(w, s) }) })
	b.Run("svg-strconv", func(b *testing.B) { benchmark(b, func(w io.Writer) error { return strconvOnly(w, s) }) })
	b.Run("dxf", func(b *testing.B) { benchmark(b, func(w io.Writer) error { return dxf.Write(w, s) }) })
	for _, n := range []int{5_000, 50_000, 500_000} {
		p := picture(n)
		b.Run("svg-fills="+strconv.Itoa(n), func(b *testing.B) {
			benchmark(b, func(w io.Writer) error { return svg.Write(w, p) })
		})
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer, *draw.Drawing) error
	}{{"svg", svg.Write}, {"dxf", dxf.Write}} {
		var bytes bytes.Buffer
		if err := f.write(&bytes, s); err != nil {
			b.Fatal(err)
		}
		path := filepath.Join(b.TempDir(), "sheet")
		b.Run(f.name+"-to-file", func(b *testing.B) {
			benchmark(b, func(w io.Writer) error {
				return toFile(path, w, func(w io.Writer) error { return f.write(w, s) })
			})
		})
		b.Run(f.name+"-same-bytes-to-file", func(b *testing.B) {
			benchmark(b, func(w io.Writer) error {
				return toFile(path, w, func(w io.Writer) error { return inPieces(w, bytes.Bytes()) })
			})
		})
	}
}

// BenchmarkAgainstPlainWriting writes 10,000 outlines to a file, and the same
// bytes, ready made, through a buffer to the same disk: how far from the limit
// a writer is. It fails when one takes three times as long.
func BenchmarkAgainstPlainWriting(b *testing.B) {
	s := outlines(10_000)
	for _, f := range []struct {
		name  string
		write func(io.Writer, *draw.Drawing) error
	}{{"svg", svg.Write}, {"dxf", dxf.Write}} {
		b.Run(f.name, func(b *testing.B) {
			var ready bytes.Buffer
			if err := f.write(&ready, s); err != nil {
				b.Fatal(err)
			}
			path := filepath.Join(b.TempDir(), "sheet")
			to := func(write func(io.Writer) error) func() {
				return func() {
					if err := toFile(path, io.Discard, write); err != nil {
						b.Fatal(err)
					}
				}
			}
			var race outside.Race
			for b.Loop() {
				ours := outside.Timed(20, to(func(w io.Writer) error { return f.write(w, s) }))
				race.Round(ours, outside.Timed(20, to(func(w io.Writer) error { return inPieces(w, ready.Bytes()) })))
			}
			race.Report(b)
			b.ReportMetric(float64(ready.Len())/1e6, "MB")
			if race.Times() < 1.0/3 {
				b.Errorf("takes %.1f times as long as plain writing, at most 3", 1/race.Times())
			}
		})
	}
}

// strconvOnly writes the path data and nothing else.
func strconvOnly(w io.Writer, s *draw.Drawing) error {
	out := bufio.NewWriterSize(w, 1<<16)
	var buf []byte
	for _, p := range s.Paths {
		buf = append(buf[:0], `<path d="M`...)
		for _, q := range p.Points {
			buf = append(strconv.AppendFloat(buf, q.X, 'f', 6, 64), ',')
			buf = append(strconv.AppendFloat(buf, q.Y, 'f', 6, 64), " L"...)
		}
		buf = append(buf, " Z\"/>\n"...)
		out.Write(buf)
	}
	return out.Flush()
}

// inPieces writes bytes as long as an outline at a time.
func inPieces(w io.Writer, data []byte) error {
	out := bufio.NewWriterSize(w, 1<<16)
	for len(data) > 0 {
		n := min(150, len(data))
		out.Write(data[:n])
		data = data[n:]
	}
	return out.Flush()
}

func toFile(path string, count io.Writer, write func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return write(io.MultiWriter(f, count))
}
