// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/spreadsheet"
	"lozenge/geometry"
)

// placed matches what is said about a file that was read: its place and what is
// wrong, the line with its caret, and a right example.
var placed = regexp.MustCompile(`^(?:<standard input>(:\d+:\d+)?: \S.*\n(?:  \d+ \| .*\n +\| *\^\n)?(?:  like this: \S.*\n)?)*$`)

// placedLines checks that all of a refusal, or of the warnings before an answer,
// names its place.
func placedLines(t *testing.T, said string) {
	t.Helper()
	if !placed.MatchString(said) {
		t.Fatalf("no place in %q", said)
	}
}

// FuzzMeasuredWidths reads a table of strip sets as they were sewn. Either all
// is refused, with places, and nothing printed; or the plan is cut to a width of
// the table or, without a seam off its place, its own, and the strip sets and
// their pieces stay as they were.
//
//	go test ./cmd/lozenge -run '^$' -fuzz FuzzMeasuredWidths -fuzztime 30s -fuzzminimizetime 10x
func FuzzMeasuredWidths(f *testing.F) {
	const q = "unit: in\nstrips: [{cut: 2 1/2, fabric: a}, {cut: 2, fabric: b}]\ncolumns: 5\nrows: 6\n"
	file := filepath.Join(f.TempDir(), "q.yaml")
	if err := os.WriteFile(file, []byte(q), 0o644); err != nil {
		f.Fatal(err)
	}
	p, err := pattern.Parse(file, []byte(q))
	if err != nil {
		f.Fatal(err)
	}
	const head = "strip_set,left,middle,right\n"
	var whole strings.Builder
	whole.WriteString(head)
	var planned bytes.Buffer
	if s := run([]string{"plan", file, "--json"}, nil, &planned, &planned); s != statusDone {
		f.Fatal(planned.String())
	}
	var plan jsonPlan
	if err := json.Unmarshal(planned.Bytes(), &plan); err != nil {
		f.Fatal(err)
	}
	for i := range *plan.StripSets.Total {
		whole.WriteString(string(rune('1'+i)) + ",4,4 1/32,3 31/32\n")
	}
	f.Add(whole.String())
	f.Add(strings.ReplaceAll(whole.String(), ",", ";"))
	f.Add("\ufeff" + strings.ReplaceAll(whole.String(), "\n", "\r\n"))
	f.Add(strings.ReplaceAll(whole.String(), "4 1/32", "3 1/2"))
	f.Add("sep=,\nstrip_set,left,middle,right,seam,bow\n1,4,4,4,2 3/8,1/8\n2,4,4,3 7/8,,\n3,,,\n")
	for _, cell := range []string{
		`4"`, `"4 1/32"""`, `"4"`, `"4" wide`, // golang/go#21672, #14525, #56329, #26919; mithrandie/csvq#119
		"NaN", "inf", "0x1p2", "4_0", "1e400", "1e-400", // golang/go#30990, stripe/veneur#158
		"4,0", "010", "-4", "", "4 1/2 1/4", "1/0", // goccy/go-yaml#894, olbrich/ruby-units#276
		"10.16 cm", "101.6mm", "4½", "1000",
	} {
		f.Add(strings.Replace(whole.String(), "4 1/32", cell, 1))
	}
	f.Fuzz(func(t *testing.T, text string) {
		var out, said bytes.Buffer
		s := run([]string{"plan", file, "--measured", "-", "--json"}, strings.NewReader(text), &out, &said)
		placedLines(t, said.String())
		if s == statusUsage {
			if said.Len() == 0 || out.Len() > 0 {
				t.Fatalf("refused with %q and %d bytes", said.String(), out.Len())
			}
			return
		}
		if s != statusDone {
			t.Fatalf("status %d: %s", s, said.String())
		}
		var got jsonPlan
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		tab, err := spreadsheet.Parse("-", []byte(text), widths...)
		if err != nil {
			t.Fatal(err)
		}
		var narrowest []float64
		for _, row := range tab.Rows {
			if !row.Has("left") {
				continue
			}
			least := math.Inf(1)
			for _, name := range []string{"left", "middle", "right"} {
				w, _ := row.Length(name, p.Spec.Unit)
				least = min(least, w)
			}
			narrowest = append(narrowest, least)
		}
		w := got.StripSet.Width
		m := got.Measured
		if w != m.Ways[m.Chosen].Width || !slices.Contains(append(narrowest, plan.StripSet.Width), w) && !strings.Contains(strings.ToLower(text), "seam") ||
			len(narrowest)+len(m.Missing) != *plan.StripSets.Total || len(narrowest) != len(m.StripSets) {
			t.Fatalf("cut to %v, measured %v, %+v", w, narrowest, m)
		}
		if !slices.EqualFunc(got.Pieces, plan.Pieces, func(a, b jsonPlaced) bool { return *a.StripSet == *b.StripSet }) || len(got.Fabric) > 0 {
			t.Fatal("what is sewn did not stay as it was")
		}
		if got.Quilt.Columns != plan.Quilt.Columns || got.Quilt.Rows != plan.Quilt.Rows {
			t.Fatalf("%+v", got.Quilt)
		}
	})
}

