// SPDX-License-Identifier: Apache-2.0

package strip

import (
	"slices"
	"sort"
)

// ladder says how many edge triangles a strip set still gives beside so many
// diamonds: ladder[g] beside g or more. It falls from rung to rung, or stays.
type ladder []int

// none is less than any number of edge triangles.
const none = -1 << 40

// summit finds the most edge triangles that a number of strip sets give beside
// a number of diamonds, exactly.
//
// With F(n, d) the most that n strip sets give beside d diamonds, F(n, d) is
// the largest F(m, e) + F(n-m, d-e), m being half of n. It is enough to try e
// near half of d: put the strip sets of a best answer in the order of their
// diamonds, give one of each two neighbours to either half, and let the half
// that is behind have the larger one each time. The halves then differ by no
// more than the most diamonds of one strip set, and by as much again for an
// odd one left over. So each halving asks for some dozens of values, and
// thousands of strip sets take a dozen halvings.
type summit struct {
	rungs ladder
	known map[int]span // by number of strip sets
}

// span holds F(n, d) for d from low on.
type span struct {
	low    int
	values []int
}

func newSummit(rungs ladder) *summit {
	return &summit{rungs, map[int]span{}}
}

// reach is how far the diamonds of one half may lie from half of all.
func (s *summit) reach() int { return len(s.rungs) + 1 }

// most returns F(n, d), below 0 when n strip sets don't give d diamonds.
func (s *summit) most(n, d int) int {
	d = max(d, 0)
	switch {
	case d > n*(len(s.rungs)-1):
		return none
	case n == 0:
		return 0
	}
	return s.span(n, d, d).at(d)
}

func (v span) at(d int) int {
	if i := d - v.low; i >= 0 && i < len(v.values) {
		return v.values[i]
	}
	return none
}

// span returns F(n, .) at least from low to high.
func (s *summit) span(n, low, high int) span {
	if n == 1 {
		return span{0, s.rungs}
	}
	low, high = max(low, 0), min(high, n*(len(s.rungs)-1))
	if v, ok := s.known[n]; ok && v.low <= low && high < v.low+len(v.values) {
		return v
	}
	// Somewhat more than asked for, so that the neighbours' questions of the
	// same halving are answered too.
	low, high = max(low-s.reach(), 0), min(high+s.reach(), n*(len(s.rungs)-1))
	m := n / 2
	less := s.span(m, low/2-s.reach(), high/2+s.reach()+1)
	more := s.span(n-m, low/2-s.reach(), high/2+2*s.reach()+1)
	v := span{low, make([]int, high-low+1)}
	for i := range v.values {
		d := low + i
		best := none
		for e := max(d/2-s.reach(), 0); e <= d/2+s.reach(); e++ {
			best = max(best, less.at(e)+more.at(d-e))
		}
		v.values[i] = best
	}
	s.known[n] = v
	return v
}

// rows returns how many diamonds each of n strip sets is cut for, so that
// together they give at least d diamonds and v edge triangles; most has said
// that they can. Where two kinds of strip set do, only two are used.
func (s *summit) rows(n, d, v int) []int {
	if n == 0 {
		return nil
	}
	top := len(s.rungs) - 1
	for apart := 0; apart <= top; apart++ {
		for g := top; g >= apart; g-- {
			h := g - apart
			if x, ok := s.twoKinds(n, d, v, g, h); ok {
				return append(slices.Repeat([]int{g}, x), slices.Repeat([]int{h}, n-x)...)
			}
		}
	}
	return s.split(n, d)
}

// twoKinds returns how many of n strip sets are to be cut for g diamonds, the
// others for h, if that suffices.
func (s *summit) twoKinds(n, d, v, g, h int) (x int, ok bool) {
	if g > h {
		x = max((d-n*h+g-h-1)/(g-h), 0)
	}
	return x, x <= n && x*g+(n-x)*h >= d && x*s.rungs[g]+(n-x)*s.rungs[h] >= v
}

// split takes a best answer apart.
func (s *summit) split(n, d int) []int {
	if n == 1 {
		return []int{max(d, 0)}
	}
	m, whole := n/2, s.most(n, d)
	for e := max(d/2-s.reach(), 0); e <= d/2+s.reach(); e++ {
		if e <= d && s.most(m, e)+s.most(n-m, d-e) == whole {
			return append(s.split(m, e), s.split(n-m, d-e)...)
		}
	}
	panic("strip: a best answer has no halves")
}

// least returns the smallest n from low on for which enough holds; it holds
// for all larger ones.
func least(low int, enough func(n int) bool) int {
	step := 1
	for !enough(low + step - 1) {
		low, step = low+step, 2*step
	}
	return low + sort.Search(step-1, func(i int) bool { return enough(low + i) })
}
