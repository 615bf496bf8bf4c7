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
		left[i] = make([]int64, len(c.lanes))
		for j, l := range c.lanes {
			left[i][j] = l.length + slack
		}
	}
	var out []made
	for k := len(t.lengths) - 1; k >= 0; {
		fits := true
		for i, c := range t.cloths {
			if fits = fits && c.has(left[i], t.lengths[k]); !fits {
				break
			}
		}
		if !fits {
			k--
			continue
		}
		m := made{class: k}
		for i, c := range t.cloths {
			m.lanes = append(m.lanes, c.cut(left[i], t.lengths[k]))
		}
		if out = append(out, m); enough(out) {
			break
		}
	}
	return out
}

// has reports whether one strip set's strips can be cut from what is left.
func (c *cloth) has(left []int64, length int64) bool {
	takes := 0
	for class := len(c.takes) - 1; class >= 0; class-- {
		if takes += c.takes[class]; c.takes[class] == 0 {
			continue
		}
		n := takes
		for j, l := range c.lanes {
			if l.class < class {
				continue
			}
			for rest := left[j]; rest >= length && n > 0; rest -= length {
				n--
			}
			if n == 0 {
				break
			}
		}
		if n > 0 {
			return false
		}
	}
	return true
}

// cut takes one strip set's strips from what is left, the widest first, and
// returns their lanes; has said that it can.
func (c *cloth) cut(left []int64, length int64) []int {
	var out []int
	for class := len(c.takes) - 1; class >= 0; class-- {
		for range c.takes[class] {
			best := -1
			for j, l := range c.lanes {
				if l.class < class || left[j] < length {
					continue
				}
				if best < 0 || l.class < c.lanes[best].class || l.class == c.lanes[best].class && left[j] < left[best] {
					best = j
				}
			}
			if best < 0 {
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

// match joins pieces, given by cloth, into strip sets, the longest with the
// longest. thrifty never uses a wide piece for a narrow position.
func (t *task) match(pieces [][]piece, thrifty bool) []made {
	// By cloth and class of width, longest first.
	sorted := make([][][]piece, len(t.cloths))
	next := make([][]int, len(t.cloths)) // those already used
	open := make([][]int, len(t.cloths)) // those long enough
	for i, c := range t.cloths {
		sorted[i] = make([][]piece, len(c.takes))
		next[i], open[i] = make([]int, len(c.takes)), make([]int, len(c.takes))
		for _, p := range pieces[i] {
			class := c.lanes[p.lane].class
			sorted[i][class] = append(sorted[i][class], p)
		}
		for _, s := range sorted[i] {
			slices.SortStableFunc(s, func(a, b piece) int {
				return cmp.Or(cmp.Compare(b.length, a.length), cmp.Compare(a.lane, b.lane))
			})
		}
	}
	// take uses pieces of cloth i for one strip set, or only counts.
	take := func(i int, really bool) ([]int, bool) {
		c := t.cloths[i]
		free := make([]int, len(c.takes))
		for w := range free {
			free[w] = open[i][w] - next[i][w]
		}
		var out []int
		for class := len(c.takes) - 1; class >= 0; class-- {
			for range c.takes[class] {
				from := class
				for from < len(free) && free[from] == 0 && !thrifty {
					from++
				}
				if from == len(free) || free[from] == 0 {
					return nil, false
				}
				free[from]--
				if really {
					out = append(out, sorted[i][from][next[i][from]].lane)
					next[i][from]++
				}
			}
		}
		return out, true
	}
	var out []made
	for k := len(t.lengths) - 1; k >= 0; k-- {
		for i := range t.cloths {
			for w, s := range sorted[i] {
				for open[i][w] < len(s) && s[open[i][w]].length+slack >= t.lengths[k] {
					open[i][w]++
				}
			}
		}
		for {
			ok := true
			for i := range t.cloths {
				if _, ok = take(i, false); !ok {
					break
				}
			}
			if !ok {
				break
			}
			m := made{class: k}
			for i := range t.cloths {
				lanes, _ := take(i, true)
				m.lanes = append(m.lanes, lanes)
			}
			out = append(out, m)
		}
	}
	return out
}
