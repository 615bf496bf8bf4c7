// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// supplier is what gives edge triangles of a shape: the strip sets of a way, of one
// lean or, where they serve both, of all.
type supplier struct {
	way   int
	lean  geometry.Lean
	shape geometry.Shape
}

// seats finds for as many as can be of several edge triangles a supplier that they
// match, by augmenting paths (Kuhn's algorithm): one may move others on.
type seats struct {
	room  map[supplier]int
	in    map[supplier][]int // edge triangles, by their index in the plan's pieces
	match func(i int) []supplier
	steps int // that are left
}

// mostSeated bounds the steps.
const mostSeated = 1_000_000

// seatEdges returns for the edge triangles that can match which way they match. way
// tells that of a diamond; room has what there is of the edge triangles, where they
// serve both leans as right-leaning ones.
func (p *Plan) seatEdges(way func(i int32) int, room map[supplier]int, both bool) map[int]int {
	s := seats{room: room, in: map[supplier][]int{}, steps: mostSeated}
	s.match = func(i int) (out []supplier) {
		one := supplier{lean: p.Pieces[i].Lean, shape: p.Pieces[i].Shape}
		if both {
			one.lean = geometry.Right
		}
		for _, j := range p.beside(i) {
			one.way = way(j)
			out = append(out, one)
		}
		return out
	}
	out := map[int]int{}
	for i, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond {
			s.seat(i, map[supplier]bool{})
		}
	}
	for seat, all := range s.in {
		for _, i := range all {
			out[i] = seat.way
		}
	}
	return out
}

// seat seats an edge triangle if it can.
func (s *seats) seat(i int, seen map[supplier]bool) bool {
	match := s.match(i)
	for _, seat := range match {
		if len(s.in[seat]) < s.room[seat] {
			s.in[seat] = append(s.in[seat], i)
			return true
		}
	}
	for _, seat := range match {
		if seen[seat] {
			continue
		}
		seen[seat] = true
		for k, other := range s.in[seat] {
			if s.steps--; s.steps <= 0 {
				return false
			}
			if s.seat(other, seen) {
				s.in[seat][k] = i
				return true
			}
		}
	}
	return false
}
