// SPDX-License-Identifier: Apache-2.0

package sheet_test

import (
	"bytes"
	"image"
	"image/color"
	stdpng "image/png"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/png"
	"lozenge/export/sheet"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/sewing"
)

// greyOf draws a sheet and forgets its colours.
func greyOf(t *testing.T, s *draw.Drawing, dpi int) *image.Gray {
	t.Helper()
	var buf bytes.Buffer
	if err := png.Write(&buf, s, dpi, draw.Fonts{}); err != nil {
		t.Fatal(err)
	}
	img, err := stdpng.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	grey := image.NewGray(img.Bounds())
	for i := range grey.Pix {
		x, y := i%grey.Stride, i/grey.Stride
		grey.Set(x, y, color.GrayModel.Convert(img.At(x, y)))
	}
	return grey
}

// darkRuns counts how often it becomes dark along a segment.
func darkRuns(img *image.Gray, s *draw.Drawing, dpi int, from, to geometry.Point) int {
	unit := s.Unit.Inches(1) * s.Scale * float64(dpi)
	runs, dark := 0, true
	const steps = 400
	for i := range steps + 1 {
		at := from.Add(to.Sub(from).Mul(0.1 + 0.8*float64(i)/steps))
		v := img.GrayAt(int((at.X-s.Page.Min.X)*unit), int((s.Page.Max.Y-at.Y)*unit)).Y
		switch {
		case v < 0x88 && !dark:
			runs, dark = runs+1, true
		case v > 0xb0:
			dark = false
		}
	}
	return runs
}

// Printed without colour bias edges are told from straight ones: in the gap beside
// each there are ticks, beside a straight edge there are none.
func TestBiasWithoutColour(t *testing.T) {
	const dpi = 200
	for _, setting := range outside.Of([]quilt.Layout{quilt.Zigzag}, []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay}) {
		p, err := quilt.New(quilt.Spec{Name: "Grey", Angle: 60, Seam: 0.25, UsableWidth: 40, Columns: 5, Rows: 6, Layout: setting,
			Strips:  []quilt.Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
			Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{20, 40, 60}}}, {Key: "b", Colours: []quilt.Colour{{220, 210, 190}}}}})
		if err != nil {
			t.Fatal(err)
		}
		o := sewing.New(p)
		w := p.Set.FinishedWidth()
		whole := sheet.Sewing(p, o)[0]()
		bias, straight := biasSeen(t, p, o, whole, greyOf(t, whole, dpi), dpi, 0, 0.14*w, 0.24*w)
		if bias == 0 || straight == 0 {
			t.Errorf("%s: %d bias and %d straight edges on the whole", setting, bias, straight)
		}
		level := -(90 - p.Set.Angle/2)
		bias, straight = 0, 0
		for i := range o.Rows {
			s := sheet.SewingRows(p, o, i, i)
			gap := 0.13 / s.Scale
			b, n := biasSeen(t, p, o, s, greyOf(t, s, dpi), dpi, level, gap, gap)
			bias, straight = bias+b, straight+n
		}
		if bias == 0 || straight == 0 {
			t.Errorf("%s: %d bias and %d straight edges on the sheets of rows", setting, bias, straight)
		}
	}
}

// biasSeen looks beside every edge of the diamonds that a sheet labels, turned as
// they are there.
func biasSeen(t *testing.T, p *quilt.Plan, o *sewing.Order, s *draw.Drawing, img *image.Gray, dpi int, turn geometry.Angle, within, between float64) (bias, straight int) {
	t.Helper()
	at := map[string]geometry.Point{}
	for _, x := range s.Texts {
		b := x.Outline(draw.Plain, 0)
		at[x.Value] = b[0].Add(b[2]).Mul(0.5)
	}
	sin, cos := turn.SinCos()
	turned := func(q geometry.Point) geometry.Point {
		return geometry.Point{X: q.X*cos - q.Y*sin, Y: q.X*sin + q.Y*cos}
	}
	for i, pc := range o.Pieces {
		centre, ok := at[o.Label(i)]
		if !ok || pc.Shape != geometry.Diamond {
			continue
		}
		for _, e := range o.Kinds[pc.Kind].Edges {
			gap := between
			if e.Side == sewing.LowerLeft || e.Side == sewing.UpperRight {
				gap = within
			}
			mid := e.Line.A.Add(e.Line.B).Mul(0.5)
			out := e.Line.B.Sub(e.Line.A)
			out = geometry.Point{X: out.Y, Y: -out.X}.Mul(1 / out.Len())
			if out.Dot(mid) < 0 {
				out = out.Mul(-1)
			}
			away := out.Mul(0.75*0.4*min(within, between) - gap/2)
			runs := darkRuns(img, s, dpi, centre.Add(turned(e.Line.A.Add(away))), centre.Add(turned(e.Line.B.Add(away))))
			if (runs >= 3) != e.Bias() {
				t.Errorf("%s: the %v edge of %s has %d ticks, bias %v", s.Title, e.Side, o.Label(i), runs, e.Bias())
			}
			if e.Bias() {
				bias++
			} else {
				straight++
			}
		}
	}
	return bias, straight
}
