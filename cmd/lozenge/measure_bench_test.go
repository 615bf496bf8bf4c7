// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// large are files of about 20 MB: as a cut file of a hundred thousand pieces
// is, and at the worst for what measure does with a file: as many lines as
// fit, loose ones whose ends meet, lines that run along each other, blocks.
// Some are refused at last.
var large = []struct {
	name string
	make func() string
}{
	{"svg/pieces", func() string {
		return svgOfLines(`<path d="M%.6f,%.6f L%.6f,%.6f L%.6f,%.6f L%.6f,%.6f Z"/>`, func(i int) []any {
			x, y := float64(i%443)*3, float64(i/443)*3
			return []any{x, y, x + 2 + float64(i%7)/10, y, x + 3.1, y + 2, x + .4, y + 2}
		})
	}},
	{"svg/short-lines", func() string {
		return svgOfLines(`<path d="M%d %dh1"/>`, func(i int) []any { return []any{i % 900 * 2, i / 900} })
	}},
	{"svg/loose-rings", func() string {
		return svgOfLines(`<path d="M%.6f %.6fL%.6f %.6f" stroke="#000" stroke-width="0.01" fill="none" class="line" style="stroke-linejoin:round;stroke-linecap:round;stroke-miterlimit:10;stroke-opacity:1;vector-effect:none"/>`, func(i int) []any {
			corner := [...][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
			a, b, x, y := corner[i%4], corner[(i+1)%4], float64(i/4%300)*2, float64(i/1200)*2
			return []any{x + a[0], y + a[1], x + b[0], y + b[1]}
		})
	}},
	{"svg/one-path", func() string {
		var s strings.Builder
		for i := 0; s.Len() < 20_000_000; i++ {
			fmt.Fprintf(&s, "L%.3f %.3f", float64(i*7919%99991)/100, float64(i*104729%99991)/100)
		}
		return svgHead + `<path d="M0 0` + s.String() + `"/></g></svg>`
	}},
	{"svg/one-on-another", func() string {
		return svgOfLines(`<path d="M%d.000 0.000h9.000"/>`, func(i int) []any { return []any{i % 1000} })
	}},
	{"svg/text", func() string {
		return svgOfLines(`<text x="%d" y="%d" font-size="0.2">right-leaning diamond, tide on the wide side</text>`, func(i int) []any { return []any{i % 999, i / 999} })
	}},
	{"dxf/pieces", func() string { return dxfOf20MB(4, false) }},
	{"dxf/triangles", func() string { return dxfOf20MB(3, true) }},
	{"dxf/lines", func() string {
		var s strings.Builder
		s.WriteString(dxfHead)
		for i := 0; s.Len() < 20_000_000; i++ {
			x, y := i%900*2, i/900
			fmt.Fprintf(&s, "0\nLINE\n8\nCUT\n10\n%d\n20\n%d\n11\n%d\n21\n%d\n", x, y, x+1, y)
		}
		return s.String() + "0\nENDSEC\n0\nEOF\n"
	}},
	{"dxf/vertices", func() string {
		var s strings.Builder
		s.WriteString(dxfHead)
		for i := 0; s.Len() < 20_000_000; i++ {
			if i%10_000 == 0 {
				s.WriteString("0\nLWPOLYLINE\n8\nCUT\n")
			}
			fmt.Fprintf(&s, "10\n%d\n20\n%d\n", i*7919%99991, i*104729%99991)
		}
		return s.String() + "0\nENDSEC\n0\nEOF\n"
	}},
	{"pdf/pieces", func() string { return pdfOf(pdfPieces(), false) }},
	{"pdf/pieces-packed", func() string { return pdfOf(pdfPieces(), true) }},
	{"pdf/short-lines", func() string {
		var s strings.Builder
		for i := 0; s.Len() < 20_000_000; i++ {
			fmt.Fprintf(&s, "%d %d m %d %d l S\n", i%600, i/600%700, i%600+9, i/600%700)
		}
		return pdfOf(s.String(), false)
	}},
}

const (
	svgHead = `<svg xmlns="http://www.w3.org/2000/svg" width="2000in" height="2000in" viewBox="0 0 2000 2000"><rect id="calibration-square" data-size="4in" x="1990" y="1990" width="4" height="4"/><g id="cut">` + "\n"
	dxfHead = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nSQUARE\n90\n4\n70\n1\n10\n-9\n20\n-9\n10\n-5\n20\n-9\n10\n-5\n20\n-5\n10\n-9\n20\n-5\n"
)

func svgOfLines(format string, args func(int) []any) string {
	var s strings.Builder
	s.WriteString(svgHead)
	for i := 0; s.Len() < 20_000_000; i++ {
		fmt.Fprintf(&s, format+"\n", args(i)...)
	}
	return s.String() + "</g></svg>\n"
}

// dxfOf20MB is outlines of n corners, as our writer writes them or as short as
// can be.
func dxfOf20MB(n int, short bool) string {
	var s strings.Builder
	s.WriteString(dxfHead)
	corner := [...][2]float64{{0, 0}, {2.1, 0}, {3.1, 2}, {0.4, 2}}
	for i := 0; s.Len() < 20_000_000; i++ {
		x, y := float64(i%443)*3, float64(i/443)*3
		if short {
			s.WriteString("0\nLWPOLYLINE\n8\nCUT\n70\n1\n")
		} else {
			fmt.Fprintf(&s, "  0\r\nLWPOLYLINE\r\n  5\r\n%X\r\n330\r\n1F\r\n100\r\nAcDbEntity\r\n  8\r\nCUT\r\n100\r\nAcDbPolyline\r\n 90\r\n%d\r\n 70\r\n1\r\n", i+256, n)
		}
		for _, c := range corner[:n] {
			if short {
				fmt.Fprintf(&s, "10\n%.1f\n20\n%.1f\n", x+c[0], y+c[1])
			} else {
				fmt.Fprintf(&s, " 10\r\n%.8f\r\n 20\r\n%.8f\r\n", x+c[0], y+c[1])
			}
		}
	}
	return s.String() + "0\nENDSEC\n0\nEOF\n"
}

func pdfPieces() string {
	var s strings.Builder
	for i := 0; s.Len() < 20_000_000; i++ {
		x, y := float64(i%2003)/4, float64(i%7001)/10
		fmt.Fprintf(&s, "%.4f %.4f m %.4f %.4f l %.4f %.4f l %.4f %.4f l s\n", x, y, x+88.8889, y, x+122.4, y+151.2, x+28.8, y+151.2)
	}
	return s.String()
}

// pdfOf is a PDF of one page, with a calibration square.
func pdfOf(content string, packed bool) string {
	content = "72 72 288 288 re S\n" + content
	filter := ""
	if packed {
		var b bytes.Buffer
		w := zlib.NewWriter(&b)
		io.WriteString(w, content)
		w.Close()
		content, filter = b.String(), "/Filter /FlateDecode "
	}
	objects := []string{
		"<</Type /Catalog /Pages 2 0 R>>", "<</Type /Pages /Count 1 /Kids [3 0 R]>>",
		"<</Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R>>",
		fmt.Sprintf("<<%s/Length %d>>stream\n%s\nendstream", filter, len(content), content),
	}
	return pdfText(objects)
}

// pdfText is a PDF of objects, the first its catalog.
func pdfText(objects []string) string {
	var b strings.Builder
	b.WriteString("%PDF-1.6\n")
	var offsets []int
	for i, o := range objects {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, at := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&b, "trailer\n<</Root 1 0 R /Size %d>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table)
	return b.String()
}

// BenchmarkMeasure20MB is the whole command, from the file to the answer:
//
//	go test ./cmd/lozenge -run '^$' -bench Measure20MB -benchtime 5x
func BenchmarkMeasure20MB(b *testing.B) {
	for _, f := range large {
		b.Run(f.name, func(b *testing.B) {
			src := f.make()
			kind, _, _ := strings.Cut(f.name, "/")
			file := filepath.Join(b.TempDir(), "large."+kind)
			if err := os.WriteFile(file, []byte(src), 0o666); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(src)))
			src = ""
			runtime.GC()
			b.ReportAllocs()
			for b.Loop() {
				var out, talk bytes.Buffer
				run([]string{"measure", file}, nil, &out, &talk)
				if out.Len()+talk.Len() == 0 {
					b.Fatal("no answer")
				}
			}
		})
	}
}
