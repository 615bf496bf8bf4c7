// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Placement is one piece in its place in the quilt.
type Placement struct {
	Column, Row int // of the lattice; edge triangles lie in row -1 and row Rows
	Shape       geometry.Shape
	Lean        geometry.Lean
	Turned      bool // by 180 degrees
	StripSet    int  // the strip set that it is cut from, from 0 in cutting order
}

// DiagonalRow returns d = column - floor(row/2): pieces of equal d are sewn
// into one diagonal row that goes up to the right.
func (p Placement) DiagonalRow() int { return p.Column - floorHalf(p.Row) }

// floorHalf returns floor(n/2), also below 0.
func floorHalf(n int) int { return n >> 1 }

// Line returns the pieces of a row of the lattice, from left to right.
func (p *Plan) Line(row int) []Placement { return p.Pieces[(row+1)*p.Columns:][:p.Columns] }

// Count is a number of pieces of each lean and shape.
type Count = strip.Count

func countPieces(pieces []Placement) Count {
	var c Count
	for _, p := range pieces {
		c[p.Lean][p.Shape]++
	}
	return c
}

// touching returns the indices in Pieces of those that share a finished edge
// with piece i, up to four, and -1 for none: only pieces of neighbouring rows
// touch along an edge, and odd rows stand half a column to the right.
func (p *Plan) touching(i int) [4]int32 {
	out := [4]int32{-1, -1, -1, -1}
	row, column := i/p.Columns-1, i%p.Columns
	n := 0
	for _, r := range [2]int{row - 1, row + 1} {
		for c := column - 1 + row&1; c <= column+row&1; c++ {
			if r >= -1 && r <= p.Rows && c >= 0 && c < p.Columns {
				out[n] = int32((r+1)*p.Columns + c)
				n++
			}
		}
	}
	return out
}

// Touching returns how many pairs of pieces that share a finished edge are cut
// from the same strip set, and how many others show the same colours.
func (p *Plan) Touching() (sameStripSet, sameColours int) {
	_, way := p.Colourways()
	if len(way) == 0 {
		return 0, 0
	}
	for i, a := range p.Pieces {
		for _, j := range p.touching(i) {
			if int(j) <= i {
				continue
			}
			b := p.Pieces[j]
			switch {
			case a.StripSet == b.StripSet:
				sameStripSet++
			case way[a.StripSet] == way[b.StripSet]:
				sameColours++
			}
		}
	}
	return sameStripSet, sameColours
}
