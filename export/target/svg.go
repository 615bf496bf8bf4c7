// SPDX-License-Identifier: Apache-2.0

package target

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// Sheet is the picture of the crosses.
type Sheet struct {
	Screen calibrate.Screen
	Grid   calibrate.Grid
	Title  string
	Words  []string // what to do: paragraphs, between the rows of crosses
	Ground string   // #rrggbb; "" is dark
	Line   string   // #rrggbb, of crosses and words; "" is light
}

// The colours when none are asked for. A dark ground blinds nobody who looks
// up, and leaves the mat's own grid to be seen.
const (
	darkGround = "#101010"
	lightLine  = "#f2f2f2"
)

// Write writes the sheet as an SVG in screen pixels: width, height and
// viewBox are the screen's. The crosses, two pixels wide or a whole multiple
// of that, stand on whole pixels, so that they are drawn sharp; each has the
// id cross-1 and so on. A thin frame runs along the screen's edge: where it
// is not seen, the picture is cropped or scaled.
//
// Where a small screen has no room for the words they stand in the
// description only.
func Write(w io.Writer, s Sheet) error {
	l, err := lay(s.Screen, s.Grid, s.Title, s.Words)
	if err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	group := func(id string) draw.Layer {
		return draw.Layer{ID: id, Colour: cmp.Or(s.Line, lightLine), Line: l.stroke}
	}
	frame, crosses, numbers, words := group("frame"), group("crosses"), group("numbers"), group("words")
	width, height, edge := float64(s.Screen.Width), float64(s.Screen.Height), l.stroke/2
	frame.Traces = []draw.Trace{{Apart: true, Points: []geometry.Point{
		{Y: edge}, {X: width, Y: edge}, {Y: height - edge}, {X: width, Y: height - edge},
		{X: edge}, {X: edge, Y: height}, {X: width - edge}, {X: width - edge, Y: height},
	}}}
	for _, c := range l.crosses {
		crosses.Traces = append(crosses.Traces, draw.Trace{ID: fmt.Sprint("cross-", c.Point), Apart: true, Points: []geometry.Point{
			{X: c.U - l.arm, Y: c.V}, {X: c.U + l.arm, Y: c.V}, {X: c.U, Y: c.V - l.arm}, {X: c.U, Y: c.V + l.arm},
		}})
		numbers.Words = append(numbers.Words, c.number.lettering())
	}
	for _, one := range l.lines {
		words.Words = append(words.Words, one.lettering())
	}
	return svg.WriteScreen(w, &draw.Screen{
		Width: s.Screen.Width, Height: s.Screen.Height, Title: s.Title, Note: strings.Join(s.Words, " "),
		Ground: cmp.Or(s.Ground, darkGround), Layers: []draw.Layer{frame, crosses, numbers, words},
	})
}

func (l line) lettering() draw.Lettering {
	cap := l.size * draw.ArialCap
	return draw.Lettering{
		At: geometry.Point{X: l.u, Y: l.v}, Across: geometry.Point{X: cap}, Up: geometry.Point{Y: -cap}, Right: l.right, Value: l.value,
	}
}
