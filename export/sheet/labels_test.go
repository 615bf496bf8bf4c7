// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func drawPlan(t *rapid.T) *quilt.Plan {
	unit := rapid.SampledFrom([]geometry.Unit{geometry.Inch, geometry.Centimetre}).Draw(t, "unit")
	k := unit.Of(1, 2.5)
	layout, err := quilt.NewLayout(outside.DrawRepeat(t, 4))
	if err != nil {
		t.Fatal(err)
	}
	s := quilt.Spec{
		Name: "Labels", Unit: unit, Seam: k / 4, UsableWidth: 40 * k,
		Angle:   geometry.Angle(rapid.SampledFrom([]float64{30, 45, 60, 72, 90}).Draw(t, "angle")),
		Layout:  layout,
		Columns: rapid.IntRange(2, 9).Draw(t, "columns"), Rows: rapid.IntRange(2, 9).Draw(t, "rows"),
		Face:     rapid.SampledFrom([]geometry.Face{geometry.FaceUp, geometry.FaceDown}).Draw(t, "face"),
		Tips:     rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		Stagger:  rapid.Bool().Draw(t, "stagger"),
		EndTrim:  k * rapid.Float64Range(0, 0.5).Draw(t, "end trim"),
		MixLeans: rapid.Bool().Draw(t, "mix"),
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "strips") {
		key := fmt.Sprintf("cloth %d", i)
		s.Strips = append(s.Strips, quilt.Strip{Cut: k * rapid.Float64Range(2, 5).Draw(t, "cut"), Fabric: key})
		s.Fabrics = append(s.Fabrics, quilt.Fabric{Key: key, Colours: []quilt.Colour{{1, 2, 3}}})
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// box is where a text lies: capitals without their surroundings.
func box(x draw.Text) geometry.Rect {
	w := draw.TextWidth(x.Value, x.Height)
	left := x.At.X
	if x.Centred {
		left -= w / 2
	}
	return geometry.Rect{Min: geometry.Point{X: left, Y: x.At.Y}, Max: geometry.Point{X: left + w, Y: x.At.Y + x.Height}}
}

// Law: on every sheet at true size, no label lies on a cut line or a seam, on
// another label or off the page.
func TestLabelsLieClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		sheets := []*draw.Drawing{sheet.Cutter(p)}
		if m, ok := sheet.Mat(p); ok {
			sheets = append(sheets, m)
		}
		for _, s := range sheets {
			if len(s.Texts) < 4 || s.Square == nil {
				t.Fatalf("%s: %d labels, square %v", s.Title, len(s.Texts), s.Square)
			}
			for i, x := range s.Texts {
				b := box(x)
				if b.Min.X < s.Page.Min.X || b.Max.X > s.Page.Max.X || b.Min.Y < s.Page.Min.Y || b.Max.Y > s.Page.Max.Y {
					t.Fatalf("%s: label %q lies off the page", s.Title, x.Value)
				}
				for _, path := range s.Paths {
					if path.Role != draw.Cut && path.Role != draw.Sew {
						continue
					}
					for j, u := range path.Points {
						if j+1 == len(path.Points) && !path.Closed {
							break
						}
						v := path.Points[(j+1)%len(path.Points)]
						if _, hit := b.Clip(geometry.Segment{A: u, B: v}); hit {
							t.Fatalf("%s: label %q lies on a %v line from %v to %v", s.Title, x.Value, path.Role, u, v)
						}
					}
				}
				for _, y := range s.Texts[:i] {
					c := box(y)
					if b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y {
						t.Fatalf("%s: labels %q and %q lie on each other", s.Title, x.Value, y.Value)
					}
				}
			}
		}
	})
}
