// SPDX-License-Identifier: Apache-2.0

package pdfread_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"lozenge/export/measure"
	"lozenge/export/pdfread"
	"lozenge/export/trace"
)

// finite checks what holds of every drawing that was read.
func finite(t *testing.T, d *measure.Drawing) {
	t.Helper()
	n := 0
	for _, page := range d.Pages {
		if !(page.Width > 0 && page.Height > 0) {
			t.Fatalf("the page is %v by %v", page.Width, page.Height)
		}
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
	}
	d.Judge(measure.Options{})
}

func fuzzed(t *testing.T, src string) {
	d, err := pdfread.Read(strings.NewReader(src))
	if err != nil {
		var syntax *pdfread.SyntaxError
		if d != nil || !errors.As(err, &syntax) {
			t.Fatalf("%v, %v", d, err)
		}
		return
	}
	if len(d.Pages) == 0 {
		t.Fatal("no page and no error")
	}
	finite(t, d)
}

// FuzzRead: what is read has pages with a size and finite points, no more than
// may be; what is refused is a SyntaxError and nothing besides.
//
//	go test ./export/pdfread -run '^$' -fuzz FuzzRead -fuzztime 30s
func FuzzRead(f *testing.F) {
	for _, src := range hostile() {
		if len(src) < 5000 {
			f.Add(src)
		}
	}
	f.Add(page("/Rotate 90", "q 2 0 0 2 0 0 cm 36 108 72 72 re S Q"))
	f.Add(tableStream("72 216 144 144 re S", false))
	f.Add(tableStream("72 216 144 144 re S", true))
	// Pages of millimetres and of fractions (typst/svg2pdf#25,
	// Kozea/WeasyPrint#612, istopwg/ippsample#268), too large ones
	// (parallax/jsPDF#705), exponents (michaelrsweet/htmldoc#256,
	// eseifert/vectorgraphics2d#63), strings with brackets and bytes of no
	// meaning (jung-kurt/gofpdf#114, johnwhitington/cpdf-source#235).
	for _, box := range []string{"0 0 240.945 155.906", "0 0 595.276 841.89", "-10 -10 63 63", "0 0 14401 14401", "612 792 0 0", "0 0 1e3 1e3"} {
		f.Add(page("/MediaBox ["+box+"]", "0 0 m 283.465 0 l 283.465 283.465 l 0 283.465 l h S"))
	}
	for _, content := range []string{"1e-6 0 m 6.1e-17 72 l S", "BT (2 \\275 \\(A\\\\B\\) ((nested)) \\2033) Tj ET", "BT (unbalanced Tj ET 0 0 9 9 re S", "1 0 0 1 6.1e-17 0 cm 0 0 72 72 re S"} {
		f.Add(page("", content))
	}
	f.Fuzz(fuzzed)
}

// FuzzContent is the same for the content of a page, which a fuzzer does not
// reach past the table of objects; a transform of twice the size also makes
// every length twice as long.
func FuzzContent(f *testing.F) {
	for _, content := range []string{
		"72 216 144 144 re S", "0 0 m 1 2 l 3 4 5 6 7 8 c h B*", "BT 1 0 0 1 2 3 Tm [(a) -1 <62>] TJ ET", "q 1 0 0 -1 0 9 cm /F Do Q",
		"BI /W 1 ID xEI EI [1 2] 0 d .5 G 1 2 3 4 v 1 2 3 4 y s", "-.5 +4. 0 .0 re f* % x",
	} {
		f.Add(content)
	}
	const form = "/Resources <</XObject <</F 5 0 R>>>>"
	small := stream("/Subtype /Form", "0 0 9 9 re S")
	f.Fuzz(func(t *testing.T, content string) {
		fuzzed(t, page(form, content, small))
		one, err1 := pdfread.Read(strings.NewReader(page(form, content, small)))
		two, err2 := pdfread.Read(strings.NewReader(page(form, fmt.Sprintf("2 0 0 2 0 0 cm\n%s", content), small)))
		if err1 != nil || err2 != nil || strings.Contains(content, "Q") || len(one.Pages[0].Paths) != len(two.Pages[0].Paths) {
			return // what is too far off in one need not be in the other
		}
		for i, p := range one.Pages[0].Paths {
			a, b := p.Points[0], two.Pages[0].Paths[i].Points[0]
			if a.Mul(2).Sub(b).Len() > 1e-9*(1+b.Len()) {
				t.Fatalf("path %d begins at %v, and twice as large at %v", i, a, b)
			}
		}
	})
}
