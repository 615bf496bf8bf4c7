// SPDX-License-Identifier: Apache-2.0

package scraps

import "slices"

// mostWays bounds how many ways to cut all lanes exhaust looks at.
const mostWays = 20_000

// choice is a lane and the ways to cut it.
type choice struct {
	cloth    int
	lane     lane // its id is its index
	patterns [][]int
	again    bool // it is like the lane before
}

// exhaust tries every way to cut the lanes, where there are few of both: so
// that no small scrap bin is turned away for want of luck.
func (t *task) exhaust(a *answer) {
	all := t.choices()
	pieces := make([][]piece, len(t.cloths))
	var cut func(i, pattern int)
	cut = func(i, pattern int) {
		if i == len(all) {
			t.try(a, pieces)
			return
		}
		c := all[i]
		if !c.again {
			pattern = 0 // else lanes alike are cut in one order of their patterns
		}
		before := slices.Clip(pieces[c.cloth])
		for ; pattern < len(c.patterns) && !a.closed(); pattern++ {
			pieces[c.cloth] = append(before, t.cut(c.lane, c.patterns[pattern])...)
			cut(i+1, pattern)
		}
		pieces[c.cloth] = before
	}
	if all != nil {
		cut(0, 0)
	}
}

// choices lists the lanes from which anything can be cut, nil when there are
// too many ways.
func (t *task) choices() []choice {
	out, ways := []choice{}, 1
	for i, cl := range t.cloths {
		for j, l := range cl.lanes {
			if t.class(l.length) < 0 {
				break
			}
			c := choice{cloth: i, lane: lane{l.length, l.class, j}}
			if c.again = j > 0 && cl.lanes[j-1].length == l.length && cl.lanes[j-1].class == l.class; c.again {
				c.patterns = out[len(out)-1].patterns
			} else {
				c.patterns = t.patterns(l.length, mostWays)
			}
			if ways *= len(c.patterns); ways > mostWays {
				return nil
			}
			out = append(out, c)
		}
	}
	return out
}

// patterns lists the ways to cut a lane of which no piece could be longer and
// to which none could be added, at most about so many.
func (t *task) patterns(length int64, most int) [][]int {
	var out [][]int
	var now []int
	var add func(left int64, top int)
	add = func(left int64, top int) {
		if len(out) > most {
			return
		}
		for k := top; k >= 0; k-- {
			if t.lengths[k] <= left {
				now = append(now, k)
				add(left-t.lengths[k], k)
				now = now[:len(now)-1]
			}
		}
		if left >= t.lengths[0] || len(now) == 0 {
			return
		}
		for _, k := range now {
			if k+1 < len(t.lengths) && t.lengths[k+1]-t.lengths[k] <= left {
				return
			}
		}
		out = append(out, slices.Clone(now))
	}
	add(length+slack, len(t.lengths)-1)
	return out
}
