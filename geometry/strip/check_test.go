// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

type yields struct {
	Plain        int
	OneTriangle  *int `json:"one_triangle"`
	TwoTriangles *int `json:"two_triangles"`
	Triangles    int
	Staggered    *int
}

type checkCase struct {
	Cuts        []float64
	Seam        float64
	Angle       float64
	UsableWidth float64                                     `json:"usable_width"`
	SetWidth    float64                                     `json:"set_width"`
	SeamLines   []float64                                   `json:"seam_lines"`
	StripLength struct{ Matched, Sharp map[string]float64 } `json:"strip_length"`
	Yields      struct{ Matched, Sharp yields }
}

// The table was computed independently of this program, in 50-digit
// arithmetic; see testdata/check/README.md.
func checkTable(t *testing.T) []checkCase {
	t.Helper()
	data, err := os.ReadFile("../../testdata/check/geometry.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []checkCase
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) < 17 {
		t.Fatalf("only %d cases in the table", len(cases))
	}
	return cases
}

func TestSetsRowsAndYieldsAgreeWithTheTable(t *testing.T) {
	for i, c := range checkTable(t) {
		for _, tips := range []geometry.Tips{geometry.Matched, geometry.Sharp} {
			t.Run(fmt.Sprintf("%d %v %v deg %v", i, c.Cuts, c.Angle, tips), func(t *testing.T) {
				set, err := strip.New(c.Cuts, c.Seam, geometry.Angle(c.Angle), tips, 0)
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(set.Width-c.SetWidth) > 1e-12 {
					t.Errorf("width = %v, want %v", set.Width, c.SetWidth)
				}
				for k, y := range c.SeamLines {
					if len(set.Seams) != len(c.SeamLines) || math.Abs(set.Seams[k]-y) > 1e-12 {
						t.Errorf("seam lines = %v, want %v", set.Seams, c.SeamLines)
						break
					}
				}
				lengths, want := c.StripLength.Matched, c.Yields.Matched
				if tips == geometry.Sharp {
					lengths, want = c.StripLength.Sharp, c.Yields.Sharp
				}
				if len(lengths) == 0 {
					t.Fatal("no strip lengths in the table")
				}
				for word, l := range lengths {
					for _, lean := range geometry.Leans {
						row, err := strip.NewRow(set, lean, word)
						if err != nil {
							t.Fatal(err)
						}
						if math.Abs(row.Length-l) > 1e-11 {
							t.Errorf("%v %s: length %.14g, want %.14g", lean, word, row.Length, l)
						}
					}
				}
				y := set.Yield(c.UsableWidth)
				got := yields{y.Plain, y.OneTriangle, y.TwoTriangles, y.Triangles, y.Staggered}
				if d := cmp.Diff(want, got); d != "" {
					t.Errorf("yields (-want +got):\n%s", d)
				}
			})
		}
	}
}
