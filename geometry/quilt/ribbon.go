// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// Course is how the fabric of the strips runs on from piece to piece.
type Course struct {
	Bands   int   // ribbons of several pieces
	Rings   int   // those that have another fabric inside
	Islands int   // ribbons of one diamond
	Breaks  []int // rows, from 1, from which no fabric runs on into the next
}

// Course joins the ribbons of all strips.
func (p *Plan) Course() (out Course) {
	kinds, of := p.Standings()
	crossed := make([]bool, p.Rows+1) // from row j-1 to row j some fabric runs on
	for strip := range p.Set.Cuts {
		// A ribbon has a hole for every way round it that is not just around a corner in
		// which its pieces fill all four places (Euler's formula).
		holes, pieces := make([]int, len(p.Pieces)), make([]int, len(p.Pieces))
		on := make([][2]bool, len(p.Pieces)) // to the left above it, to the right above it
		root := p.joined(kinds, of, strip, func(i, j int32) {
			on[i][int(j)-p.leftAbove(int(i))] = true
			crossed[p.Pieces[j].Row] = true
		})
		for i, r := range root {
			if pieces[r]++; pieces[r] > 1 {
				holes[r]--
			}
			for _, yes := range on[i] {
				holes[r] += isTrue(yes)
			}
			if p.filled(kinds, of, strip, i, on) {
				holes[r]--
			}
		}
		for i, n := range pieces {
			switch {
			case n > 1 && holes[i] > 0:
				out.Rings++
				fallthrough
			case n > 1:
				out.Bands++
			case n == 1 && p.Pieces[i].Shape == geometry.Diamond:
				out.Islands++
			}
		}
	}
	for row := 1; row < p.Rows && out.Bands > 0; row++ {
		if !crossed[row] {
			out.Breaks = append(out.Breaks, row)
		}
	}
	return out
}

// Turned returns how many diamonds of a lean are turned upside down.
func (p *Plan) Turned(lean geometry.Lean) (n int) {
	for _, pl := range p.Pieces {
		if pl.Shape == geometry.Diamond && pl.Lean == lean && pl.Turned {
			n++
		}
	}
	return n
}

// filled reports whether the strip fills the corner above piece i: those left and
// right of the corner and the one above all meet there.
func (p *Plan) filled(kinds []Standing, of []int, strip, i int, on [][2]bool) bool {
	left := p.leftAbove(i)
	right, above := left+1, i+2*p.Columns
	if on[i] != [2]bool{true, true} || above >= len(p.Pieces) || !on[left][1] || !on[right][0] {
		return false
	}
	corner := p.Centre(p.Pieces[i])
	corner.Y += p.RowStep
	for _, j := range []int{i, left, right, above} {
		touches := false
		for _, q := range kinds[of[j]].Patches[strip] {
			touches = touches || q.Add(p.Centre(p.Pieces[j])).Sub(corner).Len() < seamShared
		}
		if !touches {
			return false
		}
	}
	return true
}

// leftAbove returns the index of the piece to the left above piece i, were there
// one; the one to the right above it follows.
func (p *Plan) leftAbove(i int) int { return i + p.Columns - 1 + p.Pieces[i].Row&1 }
