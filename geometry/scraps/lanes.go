// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry"
)

// policy is how a scrap is divided lengthwise where strips of its fabric are
// cut in more than one width.
type policy int

const (
	balanced policy = iota // so that neither width falls behind
	widest                 // as many wide strips as there is room for
	narrowest
	policies
)

// MaxStrips bounds how many strips all scraps together may give.
const MaxStrips = 50_000

// count returns how many strips of a width a scrap gives side by side.
func count(width, cut float64) int { return int((width + geometry.Fit) / cut) }

// modes lists the ways to divide a width into strips of the given widths,
// narrowest first in each; none that leaves room for one more.
func modes(width float64, cuts []float64) [][]int {
	var out [][]int
	now := make([]int, len(cuts))
	var divide func(left float64, class int)
	divide = func(left float64, class int) {
		n := count(left, cuts[class])
		if class == 0 {
			now[0] = n
			if len(out) < 200 {
				out = append(out, slices.Clone(now))
			}
			return
		}
		for ; n >= 0; n-- {
			now[class] = n
			divide(left-float64(float64(n)*cuts[class]), class-1)
		}
		now[class] = 0
	}
	divide(width, len(cuts)-1)
	return out
}

// cutUp divides all scraps into strips and numbers them, and returns the
// cloths, one a fabric. useful bounds the strips alike that any plan can use.
func (b *bin) cutUp(p policy, useful int) []*cloth {
	out := make([]*cloth, len(b.fabrics))
	for f, s := range b.fabrics {
		out[f] = &cloth{takes: s.takes, possible: make([][]int64, len(s.widths))}
	}
	b.strips = nil
	numbers := map[string]int{}
	type strips struct {
		fabric, class int
		length        int64
		possible      bool
	}
	alike := map[strips]int{}
	another := func(s strips) bool {
		alike[s]++
		return alike[s] <= useful*sum(b.fabrics[s.fabric].takes)
	}
	for i, copies := range b.divide(p) {
		s, f := b.scraps[i], b.fabric[i]
		for copied, mode := range copies {
			one := strips{f, 0, ticks(s.Length), false}
			for _, one.class = range mode {
				numbers[s.Label()]++
				if another(one) {
					out[f].lanes = append(out[f].lanes, lane{one.length, one.class, len(b.strips)})
				}
				b.strips = append(b.strips, physical{i, numbers[s.Label()], copied, s.Length, f, one.class})
			}
			one.possible = true
			for class, w := range b.fabrics[f].widths {
				one.class = class
				for range count(s.Width, w) {
					if another(one) {
						out[f].possible[class] = append(out[f].possible[class], one.length)
					}
				}
			}
		}
	}
	for _, c := range out {
		c.sort()
	}
	return out
}

// divide says for each scrap and its likes into strips of which classes it is
// divided, the widest first. The longest scraps are divided first, so that
// their strips serve all widths evenly.
func (b *bin) divide(p policy) [][][]int {
	dealt := make([][]int, len(b.fabrics)) // strips by class of width
	for f, s := range b.fabrics {
		dealt[f] = make([]int, len(s.widths))
	}
	out := make([][][]int, len(b.scraps))
	for _, i := range ordered(len(out), func(i, j int) int { return cmp.Compare(b.scraps[j].Length, b.scraps[i].Length) }) {
		f := b.fabric[i]
		if f < 0 {
			continue
		}
		all := modes(b.scraps[i].Width, b.fabrics[f].widths)
		for range b.scraps[i].Count {
			var strips []int
			for class, n := range slices.Backward(choose(all, dealt[f], b.fabrics[f].takes, p)) {
				dealt[f][class] += n
				strips = append(strips, slices.Repeat([]int{class}, n)...)
			}
			out[i] = append(out[i], strips)
		}
	}
	return out
}

func sum(v []int) int {
	n := 0
	for _, x := range v {
		n += x
	}
	return n
}

// choose returns the way to divide a scrap, given what the others give.
func choose(all [][]int, dealt, takes []int, p policy) []int {
	switch p {
	case widest:
		return all[0]
	case narrowest:
		return all[len(all)-1]
	}
	best, at := []float64{-1}, 0
	for i, m := range all {
		// How many strip sets the strips of each width and wider are enough
		// for, fewest first.
		var enough []float64
		have, need := 0, 0
		for class := len(m) - 1; class >= 0; class-- {
			have += dealt[class] + m[class]
			need += takes[class]
			enough = append(enough, float64(have)/float64(need))
		}
		slices.Sort(enough)
		if slices.Compare(enough, best) > 0 {
			best, at = enough, i
		}
	}
	return all[at]
}
