// SPDX-License-Identifier: Apache-2.0

package target

import (
	"fmt"
	"io"
	"slices"
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
}

// The colours. A dark ground blinds nobody who looks
// up, and leaves the mat's own grid to be seen.
const (
	darkGround = "#101010"
	lightLine  = "#f2f2f2"
)

// Write writes the sheet as an SVG in screen pixels: width, height and
// viewBox are the screen's. The middles of the crosses stand on whole pixels;
// each has the id cross-1 and so on. A thin frame runs along the screen's edge: where it
// is not seen, the picture is cropped or scaled.
//
// Where a small screen has no room for the words they stand in the
// description only.
func Write(w io.Writer, s Sheet) error {
	l, err := lay(s.Screen, s.Grid, s.Title, s.Words)
	if err != nil {
		return fmt.Errorf("writing SVG: %w", err)
	}
	p := newPlate(s.Screen, l.stroke)
	p.crosses.Line = calibrate.ArmWidth * l.scale
	for _, c := range l.crosses {
		arms, ring := Mark(c.Target, l.scale)
		p.crosses.Traces = append(p.crosses.Traces, draw.Trace{ID: fmt.Sprint("cross-", c.Point), Apart: true, Points: slices.Concat(arms[0][:], arms[1][:])})
		if ring != nil {
			p.crosses.Traces = append(p.crosses.Traces, draw.Trace{ID: "ring", Closed: true, Points: ring})
		}
		p.numbers.Words = append(p.numbers.Words, c.number.lettering())
	}
	for _, one := range l.lines {
		p.words.Words = append(p.words.Words, one.lettering())
	}
	return svg.WriteScreen(w, p.screen(s.Screen, s.Title, strings.Join(s.Words, " ")))
}

// A plate is the layers of a sheet.
type plate struct{ frame, crosses, numbers, words draw.Layer }

// newPlate begins with a thin frame along the edge of the screen.
func newPlate(s calibrate.Screen, stroke float64) plate {
	group := func(id string) draw.Layer { return draw.Layer{ID: id, Colour: lightLine, Line: stroke} }
	p := plate{group("frame"), group("crosses"), group("numbers"), group("words")}
	width, height, edge := float64(s.Width), float64(s.Height), stroke/2
	p.frame.Traces = []draw.Trace{{Apart: true, Points: []geometry.Point{
		{Y: edge}, {X: width, Y: edge}, {Y: height - edge}, {X: width, Y: height - edge},
		{X: edge}, {X: edge, Y: height}, {X: width - edge}, {X: width - edge, Y: height},
	}}}
	return p
}

func (p plate) screen(s calibrate.Screen, title, note string) *draw.Screen {
	return &draw.Screen{
		Width: s.Width, Height: s.Height, Title: title, Note: note,
		Ground: darkGround, Layers: []draw.Layer{p.frame, p.crosses, p.numbers, p.words},
	}
}

func (l line) lettering() draw.Lettering {
	cap := l.size * draw.ArialCap
	return draw.Lettering{
		At: geometry.Point{X: l.u, Y: l.v}, Across: geometry.Point{X: cap}, Up: geometry.Point{Y: -cap}, Right: l.right, Value: l.value,
	}
}