// FuzzPlan plans whatever can be read as a pattern. Either it is refused, with
// places, or the plan's numbers are finite and hold together; and to ask twice
// gives the same bytes.
//
//	go test ./cmd/lozenge -run '^$' -fuzz FuzzPlan -fuzztime 30s -fuzzminimizetime 10x
func FuzzPlan(f *testing.F) {
	for _, unit := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		starter := string(pattern.Starter(unit))
		f.Add(starter)
		f.Add(regexp.MustCompile(`(?m)^#(\w)`).ReplaceAllString(regexp.MustCompile(`(?m)^#finish.*$`).ReplaceAllString(starter, ""), "$1"))
	}
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) == 0 {
		f.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	const base = "unit: in\nstrips: [{cut: 3, fabric: a}, {cut: 3, fabric: b}]\ncolumns: 4\nrows: 3\n"
	// Numbers that YAML reads as something else (goccy/go-yaml#894,
	// go-yaml/yaml#157, ghodss/yaml#66, yaml/pyyaml#395, mikefarah/yq#118).
	for _, text := range []string{"010", "08", "0o10", "1_000", "1e3", "0x1F", "2024-01-02", "no", "~", "#5", `"2 1/2""`, ".nan", ".inf", "6,5", "1:30", "2.50"} {
		f.Add(strings.Replace(base, "cut: 3", "cut: "+text, 1))
		f.Add(base + "usable_width: " + text + "\nspare: " + text + "\n")
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := pattern.Parse("<standard input>", []byte(text))
		if err == nil && (p.Spec.Columns*p.Spec.Rows > 2000 || p.Spec.Finish != nil && tooManyToFuzz(p)) {
			return
		}
		ask := func() (int, string, string) {
			var out, said bytes.Buffer
			s := run([]string{"plan", "-", "--json"}, strings.NewReader(text), &out, &said)
			return s, out.String(), said.String()
		}
		s, out, said := ask()
		placedLines(t, said)
		if s2, out2, said2 := ask(); s2 != s || out2 != out || said2 != said {
			t.Fatalf("asked twice: %d and %d\n%s\n%s", s, s2, said, said2)
		}
		if s == statusUsage && said != "" && out == "" {
			return
		}
		var plan jsonPlan
		if s != statusDone || err != nil {
			t.Fatalf("status %d, %v: %s", s, err, said)
		}
		if err := json.Unmarshal([]byte(out), &plan); err != nil {
			t.Fatal(err)
		}
		q, n := plan.Quilt, plan.Need
		halves := n.EdgeTriangles.Right.Lower + n.EdgeTriangles.Right.Upper + n.EdgeTriangles.Left.Lower + n.EdgeTriangles.Left.Upper
		if n.Diamonds.Right+n.Diamonds.Left != q.Columns*q.Rows || halves != 2*q.Columns || !(q.FinishedWidth > 0 && q.FinishedHeight > 0) {
			t.Fatalf("%+v", plan)
		}
		for _, fabric := range plan.Fabric {
			if !(fabric.Buy > 0 && fabric.Length > 0 && fabric.Strips > 0) {
				t.Fatalf("%+v", fabric)
			}
		}
		if f := p.Spec.Finish; f != nil && p.Spec.SewnWidth == 0 && (q.FinishedWidth < f.Width-1e-8 || q.FinishedHeight < f.Height-1e-8) {
			t.Fatalf("%v by %v does not cover %v", q.FinishedWidth, q.FinishedHeight, *f)
		}
	})
}

// tooManyToFuzz reports whether a size to cover takes too many pieces to try.
func tooManyToFuzz(p *pattern.Pattern) bool {
	width := -2 * p.Spec.Seam * float64(len(p.Spec.Strips))
	for _, s := range p.Spec.Strips {
		width += s.Cut
	}
	return p.Spec.Finish.Width*p.Spec.Finish.Height > 1000*width*width
}
