// SPDX-License-Identifier: Apache-2.0

package quilt

// seats finds for as many as can be of several places one of the seats that suit
// them, by augmenting paths (Kuhn's algorithm): a place may move others on.
type seats struct {
	room  map[int]int   // of each seat
	in    map[int][]int // places in each seat
	suit  func(place int) []int
	steps int // that are left
}

// mostSeated bounds the steps.
const mostSeated = 1_000_000

func newSeats(suit func(place int) []int) *seats {
	return &seats{room: map[int]int{}, in: map[int][]int{}, suit: suit, steps: mostSeated}
}

// seat seats a place if it can.
func (s *seats) seat(place int) bool { return s.move(place, map[int]bool{}) }

func (s *seats) move(place int, seen map[int]bool) bool {
	suit := s.suit(place)
	for _, seat := range suit {
		if len(s.in[seat]) < s.room[seat] {
			s.in[seat] = append(s.in[seat], place)
			return true
		}
	}
	for _, seat := range suit {
		if seen[seat] {
			continue
		}
		seen[seat] = true
		for i, other := range s.in[seat] {
			if s.steps--; s.steps <= 0 {
				return false
			}
			if s.move(other, seen) {
				s.in[seat][i] = place
				return true
			}
		}
	}
	return false
}
