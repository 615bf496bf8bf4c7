// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/geometry"
)

// Law: swatches and words lie in their outline, the swatches in order, before the
// words and apart from each other; they are bare fills and no lines.
func TestSwatchesStandBeforeTheirWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := draw.Named{Text: draw.Text{
			At:     geometry.Point{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: rapid.Float64Range(-9, 9).Draw(t, "y")},
			Height: rapid.Float64Range(0.01, 1).Draw(t, "height"), Turn: geometry.Angle(rapid.Float64Range(-180, 180).Draw(t, "turn")),
			Value: rapid.SampledFrom([]string{"", "Shell", "strips from below: Tide blues, Shell"}).Draw(t, "words"), Centred: rapid.Bool().Draw(t, "centred"),
		}}
		colours := rapid.SliceOfN(rapid.SampledFrom([]string{"#17506b", "#f3e7d6", "#000000"}), 1, 30)
		n.Swatches = rapid.SliceOfN(colours, 0, 5).Draw(t, "swatches")
		p := draw.NewPen(geometry.Inch, "", "")
		p.PutNamed(draw.Plain, n)
		if len(p.Paths) > 0 || (len(p.Texts) == 1) != (n.Value != "") {
			t.Fatalf("%d lines, %d texts", len(p.Paths), len(p.Texts))
		}
		// In the frame of the words, from the middle or the left end on.
		sin, cos := n.Turn.SinCos()
		flat := func(q geometry.Point) geometry.Point {
			d := q.Sub(n.At)
			return geometry.Point{X: d.X*cos + d.Y*sin, Y: d.Y*cos - d.X*sin}
		}
		bounds := func(g geometry.Polygon) geometry.Rect {
			r := geometry.EmptyRect()
			for _, q := range g {
				r = r.Grow(flat(q))
			}
			return r
		}
		all := bounds(n.Outline(draw.Plain, 0))
		if left := all.Min.X; math.Abs(all.Width()-n.Width(draw.Plain)) > 1e-9 || n.Centred && math.Abs(left+all.Max.X) > 1e-9 || !n.Centred && math.Abs(left) > 1e-9 {
			t.Fatalf("the outline is %v, %v wide", all, n.Width(draw.Plain))
		}
		within := func(r geometry.Rect) {
			if r.Min.X < all.Min.X-1e-9 || r.Max.X > all.Max.X+1e-9 || r.Min.Y < all.Min.Y-1e-9 || r.Max.Y > all.Max.Y+1e-9 {
				t.Fatalf("%v lies outside %v", r, all)
			}
		}
		end, fills := all.Min.X, p.Fills
		for _, swatch := range n.Swatches {
			var box geometry.Rect
			box, fills = oneSwatch(t, fills, swatch, bounds, n.Height)
			within(box)
			if box.Min.X < end-1e-9 {
				t.Fatalf("a swatch at %v, the one before ends at %v", box, end)
			}
			end = box.Max.X + 0.2*n.Height
		}
		for _, x := range p.Texts {
			words := bounds(x.Outline(draw.Plain, 0))
			within(words)
			if words.Min.X < end-1e-9 {
				t.Fatalf("the words begin at %v, the swatches end at %v", words.Min.X, end)
			}
		}
		if len(fills) > 0 {
			t.Fatalf("%d fills too many", len(fills))
		}
	})
}

// oneSwatch returns where the swatch lies with which the fills begin, and the others.
func oneSwatch(t *rapid.T, fills []draw.Fill, colours []string, bounds func(geometry.Polygon) geometry.Rect, height float64) (geometry.Rect, []draw.Fill) {
	all, rim := geometry.EmptyRect(), geometry.EmptyRect()
	for i, c := range colours {
		slice := bounds(fills[i].Polygons[0])
		if fills[i].Colour != c || !fills[i].Bare || i > 0 && slice.Min.X < all.Max.X-1e-9 || slice.Width() < 0.1*height || math.Abs(slice.Height()-height) > 1e-9 {
			t.Fatalf("%+v lies at %v, what is before it at %v", fills[i], slice, all)
		}
		all = all.Union(slice)
	}
	for _, g := range fills[len(colours)].Polygons {
		rim = rim.Union(bounds(g))
	}
	if math.Abs(rim.Min.X-all.Min.X)+math.Abs(rim.Max.X-all.Max.X)+math.Abs(rim.Min.Y-all.Min.Y)+math.Abs(rim.Max.Y-all.Max.Y) > 1e-9 || all.Width() < height || !fills[len(colours)].Bare {
		t.Fatalf("the rim of %v is %v", all, rim)
	}
	return all, fills[1+len(colours):]
}
