// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

type halves struct{ Lower, Upper int }

type checkCase struct {
	Unit          string
	Cuts          []float64
	Seam          float64
	Angle         float64
	UsableWidth   float64 `json:"usable_width"`
	Setting       string
	Columns, Rows int
	Quilt         struct {
		ColumnStep     float64 `json:"column_step"`
		RowStep        float64 `json:"row_step"`
		FinishedWidth  float64 `json:"finished_width"`
		FinishedHeight float64 `json:"finished_height"`
		Diamonds       struct{ Right, Left int }
		EdgeTriangles  struct{ Right, Left halves } `json:"edge_triangles"`
	}
}

func settingOf(t *testing.T, name string) quilt.Layout {
	t.Helper()
	for _, s := range []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay} {
		if s.String() == name {
			return s
		}
	}
	t.Fatalf("no setting %q", name)
	return quilt.Layout{}
}

func spec(cuts []float64, seam, angle, length float64, setting quilt.Layout, columns, rows int) quilt.Spec {
	s := quilt.Spec{
		Name: "check", Angle: geometry.Angle(angle), Seam: seam, UsableWidth: length,
		Layout: setting, Columns: columns, Rows: rows,
	}
	for i, c := range cuts {
		key := fmt.Sprintf("f%d", i)
		s.Strips = append(s.Strips, quilt.Strip{Cut: c, Fabric: key})
		s.Fabrics = append(s.Fabrics, quilt.Fabric{Key: key, Colours: []quilt.Colour{{uint8(40 * i), 90, 120}}})
	}
	return s
}

// The table was computed independently of this program, in 50-digit
// arithmetic; see testdata/check/README.md.
func TestQuiltsAgreeWithTheTable(t *testing.T) {
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
	for i, c := range cases {
		t.Run(fmt.Sprintf("%d %s %v deg", i, c.Setting, c.Angle), func(t *testing.T) {
			p, err := quilt.New(spec(c.Cuts, c.Seam, c.Angle, c.UsableWidth, settingOf(t, c.Setting), c.Columns, c.Rows))
			if err != nil {
				t.Fatal(err)
			}
			for what, v := range map[string][2]float64{
				"column step":     {p.ColumnStep, c.Quilt.ColumnStep},
				"row step":        {p.RowStep, c.Quilt.RowStep},
				"finished width":  {p.Finished.Width, c.Quilt.FinishedWidth},
				"finished height": {p.Finished.Height, c.Quilt.FinishedHeight},
			} {
				if math.Abs(v[0]-v[1]) > 1e-11 {
					t.Errorf("%s = %.14g, want %.14g", what, v[0], v[1])
				}
			}
			q := c.Quilt
			want := quilt.Count{
				{q.Diamonds.Right, q.EdgeTriangles.Right.Lower, q.EdgeTriangles.Right.Upper},
				{q.Diamonds.Left, q.EdgeTriangles.Left.Lower, q.EdgeTriangles.Left.Upper},
			}
			if d := cmp.Diff(want, p.Need); d != "" {
				t.Errorf("need (-want +got):\n%s", d)
			}
			if rows := c.Columns + c.Rows/2 + 1; p.SewingRows != rows {
				t.Errorf("%d diagonal rows, want %d: d runs from -floor(rows/2) to columns", p.SewingRows, rows)
			}
		})
	}
}
