// SPDX-License-Identifier: Apache-2.0

package sewing_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func spec(cuts []float64, seam, angle float64, setting quilt.Layout, columns, rows int) quilt.Spec {
	s := quilt.Spec{
		Name: "sewing", Angle: geometry.Angle(angle), Seam: seam, UsableWidth: 40,
		Layout: setting, Columns: columns, Rows: rows,
	}
	for i, c := range cuts {
		key := fmt.Sprintf("f%d", i)
		s.Strips = append(s.Strips, quilt.Strip{Cut: c, Fabric: key})
		s.Fabrics = append(s.Fabrics, quilt.Fabric{Key: key, Colours: []quilt.Colour{{uint8(40 * i), 90, 120}, {200, uint8(50 * i), 30}}})
	}
	return s
}

var settings = []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay}

// drawSpec draws a pattern: any angle, one to four strips, either kind of tips,
// small quilts of every shape.
func drawSpec(t *rapid.T) quilt.Spec {
	seam := rapid.Float64Range(0.05, 1).Draw(t, "seam")
	cuts := make([]float64, rapid.IntRange(1, 4).Draw(t, "strips"))
	for i := range cuts {
		cuts[i] = seam * rapid.Float64Range(2.2, 30).Draw(t, "cut over seam")
	}
	angle := rapid.OneOf(
		rapid.Float64Range(15, 90),
		rapid.SampledFrom([]float64{15, 30, 45, 60, 75, 80, 90}),
	).Draw(t, "angle")
	s := spec(cuts, seam, angle, drawLayout(t, 9),
		rapid.IntRange(1, 7).Draw(t, "columns"), rapid.IntRange(1, 9).Draw(t, "rows"))
	s.Tips = rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips")
	if angle == 60 {
		s.EdgeGrain = rapid.SampledFrom([]quilt.EdgeGrain{quilt.BandsOn, quilt.Straight}).Draw(t, "edge grain")
	}
	return s
}

// drawLayout draws a setting or a layout of one's own, up to so many cells wide and
// high.
func drawLayout(t *rapid.T, most int) quilt.Layout {
	l, err := quilt.NewLayout(outside.DrawRepeat(t, most))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

type failer interface {
	Helper()
	Fatal(...any)
}

func mustPlan(t failer, s quilt.Spec) *quilt.Plan {
	t.Helper()
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var _ failer = (*testing.T)(nil)
