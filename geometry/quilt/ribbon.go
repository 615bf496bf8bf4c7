// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"strings"

	"lozenge/geometry"
)

// layoutNotes tells what a layout of one's own means: what it takes, and how the
// fabrics run on.
func (p *Plan) layoutNotes() []string {
	if p.Spec.Layout.Setting() != "" {
		return nil
	}
	var leans, turned [2]int
	for _, pl := range p.Pieces {
		if pl.Shape == geometry.Diamond {
			leans[pl.Lean]++
			if pl.Turned {
				turned[pl.Lean]++
			}
		}
	}
	takes := "This layout takes " + leaning(leans, turned, geometry.Right) + " and " + leaning(leans, turned, geometry.Left) + ": strip sets of both leans."
	for _, lean := range geometry.Leans {
		if leans[lean.Other()] == 0 {
			takes = "This layout takes " + leaning(leans, turned, lean) + " and none of the other lean."
		}
	}
	out := []string{takes}
	if len(p.Set.Cuts) > 1 && p.Spec.EdgeGrain == BandsOn {
		out = append(out, p.runsOn())
	}
	return out
}

// leaning counts the diamonds of a lean and those of them that are turned.
func leaning(leans, turned [2]int, lean geometry.Lean) string {
	out := plural(leans[lean], fmt.Sprintf("%s-leaning diamond", lean))
	if n := turned[lean]; n > 0 && n == leans[lean] {
		out += " turned upside down"
	} else if n > 0 {
		out += fmt.Sprintf(" (%d turned upside down)", n)
	}
	return out
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// course is how the fabric of the strips runs on from piece to piece.
type course struct {
	bands, rings, islands int
	crossed               []bool // from row j-1 to row j some fabric runs on, by j from 0
}

// course joins the ribbons of all strips. An island is one of a single diamond; a
// ring has another fabric inside.
func (p *Plan) course() course {
	kinds, of := p.Standings()
	out := course{crossed: make([]bool, p.Rows+1)}
	for strip := range p.Set.Cuts {
		// A ribbon has a hole for every way round it that is not just around a corner in
		// which its pieces fill all four places (Euler's formula).
		holes, pieces := make([]int, len(p.Pieces)), make([]int, len(p.Pieces))
		on := make([][2]bool, len(p.Pieces)) // to the left above it, to the right above it
		root := p.joined(kinds, of, strip, func(i, j int32) {
			on[i][int(j)-p.leftAbove(int(i))] = true
			out.crossed[p.Pieces[j].Row] = true
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
				out.rings++
				fallthrough
			case n > 1:
				out.bands++
			case n == 1 && p.Pieces[i].Shape == geometry.Diamond:
				out.islands++
			}
		}
	}
	return out
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

// mostBreaks is how many breaks are listed.
const mostBreaks = 6

// runsOn tells how the fabrics run on.
func (p *Plan) runsOn() string {
	c := p.course()
	said := "Its fabrics run on from piece to piece in " + plural(c.bands, "band")
	if c.bands == 0 {
		said = "No fabric runs on from one piece to the next"
	}
	switch c.rings {
	case 0:
	case 1:
		said += ", 1 of them a closed ring"
	default:
		said += fmt.Sprintf(", %d of them closed rings", c.rings)
	}
	if c.islands > 0 {
		said += "; islands, whose fabric runs on nowhere, are in " + plural(c.islands, "diamond")
	}
	var breaks []string
	for row := 1; row < p.Rows && c.bands > 0; row++ {
		if !c.crossed[row] {
			breaks = append(breaks, fmt.Sprintf("%d and %d", row, row+1))
		}
	}
	switch n := len(breaks); {
	case n > mostBreaks:
		said += fmt.Sprintf("; between %d pairs of rows all bands break", n)
	case n > 0:
		said += "; between rows " + strings.Join(breaks, ", ") + " all bands break"
	}
	return said + "."
}
