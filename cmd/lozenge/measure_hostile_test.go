// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// hostile are files of about n bytes that mean to take time or memory without
// bound: each makes something that is cheap once happen as often as can be.
// status is how measure must end.
var hostile = []struct {
	name   string
	status int
	make   func(n int) string
}{
	// XML: entities within entities, depth, uses of uses.
	{"entities.svg", statusUsage, func(n int) string {
		s := `<!DOCTYPE svg [<!ENTITY a "ha">`
		for c := 'b'; c <= 'k'; c++ {
			s += fmt.Sprintf(`<!ENTITY %c "%s">`, c, strings.Repeat(fmt.Sprintf("&%c;", c-1), 10))
		}
		return s + "]>" + svgBody("<text>"+strings.Repeat("&k;", n/3)+"</text>")
	}},
	{"depth.svg", statusUsage, func(n int) string { return svgBody(strings.Repeat("<g>", n/3)) }},
	{"unclosed.svg", statusUsage, func(n int) string { return svgBody(strings.Repeat("<", n)) }},
	{"uses.svg", statusUsage, func(n int) string {
		s := `<rect id="u0" width="1" height="1"/>`
		for i := range 12 {
			s += fmt.Sprintf(`<g id="u%d">%s</g>`, i+1, strings.Repeat(fmt.Sprintf(`<use href="#u%d"/>`, i), 10))
		}
		return svgBody(s + strings.Repeat(" ", n))
	}},
	// One large thing, used over and over.
	{"used-blanks.svg", statusUsage, func(n int) string {
		return svgBody(`<path id="p" d="` + strings.Repeat(" ", n/2) + `"/>` + strings.Repeat(`<use href="#p"/>`, n/32))
	}},
	{"used-text.svg", statusUsage, func(n int) string {
		return svgBody(`<text id="p">` + strings.Repeat("<a/>", n/8) + `</text>` + strings.Repeat(`<use href="#p"/>`, n/32))
	}},
	{"used-style.svg", statusUsage, func(n int) string {
		return svgBody(`<path id="p" style="` + strings.Repeat(";", n/2) + `" d="M0 0h1"/>` + strings.Repeat(`<use href="#p"/>`, n/32))
	}},
	{"used-declarations.svg", statusUsage, func(n int) string {
		return svgBody(`<path id="p" style="fill:a;zoom` + strings.Repeat(":;", n/4) + `" d="M0 0h1"/>` + strings.Repeat(`<use href="#p"/>`, n/32))
	}},
	{"used-points.svg", statusUsage, func(n int) string {
		return svgBody(`<path id="p" d="M0 0` + strings.Repeat("h1", n/4) + `"/>` + strings.Repeat(`<use href="#p"/>`, n/32))
	}},
	// One element that has a million attributes, or one that is endless.
	{"attributes.svg", statusUsage, func(n int) string {
		return svgBody(`<path d="M0 0h1" ` + strings.Repeat(`fill="" `, n/16) + `style="` + strings.Repeat(";", n/2) + `"/>`)
	}},
	{"prefixes.svg", statusUsage, func(n int) string {
		var s strings.Builder
		for i := range 250 {
			fmt.Fprintf(&s, ` xmlns:p%d="%d"`, i, i)
		}
		return svgBody("<g" + s.String() + ">" + strings.Repeat("<a p0:a=''/>", n/12) + "<p250:a/></g>")
	}},
	{"encodings.svg", statusUsage, func(n int) string {
		return strings.Repeat(`<?xml version="1.0" encoding="latin1"?>`, n/39) + svgBody("")
	}},
	{"places.svg", statusNo, func(n int) string { return svgBody(`<text x="` + strings.Repeat("1 ", n/2) + `">a</text>`) }},
	{"colour.svg", statusNo, func(n int) string {
		return svgBody(`<path d="M0 0h1" stroke="rgb(` + strings.Repeat("1 ", n/2) + `)"/>`)
	}},
	{"ratio.svg", statusUsage, func(n int) string {
		return svgBody(`<svg viewBox="0 0 1 1" preserveAspectRatio="` + strings.Repeat("x ", n/2) + `"/>`)
	}},
	{"transforms.svg", statusNo, func(n int) string {
		return svgBody(`<path transform="` + strings.Repeat("scale(1)", n/8) + `" d="M0 0h1"/>`)
	}},
	{"tspans.svg", statusNo, func(n int) string { return svgBody("<text>" + strings.Repeat("<tspan>a</tspan>", n/16) + "</text>") }},
	// Many squares and many sizes: which is the calibration square?
	{"squares.svg", statusNo, func(n int) string {
		var s strings.Builder
		for i := 0; s.Len() < n; i++ {
			fmt.Fprintf(&s, `<path d="M%d %dh2v2h-2z"/>`, i%100, i/100%100)
			if i%10 == 0 {
				fmt.Fprintf(&s, `<text x="%d" y="%d">4in</text>`, i%100, i/100%100)
			}
		}
		return svgBody(s.String())
	}},
	{"arcs.svg", statusUsage, func(n int) string {
		return svgBody(`<path d="M0 0` + strings.Repeat("a9 9 0 011 0", n/12) + `"/>`)
	}},
	// Styles and areas: each rule against each element, each area over each line.
	{"rules.svg", statusUsage, func(n int) string {
		return svgBody("<style>" + strings.Repeat(".a.b.c{fill:red}", 4000) + "</style>" + strings.Repeat(`<g/>`, n/4))
	}},
	{"brackets.svg", statusUsage, func(n int) string {
		return svgBody("<style>" + strings.Repeat("a{", n/2) + "</style>")
	}},
	{"areas.svg", statusNo, func(n int) string {
		return svgBody(strings.Repeat(`<path d="M0 0h200v200h-200z"/>`, n/30))
	}},
	{"round-areas.svg", statusUsage, func(n int) string {
		return svgBody(strings.Repeat(`<circle cx="9" cy="9" r="8"/>`, n/60))
	}},
	{"clips.svg", statusUsage, func(n int) string {
		return svgBody(`<clipPath id="c"><path d="M0 0` + strings.Repeat("h.001v.001", n/40) + `z"/></clipPath>` + strings.Repeat(`<path clip-path="url(#c)" d="M0 0h9v9z"/>`, n/100))
	}},

	// DXF (LibreCAD/LibreCAD#1473, LibreCAD/libdxfrw#7, OSGeo/gdal#3936):
	// counts that lie, no end, lines without end.
	{"count.dxf", statusUsage, func(n int) string { return dxfBody("0\nLWPOLYLINE\n90\n5000000\n" + strings.Repeat("999\n\n", n/5)) }},
	{"counts-below-0.dxf", statusUsage, func(n int) string { return dxfBody(strings.Repeat("0\nLWPOLYLINE\n90\n-1\n", n/19)) }},
	{"cut-off.dxf", statusUsage, func(n int) string { return dxfHead + strings.Repeat("0\nPOINT\n10\n1\n20\n1\n", n/18) }},
	{"long-line.dxf", statusUsage, func(n int) string { return dxfBody("0\n" + strings.Repeat("x", n) + "\n") }},
	{"kinds.dxf", statusDone, func(n int) string {
		var s strings.Builder
		for i := 0; s.Len() < n; i++ {
			fmt.Fprintf(&s, "0\nK%d\n", i)
		}
		return dxfBody(s.String())
	}},
	{"header.dxf", statusUsage, func(n int) string {
		return "0\nSECTION\n2\nHEADER\n9\n$X\n" + strings.Repeat("1\n\n", n/3) + "0\nENDSEC\n0\nEOF\n"
	}},
	{"variables.dxf", statusUsage, func(n int) string {
		var s strings.Builder
		for i := 0; s.Len() < n; i++ {
			fmt.Fprintf(&s, "9\n$%d\n1\nx\n", i)
		}
		return "0\nSECTION\n2\nHEADER\n" + s.String() + "0\nENDSEC\n0\nEOF\n"
	}},
	{"inserts.dxf", statusUsage, func(n int) string {
		s := "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n" + strings.Repeat("0\nPOINT\n10\n1\n20\n1\n", n/36) + "0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
		return s + strings.Repeat("0\nINSERT\n2\nA\n10\n0\n20\n0\n70\n9999\n71\n9999\n", n/70) + "0\nENDSEC\n0\nEOF\n"
	}},
	{"labels.dxf", statusDone, func(n int) string {
		var s strings.Builder
		for i := 0; s.Len() < n; i++ {
			fmt.Fprintf(&s, "0\nTEXT\n8\nMARK\n10\n%d\n20\n%d\n40\n1\n1\nleft-leaning diamond 4 in\n0\nLWPOLYLINE\n8\nCUT\n70\n1\n10\n%d\n20\n0\n10\n%d\n20\n0\n10\n%d\n20\n2\n10\n%d\n20\n2\n", i, i%7, i, i+2, i+2, i)
		}
		return dxfBody(s.String())
	}},

	{"circles.dxf", statusUsage, func(n int) string { return dxfBody(strings.Repeat("0\nCIRCLE\n10\n1\n20\n1\n40\n1\n", n/28)) }},
	{"bulges.dxf", statusUsage, func(n int) string {
		return dxfBody("0\nLWPOLYLINE\n" + strings.Repeat("10\n1\n20\n1\n42\n9\n10\n2\n20\n2\n", n/28))
	}},
	{"layers.dxf", statusNo, func(n int) string {
		s := "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n" + strings.Repeat("0\nLAYER\n2\nx\n70\n1\n62\n-7\n", n/50) + "0\nENDTAB\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
		return s + strings.Repeat("0\nLINE\n8\nX\n10\n0\n20\n0\n11\n1\n21\n1\n", n/60) + "0\nENDSEC\n0\nEOF\n"
	}},

	// PDF: packed zeros, the same content again and again.
	{"bomb.pdf", statusUsage, func(n int) string { return pdfOf(strings.Repeat(" ", 16*n), true) }},
	{"arrays.pdf", statusUsage, func(n int) string { return pdfOf(strings.Repeat("[", n), false) }},
	{"dictionaries.pdf", statusUsage, func(n int) string { return pdfOf(strings.Repeat("<</A ", n/5), false) }},
	{"saves.pdf", statusUsage, func(n int) string { return pdfOf(strings.Repeat("q ", n/2), false) }},
	{"numbers.pdf", statusUsage, func(n int) string { return pdfOf(strings.Repeat("1 ", n/2), false) }},
	{"curves.pdf", statusUsage, func(n int) string { return pdfOf("0 0 m "+strings.Repeat("0 900 900 0 900 900 c ", n/22), false) }},
	{"pictures.pdf", statusDone, func(n int) string { return pdfOf(strings.Repeat("BI EI ", n/6), false) }},
	{"names.pdf", statusDone, func(n int) string { return pdfOf(strings.Repeat("/#41 gs ", n/8), false) }},
	{"words.pdf", statusDone, func(n int) string { return pdfOf("BT "+strings.Repeat("(4in) Tj ", n/9)+"ET", false) }},
	{"colours.pdf", statusDone, func(n int) string { return pdfOf(strings.Repeat("1 1 1 rg ", n/9), false) }},
	{"forms.pdf", statusUsage, func(n int) string {
		// The page draws a form of blanks as often as there is room.
		blank := strings.Repeat(" ", n/2)
		s := strings.Replace(pdfOf(strings.Repeat("/F Do ", n/12), false), "/MediaBox", "/Resources <</XObject <</F 3 0 R>>>> /MediaBox", 1)
		s = strings.Replace(s, "/Contents 4 0 R>>", fmt.Sprintf("/Contents 4 0 R /Subtype /Form /Length %d>>stream\n%s\nendstream", len(blank), blank), 1)
		return movedTable(s)
	}},
}

