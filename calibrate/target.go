// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"

	"lozenge/geometry"
)

// Grid says how many crosses stand side by side and one above the other.
type Grid struct{ Columns, Rows int }

// String returns the grid as 4x3.
func (g Grid) String() string { return fmt.Sprintf("%dx%d", g.Columns, g.Rows) }

// mostPerSide keeps the numbers of the crosses from running into one another.
const mostPerSide = 9

// ParseGrid reads a grid such as 4x3. The error says what to write.
func ParseGrid(text string) (Grid, error) {
	columns, rows, ok := parsePair(text)
	g := Grid{columns, rows}
	if !ok {
		return g, fmt.Errorf("%q is not a grid; write columns and rows of crosses, such as 4x3", text)
	}
	return g, g.Validate()
}

// Validate returns an error for a grid that can't be drawn or solved.
func (g Grid) Validate() error {
	if g.Columns < 2 || g.Rows < 2 || g.Columns > mostPerSide || g.Rows > mostPerSide {
		return fmt.Errorf("a grid of %v crosses does not work; take 2 to %d columns and 2 to %d rows, 4x3 for most mats", g, mostPerSide, mostPerSide)
	}
	return nil
}

// The mark of a target, in pixels of a screen 1080 high: two arms, diagonal so
// that none runs beside a printed line of the mat, and about the first target a
// ring, by which a camera tells which way round they stand.
const (
	ArmLength  = 48.0 // from the middle to an arm's end
	ArmWidth   = 3.0
	RingRadius = 34.0
	MarkRoom   = 60.0 // from the middle to anything else
)

// Target is a numbered cross on the screen.
type Target struct {
	Point int     // its number, from 1
	U, V  float64 // its middle, in pixels
}

// places returns where targets stand.
func places(targets []Target) []geometry.Point {
	var out []geometry.Point
	for _, t := range targets {
		out = append(out, geometry.Point{X: t.U, Y: t.V})
	}
	return out
}

// targetMargin is how far from the edge the outer crosses stand, as a part of
// the width and of the height. At the very edge the result would be 8 %
// better, but the crosses would be cut in half; at 10 % it is 12 % worse.
const targetMargin = 0.05

// Targets returns the crosses of a grid, left to right and then down, in from
// the edges by 5 % of the width and of the height. Every middle lies on a
// whole number of pixels, so that a line two pixels wide is drawn sharp.
//
// With two readings or more the list goes round as often: whoever reads cross
// 1 again after cross 12 looks afresh.
func Targets(s Screen, g Grid, readings int) ([]Target, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if err := g.Validate(); err != nil {
		return nil, err
	}
	if readings < 1 || readings*g.Columns*g.Rows > MostReadings {
		return nil, fmt.Errorf("%d readings of %d crosses does not work; take 1 or 2 readings, and at most %d in all", readings, g.Columns*g.Rows, MostReadings)
	}
	place := func(size, i, n int) float64 {
		from := math.Round(targetMargin * float64(size))
		span := float64(size) - float64(2*from)
		return from + math.Round(span*float64(i)/float64(n-1))
	}
	var out []Target
	for range readings {
		for row := range g.Rows {
			for col := range g.Columns {
				out = append(out, Target{
					Point: row*g.Columns + col + 1,
					U:     place(s.Width, col, g.Columns),
					V:     place(s.Height, row, g.Rows),
				})
			}
		}
	}
	return out, nil
}
