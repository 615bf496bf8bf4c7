// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"slices"

	"lozenge/geometry"
)

// Named is a text with swatches before it: of each thing that it names the colours,
// as #rrggbb, in the order of the words.
type Named struct {
	Text
	Swatches [][]string
}

// A swatch is as high as a capital. All of these are in heights of one.
const (
	swatchEach  = 0.55 // for each of its colours
	swatchLeast = 1.1
	swatchMost  = 4.0
	swatchGap   = 0.3 // to the next
	swatchWords = 0.5 // to the words
	swatchRim   = 1. / 14
)

// swatchWide returns the width of a swatch of so many colours.
func swatchWide(colours int, height float64) float64 {
	return height * min(max(swatchEach*float64(colours), swatchLeast), swatchMost)
}

// SwatchesWidth returns how much wider swatches make a text of that height.
func SwatchesWidth(swatches [][]string, height float64) float64 {
	if len(swatches) == 0 {
		return 0
	}
	sum := height * (swatchWords + swatchGap*float64(len(swatches)-1))
	for _, s := range swatches {
		sum += swatchWide(len(s), height)
	}
	return sum
}

// Width returns the width of swatches and words.
func (n Named) Width(face Face) float64 {
	return SwatchesWidth(n.Swatches, n.Height) + face.Width(n.Value, n.Height)
}

// Outline returns the corners of the box around swatches and words, see
// [Text.Outline].
func (n Named) Outline(face Face, below float64) geometry.Polygon {
	along := n.along()
	words := n.words(face)
	g := words.Outline(face, below)
	if words.Centred {
		return g
	}
	wide := along.Mul(SwatchesWidth(n.Swatches, n.Height))
	return geometry.Polygon{g[0].Sub(wide), g[1], g[2], g[3].Sub(wide)}
}

// along is the direction in which the words run.
func (n Named) along() geometry.Point {
	sin, cos := n.Turn.SinCos()
	return geometry.Point{X: cos, Y: sin}
}

// words returns the words where they stand: behind swatches they begin at the same
// distance whatever face they are shown in.
func (n Named) words(face Face) Text {
	if len(n.Swatches) == 0 {
		return n.Text
	}
	left := SwatchesWidth(n.Swatches, n.Height)
	if n.Centred {
		left -= n.Width(face) / 2
	}
	n.At, n.Centred = n.At.Add(n.along().Mul(left)), false
	return n.Text
}

// PutNamed puts a text and the swatches before it; the middle of a centred one is
// that of both, the words being reckoned in that face.
func (p *Pen) PutNamed(face Face, n Named) {
	words := n.words(face)
	if n.Value != "" {
		p.Put(words)
	}
	left := -SwatchesWidth(n.Swatches, n.Height)
	for _, colours := range n.Swatches {
		wide := swatchWide(len(colours), n.Height)
		p.Swatch(words.At.Add(n.along().Mul(left)), n.Turn, wide, n.Height, colours)
		left += wide + swatchGap*n.Height
	}
}

// Swatch draws a box that colours share from left to right, its lower left corner at
// at. It is of fills alone, the rim too: no line that could be cut or measured.
func (p *Pen) Swatch(at geometry.Point, turn geometry.Angle, wide, high float64, colours []string) {
	sin, cos := turn.SinCos()
	box := func(x0, y0, x1, y1 float64) geometry.Polygon {
		g := geometry.Rect{Min: geometry.Point{X: x0, Y: y0}, Max: geometry.Point{X: x1, Y: y1}}.Polygon()
		for i, q := range g {
			g[i] = at.Add(geometry.Point{X: float64(q.X*cos) - float64(q.Y*sin), Y: float64(q.X*sin) + float64(q.Y*cos)})
		}
		return g
	}
	fill := func(colour string, g ...geometry.Polygon) {
		p.Box = p.Box.Grow(slices.Concat(g...)...)
		p.Fills = append(p.Fills, Fill{Colour: colour, Polygons: g, Bare: true})
	}
	each := wide / float64(len(colours))
	rim := min(high*swatchRim, each/6)
	// The rim lies on top: some viewers fill every pixel that they touch.
	lines := []geometry.Polygon{box(0, 0, wide, rim), box(0, high-rim, wide, high), box(0, rim, rim, high-rim), box(wide-rim, rim, wide, high-rim)}
	for i, c := range colours {
		left := float64(float64(i) * each)
		fill(c, box(left, 0, left+each, high))
		if i > 0 && each >= high/2 { // narrow ones stand side by side
			lines = append(lines, box(left-rim/2, rim, left+rim/2, high-rim))
		}
	}
	fill(swatchGrey, lines...)
}

// swatchGrey is the colour of the rim.
const swatchGrey = "#808080"
