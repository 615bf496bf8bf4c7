// SPDX-License-Identifier: Apache-2.0

package target

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"lozenge/calibrate"
	"lozenge/export/draw"
	"lozenge/export/svg"
	"lozenge/geometry"
)

// CheckSheet is the picture of a second look: crosses on crossings of the mat's
// own grid, their arms along its lines.
type CheckSheet struct {
	Map     *calibrate.Map
	Crosses []calibrate.Crossing
	Title   string
	Words   []string // what to do
	Reach   float64  // of an arm, in
}

// WriteCheck writes the sheet as [Write] does.
func WriteCheck(w io.Writer, s CheckSheet) error {
	screen := s.Map.Screen()
	width, height := float64(screen.Width), float64(screen.Height)
	short := min(width, height)
	l := layout{stroke: strokeOf(screen)}
	l.write(screen, 0.2*width, []span{{0.28 * height, 0.75 * height}}, s.Title, s.Words)
	p := newPlate(screen, l.stroke)
	for _, c := range s.Crosses {
		t := draw.Trace{ID: fmt.Sprint("cross-", c.Point), Apart: true}
		for _, arm := range []geometry.Point{{X: s.Reach}, {Y: s.Reach}} {
			at := geometry.Point{X: c.X, Y: c.Y}
			for _, part := range s.Map.Clip(geometry.Segment{A: at.Sub(arm), B: at.Add(arm)}) {
				line, _ := s.Map.Polyline(part, s.Reach/4)
				for i := 1; i < len(line); i++ {
					t.Points = append(t.Points, line[i-1], line[i])
				}
			}
		}
		p.crosses.Traces = append(p.crosses.Traces, t)
		// Towards the middle, clear of the arms.
		size := numberSize * short
		n := line{u: c.U + size/2, v: c.V + size/2 + size*capital, size: size, value: strconv.Itoa(c.Point)}
		if c.U > width/2 {
			n.u, n.right = c.U-size/2, true
		}
		if c.V > height/2 {
			n.v = c.V - size/2
		}
		p.numbers.Words = append(p.numbers.Words, n.lettering())
	}
	for _, one := range l.lines {
		p.words.Words = append(p.words.Words, one.lettering())
	}
	return svg.WriteScreen(w, p.screen(screen, s.Title, strings.Join(s.Words, " ")))
}
