// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"
)

// made is a strip set of some class of length and the lanes that its strips
// are cut from: by cloth, from its widest position down.
type made struct {
	class int
	lanes [][]int
}

// classes returns the classes of strip sets.
func classes(sets []made) []int {
	out := make([]int, len(sets))
	for i, s := range sets {
		out[i] = s.class
	}
	return out
}

// longest cuts the longest strip set that there is, again and again, each
// strip from the lane of which the least is then left, until there are enough
// or no more can be cut. enough is asked after each.
func (t *task) longest(enough func(sets []made) bool) []made {
	left := make([][]int64, len(t.cloths))
	for i, c := range t.cloths {
		left[i] = c.whole()
	}
	var out []made
	for k := len(t.lengths) - 1; k >= 0; {
		lanes := t.cutSet(left, t.lengths[k])
		if lanes == nil {
			k--
			continue
		}
		if out = append(out, made{k, lanes}); enough(out) {
			break
		}
	}
	return out
}

// whole returns how much can be cut from each lane.
func (c *cloth) whole() []int64 {
	out := make([]int64, len(c.lanes))
	for j, l := range c.lanes {
		out[j] = l.length + slack
	}
	return out
}

// cutSet takes the strips of one strip set from what is left of every cloth,
// or takes nothing and returns nil.
func (t *task) cutSet(left [][]int64, length int64) [][]int {
	out := make([][]int, len(t.cloths))
	for i, c := range t.cloths {
		if out[i] = c.cut(left[i], length); out[i] != nil {
			continue
		}
		for before, lanes := range out[:i] {
			giveBack(left[before], length, lanes)
		}
		return nil
	}
	return out
}

func giveBack(left []int64, length int64, lanes []int) {
	for _, j := range lanes {
		left[j] += length
	}
}

// cut takes one strip set's strips from what is left, the widest first, each
// from the narrowest lane that serves and of these from the one with least
// left. It returns their lanes, or nil when it can't and nothing is taken.
func (c *cloth) cut(left []int64, length int64) []int {
	var out []int
	for class, takes := range slices.Backward(c.takes) {
		for range takes {
			best := -1
			for j, l := range c.lanes {
				if l.class < class || left[j] < length {
					continue
				}
				if best < 0 || cmp.Or(cmp.Compare(l.class, c.lanes[best].class), cmp.Compare(left[j], left[best])) < 0 {
					best = j
				}
			}
			if best < 0 {
				giveBack(left, length, out)
				return nil
			}
			left[best] -= length
			out = append(out, best)
		}
	}
	return out
}

// piece is a length cut from a lane.
type piece struct {
	length int64
	lane   int
}

// supply is the pieces of one cloth by class of width, longest first.
type supply struct {
	takes  []int
	pieces [][]piece
	next   []int // those used already
	open   []int // those long enough
}

func newSupply(c *cloth, pieces []piece) *supply {
	n := len(c.takes)
	s := &supply{c.takes, make([][]piece, n), make([]int, n), make([]int, n)}
	for _, p := range pieces {
		class := c.lanes[p.lane].class
		s.pieces[class] = append(s.pieces[class], p)
	}
	for _, of := range s.pieces {
		slices.SortStableFunc(of, func(a, b piece) int {
			return cmp.Or(cmp.Compare(b.length, a.length), cmp.Compare(a.lane, b.lane))
		})
	}
	return s
}

// reach opens the pieces that are at least so long.
func (s *supply) reach(length int64) {
	for class, of := range s.pieces {
		for s.open[class] < len(of) && of[s.open[class]].length+slack >= length {
			s.open[class]++
		}
	}
}

// strips returns the lanes of one strip set's strips, the widest first, and
// which pieces are used then; nil when there are too few. thrifty never uses a
// wide piece for a narrow position.
func (s *supply) strips(thrifty bool) (lanes, next []int) {
	next = slices.Clone(s.next)
	for class, takes := range slices.Backward(s.takes) {
		for range takes {
			from := class
			for !thrifty && from < len(next)-1 && next[from] == s.open[from] {
				from++
			}
			if next[from] == s.open[from] {
				return nil, nil
			}
			lanes = append(lanes, s.pieces[from][next[from]].lane)
			next[from]++
		}
	}
	return lanes, next
}

// match joins pieces, given by cloth, into strip sets, the longest with the
// longest.
func (t *task) match(pieces [][]piece, thrifty bool) []made {
	all := make([]*supply, len(t.cloths))
	for i, c := range t.cloths {
		all[i] = newSupply(c, pieces[i])
	}
	var out []made
	for k := len(t.lengths) - 1; k >= 0; k-- {
		for _, s := range all {
			s.reach(t.lengths[k])
		}
		for {
			lanes := joined(all, thrifty)
			if lanes == nil {
				break
			}
			out = append(out, made{k, lanes})
		}
	}
	return out
}

// joined takes the strips of one strip set from every cloth, or takes nothing
// and returns nil.
func joined(all []*supply, thrifty bool) [][]int {
	lanes, next := make([][]int, len(all)), make([][]int, len(all))
	for i, s := range all {
		if lanes[i], next[i] = s.strips(thrifty); lanes[i] == nil {
			return nil
		}
	}
	for i, s := range all {
		s.next = next[i]
	}
	return lanes
}
