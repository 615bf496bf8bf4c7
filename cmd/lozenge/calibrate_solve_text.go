// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/words"
	"lozenge/geometry"
)

// solveText returns the answer as a quilter reads it: the verdict, why, how
// exact, and cross by cross.
func solveText(path string, r calibrate.Result, u geometry.Unit, seen []string) []byte {
	t := &text{unit: u}
	fmt.Fprintf(t, "Projector of %d x %d pixels, from %s\n", r.Screen.Width, r.Screen.Height, path)
	t.section("Verdict: " + string(r.Verdict))
	for _, reason := range r.Reasons {
		t.paragraph("  -", words.Sentence(reason.Text))
	}
	if len(r.Reasons) == 0 {
		t.paragraph("  -", "The readings fit together.")
	}
	if seen != nil {
		t.section("In the photo")
	}
	for _, one := range seen {
		t.paragraph("  -", one)
	}
	t.expected(r)
	t.crosses(r)
	t.section("Take care")
	if r.Map != nil {
		t.paragraph("  -", "Keystone, zoom and resolution stay as they are now; after a bump, and when the projector has warmed up, read two crosses again. Measure the check square before you cut.")
	}
	t.paragraph("  -", words.Cautions[len(words.Cautions)-1])
	return t.Bytes()
}

func (t *text) expected(r calibrate.Result) {
	if math.IsNaN(r.Expected.P95) {
		return
	}
	u := t.unit
	e := r.Expected
	t.section("How far off a cut line may land")
	row := func(key string, v float64, more string) {
		t.row(key, "within %s (%s)%s", within(v, u), words.Small(v, u), more)
	}
	row("half of places", e.Median, "")
	row("19 of 20 places", e.P95, "")
	row("the worst place", e.Worst, fmt.Sprintf(", at %s, %s on the mat, 19 times in 20",
		calibrate.WriteReading(e.WorstAt.X, u), calibrate.WriteReading(e.WorstAt.Y, u)))
	lens := "left out"
	switch {
	case r.Model == calibrate.Flat:
	case math.Abs(r.K1)+math.Abs(r.K2) < 0.00005:
		lens = "does not bend lines"
	case r.Model == calibrate.Whole:
		lens = fmt.Sprintf("bends lines by %.2f %% (k1) and %.2f %% (k2) about pixel %.0f, %.0f", 100*r.K1, 100*r.K2, r.Centre.X, r.Centre.Y)
	default:
		lens = fmt.Sprintf("bends lines by %.2f %% (k1)", 100*r.K1)
	}
	t.row("the lens", "%s", lens)
	t.row("one reading", "is usually off by %s each way", words.Small(r.Sigma, u))
}

// crosses prints a line for each reading.
func (t *text) crosses(r calibrate.Result) {
	u := t.unit
	t.section("Cross by cross, in " + [...]string{"inches", "centimetres"}[u])
	place := func(x, y float64) string {
		if math.IsNaN(x) || math.IsNaN(y) {
			return "unknown"
		}
		return calibrate.WriteReading(x, u) + ", " + calibrate.WriteReading(y, u)
	}
	print := func(point, read, want, off, remark string) {
		fmt.Fprintln(t, strings.TrimRight(fmt.Sprintf("  %5s   %-19s   %-19s   %-10s %s", point, read, want, off, remark), " "))
	}
	print("cross", "read (x, y)", "expected", "off by", "")
	for _, p := range r.Points {
		remark := ""
		switch {
		case r.Swapped != nil && p.Suspect && r.Swapped[0] == p.Point:
			remark = fmt.Sprintf("<- exchanged with %d", r.Swapped[1])
		case r.Swapped != nil && p.Suspect && r.Swapped[1] == p.Point:
			remark = fmt.Sprintf("<- exchanged with %d", r.Swapped[0])
		case p.Suspect:
			remark = "<- measure again"
		}
		print(fmt.Sprint(p.Point), place(p.X, p.Y), place(p.ExpectedX, p.ExpectedY), offBy(p.Residual, u), remark)
	}
}

// offBy writes how far a reading is off, as it would be read: to 1/32 in or
// half a millimetre.
func offBy(inches float64, u geometry.Unit) string {
	least, said := 1./64, "under 1/64"
	if u == geometry.Centimetre {
		least, said = u.Inches(0.025), "under 0.03"
	}
	switch {
	case math.IsNaN(inches):
		return "unknown"
	case inches < 1e-9:
		return "0"
	case inches < least:
		return said
	}
	return calibrate.WriteReading(inches, u)
}
