// SPDX-License-Identifier: Apache-2.0

package svgread_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"lozenge/export/measure"
	"lozenge/export/svgread"
	"lozenge/export/trace"
)

// FuzzRead: what is read is finite, has a page with a size, no path of fewer
// than two points and no more points than may be; what is refused is a
// SyntaxError and nothing besides. All of it can be judged.
//
//	go test ./export/svgread -run '^$' -fuzz FuzzRead -fuzztime 30s
func FuzzRead(f *testing.F) {
	for _, src := range hostile() {
		if len(src) < 5000 {
			f.Add(src)
		}
	}
	for _, body := range []string{
		`<path d="M1e-1-2L.5.5 3e0,4"/>`,
		`<path d="M2 5a1 1 0 012 0T1 2s1 1 2 2z"/>`,
		`<g id="cut"><rect x="1" y="3" width="2" height="2" rx="1"/></g><text x="1 2" y="3">a&amp;b</text>`,
		`<defs><symbol id="y" viewBox="0 0 1 1" preserveAspectRatio="xMinYMax slice"><circle r="1"/></symbol></defs><use href="#y" width="50%"/>`,
		`<svg x="1mm" viewBox="0 0 1 2" preserveAspectRatio="none"><ellipse rx="1" ry="2" style="stroke:#abc;stroke-dasharray:1"/></svg>`,
	} {
		f.Add(svg(body))
	}
	// Roots without a physical size (musescore/MuseScore#22531,
	// deeplook/svglib#452), decimal commas (richsmith/sexytopo#326), lengths with
	// units inside (linebender/resvg#357), numbers that run together
	// (w3c/svgwg#286, Kozea/CairoSVG#454), other encodings (golang/go#38335),
	// lettering that must be escaped (pymupdf/PyMuPDF#3941).
	for _, root := range []string{
		`width="100" height="50" viewBox="0 0 100 50"`, `width="100mm" height="50mm" viewBox="0 0 1000 500"`, `viewBox="0 0 100 50"`,
		`width="100%" height="50%" viewBox="0 0 100 50"`, `width="10,5mm" height="5mm"`, `width="8.375in" height="10.0625in"`, `width="1e2mm" height="1e-400mm"`,
	} {
		for _, body := range []string{`<rect width="10mm" height="5pc"/>`, `<path d="M1e-1-2L2e2.0 .5.5z"/>`, `<text x="1" y="1">A &amp; B &lt;"x"&gt; 2½″</text>`} {
			src := `<svg xmlns="http://www.w3.org/2000/svg" ` + root + `>` + body + `</svg>`
			f.Add(src)
			f.Add("\ufeff" + src)
			f.Add(`<?xml version="1.0" encoding="ISO-8859-1"?>` + src)
		}
	}
	f.Fuzz(func(t *testing.T, src string) {
		d, err := svgread.Read(strings.NewReader(src), measure.Inch)
		// To read it again, or with a mark in front, is to read the same.
		if !strings.HasPrefix(src, "\ufeff") && !strings.HasPrefix(src, "\x1f\x8b") {
			e, err2 := svgread.Read(strings.NewReader("\ufeff"+src), measure.Inch)
			if (err == nil) != (err2 == nil) || err == nil && !reflect.DeepEqual(d, e) {
				t.Fatalf("%v, and with a byte order mark %v", err, err2)
			}
		}
		if err != nil {
			var syntax *svgread.SyntaxError
			if d != nil || !errors.As(err, &syntax) {
				t.Fatalf("%v, %v", d, err)
			}
			return
		}
		page := d.Pages[0]
		if !(page.Width > 0 && page.Height > 0) {
			t.Fatalf("the page is %v by %v", page.Width, page.Height)
		}
		n := 0
		for _, p := range page.Paths {
			if n += len(p.Points); len(p.Points) < 2 || n > trace.MaxPoints {
				t.Fatalf("a path of %d points, %d so far", len(p.Points), n)
			}
			for _, q := range p.Points {
				if math.IsNaN(q.X+q.Y) || math.IsInf(q.X+q.Y, 0) {
					t.Fatalf("a point at %v", q)
				}
			}
		}
		d.Judge(measure.Options{})
	})
}
