// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
)

type outlines struct{ Matched, Sharp [][2]float64 }

type checkCase struct {
	Unit          string
	Cuts          []float64
	Seam          float64
	Angle         float64
	SetWidth      float64   `json:"set_width"`
	SeamLines     []float64 `json:"seam_lines"`
	FinishedWidth float64   `json:"finished_width"`
	FinishedSide  float64   `json:"finished_side"`
	CutSide       float64   `json:"cut_side"`
	PastSeam      float64   `json:"past_seam"`
	ShortDiagonal float64   `json:"short_diagonal"`
	LongDiagonal  float64   `json:"long_diagonal"`
	Diamond       outlines
	EdgeTriangle  struct{ Lower, Upper outlines } `json:"edge_triangle"`
}

// The program that made the table makes it again, to the byte.
func TestReferencePrintsTheTable(t *testing.T) {
	got := outside.Run(t, outside.Python(t, "mpmath"), "../testdata/check/geometry_ref.py")
	want, err := os.ReadFile("../testdata/check/geometry.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(bytes.TrimSpace(got), bytes.TrimSpace(want)) {
		t.Error("geometry_ref.py does not print geometry.json")
	}
}

// The table was computed independently of this program, in 50-digit
// arithmetic; see testdata/check/README.md.
func checkTable(t *testing.T) []checkCase {
	t.Helper()
	data, err := os.ReadFile("../testdata/check/geometry.json")
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

func TestOutlinesAgreeWithTheTable(t *testing.T) {
	for i, c := range checkTable(t) {
		name := fmt.Sprintf("%d %v %v deg", i, c.Cuts, c.Angle)
		for _, tips := range []geometry.Tips{geometry.Matched, geometry.Sharp} {
			cut := geometry.Cutting{Width: c.SetWidth, Seam: c.Seam, Angle: geometry.Angle(c.Angle), Tips: tips, Seams: c.SeamLines}
			near := func(what string, got, want float64) {
				t.Helper()
				if math.Abs(got-want) > 1e-11 {
					t.Errorf("%s: %s = %.15g, want %.15g", name, what, got, want)
				}
			}
			near("finished width", cut.FinishedWidth(), c.FinishedWidth)
			near("finished side", cut.FinishedSide(), c.FinishedSide)
			near("cut side", cut.CutSide(), c.CutSide)
			near("past seam", cut.PastSeam(), c.PastSeam)
			near("short diagonal", cut.ShortDiagonal(), c.ShortDiagonal)
			near("long diagonal", cut.LongDiagonal(), c.LongDiagonal)
			for shape, want := range map[geometry.Shape]outlines{
				geometry.Diamond:       c.Diamond,
				geometry.LowerTriangle: c.EdgeTriangle.Lower,
				geometry.UpperTriangle: c.EdgeTriangle.Upper,
			} {
				pts := want.Matched
				if tips == geometry.Sharp {
					pts = want.Sharp
				}
				got := cut.Piece(shape, geometry.Right).Outline
				if d := outlineDistance(got, pts); d > 1e-11 {
					t.Errorf("%s: %v, %v tips: off by %g\n got %v\nwant %v", name, shape, tips, d, got, pts)
				}
			}
		}
	}
}

// outlineDistance returns the largest distance of corresponding vertices
// when the better of all starting vertices is taken, +Inf when the counts
// differ. Vertices that the table repeats (a corner that is only just
// clipped) count once.
func outlineDistance(got geometry.Polygon, want [][2]float64) float64 {
	var w geometry.Polygon
	for i, p := range want {
		q := want[(i+1)%len(want)]
		if math.Hypot(p[0]-q[0], p[1]-q[1]) > 1e-9 {
			w = append(w, geometry.Point{X: p[0], Y: p[1]})
		}
	}
	if len(got) != len(w) {
		return math.Inf(1)
	}
	best := math.Inf(1)
	for shift := range w {
		worst := 0.0
		for i := range got {
			worst = max(worst, got[i].Sub(w[(i+shift)%len(w)]).Len())
		}
		best = min(best, worst)
	}
	return best
}
