// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// aside returns how many diamonds lie above a lighter colour when a colour ends
// after so many strip sets of each lean that give as many diamonds as they can.
func (s *shading) aside(sets [2]int) int {
	return s.aboveEnd([2]int{}, [2]int{sets[0] * s.options[0].Diamonds, sets[1] * s.options[0].Diamonds})
}

// aboveEnd returns how many diamonds of a colour lie above a lighter one when
// there are so many of each lean up to its beginning and up to its end.
func (s *shading) aboveEnd(from, upTo [2]int) int {
	lean, below := s.later(upTo)
	if lean < 0 {
		return 0
	}
	return max(min(upTo[lean], s.plan.Need[lean][geometry.Diamond])-max(below, from[lean]), 0)
}

// later returns the lean whose lighter colours begin in the later row, and how
// many of its diamonds lie in no row above the first lighter colour of the other
// one; -1 where there is only one lean.
func (s *shading) later(upTo [2]int) (lean, below int) {
	// The first row of each lean with a lighter colour.
	need := s.plan.Need
	var first [2]int
	for _, lean := range geometry.Leans {
		if need[lean][geometry.Diamond] == 0 {
			return -1, 0
		}
		first[lean], _ = s.row(lean, upTo[lean])
	}
	later := geometry.Left
	if first[geometry.Left] < first[geometry.Right] {
		later = geometry.Right
	}
	return int(later), s.start[later][min(first[later.Other()]+1, s.plan.Rows)]
}

// above returns how many diamonds of an answer lie above a lighter colour.
func (s *shading) above(a *shade) int { return s.aboveAll(s.given(a)) }

// aboveAll is that for so many diamonds of each way and lean.
func (s *shading) aboveAll(given [][2]int) (n int) {
	var upTo [2]int
	for _, one := range given {
		from := upTo
		upTo[0], upTo[1] = upTo[0]+one[0], upTo[1]+one[1]
		n += s.aboveEnd(from, upTo)
	}
	return n
}