func svgBody(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="200in" height="200in" viewBox="0 0 200 200">` + body + `</svg>`
}

func dxfBody(entities string) string { return dxfHead + entities + "0\nENDSEC\n0\nEOF\n" }

// movedTable writes the table of a PDF of pdfOf anew, for objects that have
// been moved.
func movedTable(s string) string {
	table := strings.LastIndex(s, "xref\n0 ")
	var b strings.Builder
	b.WriteString(s[:table])
	b.WriteString("xref\n0 5\n0000000000 65535 f \n")
	for i := 1; i <= 4; i++ {
		fmt.Fprintf(&b, "%010d 00000 n \n", strings.Index(s, fmt.Sprintf("%d 0 obj\n", i)))
	}
	fmt.Fprintf(&b, "trailer\n<</Root 1 0 R /Size 5>>\nstartxref\n%d\n%%%%EOF\n", table)
	return b.String()
}

// Each ends, in the way that it should, and says something.
func TestMeasureHostileFiles(t *testing.T) {
	t.Parallel()
	for _, h := range hostile {
		file := filepath.Join(t.TempDir(), h.name)
		if err := os.WriteFile(file, []byte(h.make(1<<20)), 0o666); err != nil {
			t.Fatal(err)
		}
		var out, talk bytes.Buffer
		status := run([]string{"measure", file}, nil, &out, &talk)
		if status != h.status || out.Len()+talk.Len() == 0 || talk.Len() > 2000 || out.Len() > 5000 {
			t.Errorf("%s: status %d: %.300s%.300s", h.name, status, talk.String(), out.String())
		}
	}
}

// BenchmarkMeasureHostile shows that none takes three seconds at 20 MB:
//
//	go test ./cmd/lozenge -run '^$' -bench MeasureHostile -benchtime 3x
func BenchmarkMeasureHostile(b *testing.B) {
	for _, h := range hostile {
		b.Run(h.name, func(b *testing.B) {
			file := filepath.Join(b.TempDir(), h.name)
			if err := os.WriteFile(file, []byte(h.make(20_000_000)), 0o666); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				var out, talk bytes.Buffer
				run([]string{"measure", file}, nil, &out, &talk)
			}
		})
	}
}
