// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What plan --json says of the example patterns adds up: every piece comes from
// a strip set that is there and has as many diamonds; every strip set gets each
// of its strips once, in its colour, out of a whole piece that holds them; and
// the whole pieces are what is bought.
func TestPlanJSONAddsUp(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		var out, errs strings.Builder
		if code := run([]string{"plan", "--json", file}, os.Stdin, &out, &errs); code != 0 {
			t.Fatal(errs.String())
		}
		var plan jsonPlan
		if err := json.Unmarshal([]byte(out.String()), &plan); err != nil {
			t.Fatal(err)
		}
		sets := plan.StripSets.Sets
		if len(sets) != *plan.StripSets.Total || len(plan.Pieces) != plan.Quilt.Columns*(plan.Quilt.Rows+2) {
			t.Errorf("%s: %d strip sets, %d pieces", file, len(sets), len(plan.Pieces))
		}
		diamonds := map[int]int{}
		for _, p := range plan.Pieces {
			if p.Shape == "diamond" {
				diamonds[*p.StripSet]++
			}
		}
		type strip struct {
			set           int
			fabric, color string
			cut           float64
		}
		missing := map[strip]int{}
		for i, s := range sets {
			if s.Number != i+1 || diamonds[s.Number] > strings.Count(strings.ToUpper(s.Cuts), "D") {
				t.Errorf("%s: %+v gives %d diamonds", file, s, diamonds[s.Number])
			}
			for _, c := range s.Colors {
				missing[strip{s.Number, c.Fabric, c.Color, plan.StripSet.CutWidths[c.Strip-1]}]++
			}
		}
		bought := map[string]float64{}
		for _, w := range plan.Cutting {
			wide := 0.0
			for _, c := range w.Strips {
				if c.Count*w.Times != len(c.StripSets) {
					t.Errorf("%s: %+v", file, c)
				}
				each := int(w.Whole.Length/c.Length + 1e-9)
				wide += c.Cut * float64((c.Count+each-1)/each)
				for _, k := range c.StripSets {
					missing[strip{k, w.Fabric, w.Color, c.Cut}]--
				}
			}
			if wide > w.Whole.Width+1e-9 {
				t.Errorf("%s: %v across %+v", file, wide, w)
			}
			if w.Whole.Kind != "yardage" {
				bought[w.Fabric] += float64(w.Times)
			}
		}
		for s, n := range missing {
			if n != 0 {
				t.Errorf("%s: %d of %+v missing", file, n, s)
			}
		}
		for _, f := range plan.Fabric {
			if n, ok := bought[f.Fabric]; ok && n != f.Buy {
				t.Errorf("%s: %v of %s bought, %v cut up", file, f.Buy, f.Fabric, n)
			}
		}
	}
}
