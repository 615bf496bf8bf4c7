// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"
	"slices"

	"lozenge/geometry/colour"
)

// deal is which colours strip sets have and how many of them lean which way,
// from the dark end of the gradient to the light one.
type deal []dealt

// dealt is strip sets of the same colours.
type dealt struct {
	numbers []int  // of the colours of each strip, lowest first
	sets    [2]int // of each lean
}

// Limits of how many deals are tried, where not all are: a handful of ways to
// share strip sets among colours, and of ways to lean at either end.
const (
	mostShares = 40
	mostLeans  = 40
	mostWays   = 100 // of more only the most even deal
)

// walks returns the numbers of each fabric's colours from dark to light, for
// every strip.
func (s Spec) walks() [][]int {
	var out [][]int
	for i, st := range s.Strips {
		if j := slices.IndexFunc(s.Strips[:i], func(o Strip) bool { return o.Fabric == st.Fabric }); j >= 0 {
			out = append(out, out[j])
			continue
		}
		var stops [][]colour.Lab
		for _, c := range s.fabric(st.Fabric).Colours {
			stops = append(stops, []colour.Lab{colour.LabOf(colour.RGB(c))})
		}
		out = append(out, colour.Walk(stops, []int{1}))
	}
	return out
}

// deals returns ways to give n strip sets, of which some lean right, their
// colours: of each fabric's k colours each gets n / k of them, or one more
// where that doesn't come out even, and both leans have their turns all along.
// The first are those in which the colours of both leans end together, as far as
// can be told before the strip sets are cut: where so many strip sets are dealt,
// so many of them right-leaning, aside tells how many diamonds then lie above a
// lighter colour.
func (s Spec) deals(n, right int, walks [][]int, aside func(sets [2]int) int) (out []deal) {
	shares := shareOut(n, s.mostColours())
	if share := evenShare(n, s.mostColours(), right, aside); share != nil {
		shares = append([]func(q, k int) int{share}, shares...)
	}
	for _, shares := range shares {
		var ways deal
		var ends []int // strip sets up to the end of each way
		for q := range n {
			numbers := make([]int, len(walks))
			for i, walk := range walks {
				numbers[i] = walk[shares(q, len(walk))]
			}
			if len(ways) == 0 || !slices.Equal(numbers, ways[len(ways)-1].numbers) {
				ways, ends = append(ways, dealt{numbers: numbers}), append(ends, q)
			}
			ends[len(ends)-1]++
		}
		out = append(out, ways.lean(ends, n, right, aside)...)
		if len(ways) > mostWays {
			break
		}
	}
	return out
}

// mostColours returns how many colours the most colourful fabric of the strips
// has.
func (s Spec) mostColours() int {
	most := 0
	for _, st := range s.Strips {
		most = max(most, len(s.fabric(st.Fabric).Colours))
	}
	return most
}

// shareOut returns ways to share n strip sets among colours: which of k colours
// strip set q has. For few all ways are returned in which k of the most
// colourful fabric can be shared, else the even one and those in which one end
// gets more.
func shareOut(n, colours int) (out []func(q, k int) int) {
	shifted := func(num, den int) func(q, k int) int {
		return func(q, k int) int { return (q*den + num) * k / (n * den) }
	}
	out = append(out, func(q, k int) int { return (2*q + 1) * k / (2 * n) })
	if colours < 2 || colours > n || n%colours == 0 {
		return out
	}
	subsets := choose(colours, n%colours, mostShares)
	if subsets == nil {
		// One more at the dark end, or at the light end.
		return append(out, shifted(0, 1), shifted(n-1, n))
	}
	for _, more := range subsets {
		var of []int
		for c := range colours {
			of = append(of, slices.Repeat([]int{c}, n/colours+more[c])...)
		}
		out = append(out, func(q, k int) int {
			if k == colours {
				return of[q]
			}
			return (2*q + 1) * k / (2 * n)
		})
	}
	return out
}

// evenShare returns the way to share n strip sets among k colours in which the
// fewest diamonds lie above a lighter colour; nil where there is only one way,
// or too many colours to look for it.
func evenShare(n, k, right int, aside func(sets [2]int) int) func(q, k int) int {
	if k < 2 || k > n || n%k == 0 || k > mostWays {
		return nil
	}
	// best[c][m]: the least up to the end of colour c when m colours have one
	// more; from says whether c has.
	const never = math.MaxInt / 2
	best, from := make([][]int, k+1), make([][]bool, k+1)
	best[0] = []int{0}
	for c := 1; c <= k; c++ {
		best[c], from[c] = make([]int, c+1), make([]bool, c+1)
		for m := range best[c] {
			best[c][m] = never
			end := c*(n/k) + m
			r := end * right / n
			here := aside([2]int{r, end - r})
			if end*right%n != 0 {
				here = min(here, aside([2]int{r + 1, end - r - 1}))
			}
			if c == k {
				here = 0
			}
			for _, more := range []int{0, 1} {
				if m-more >= 0 && m-more < len(best[c-1]) && best[c-1][m-more]+here < best[c][m] {
					best[c][m], from[c][m] = best[c-1][m-more]+here, more == 1
				}
			}
		}
	}
	of := make([]int, 0, n)
	for c, m := k, n%k; c > 0; c-- {
		sets := n / k
		if from[c][m] {
			sets, m = sets+1, m-1
		}
		of = append(of, slices.Repeat([]int{c - 1}, sets)...)
	}
	slices.Reverse(of)
	return func(q, colours int) int {
		if colours == k {
			return of[q]
		}
		return (2*q + 1) * colours / (2 * n)
	}
}

// choose returns all ways to mark m of n things with 1; nil when there are more
// than most.
func choose(n, m, most int) (out [][]int) {
	marks := make([]int, n)
	var rest func(i, m int) bool
	rest = func(i, m int) bool {
		switch {
		case m > n-i:
			return true
		case i == n:
			out = append(out, slices.Clone(marks))
			return len(out) <= most
		}
		ok := true
		if m > 0 {
			marks[i] = 1
			ok = rest(i+1, m-1)
			marks[i] = 0
		}
		return ok && rest(i+1, m)
	}
	if !rest(0, m) {
		return nil
	}
	return out
}

// lean returns the ways to divide strip sets between the leans so that at the
// end of each way as many lean right as its share, rounded down or up.
func (ways deal) lean(ends []int, n, right int, aside func(sets [2]int) int) (out []deal) {
	open := 0 // ends at which both are possible
	for _, end := range ends {
		if end*right%n != 0 {
			open++
		}
	}
	few := open < 6 && 1<<open <= mostLeans
	now := make(deal, len(ways))
	var rest func(i, before int)
	rest = func(i, before int) {
		if i == len(ways) {
			out = append(out, slices.Clone(now))
			return
		}
		start := 0
		if i > 0 {
			start = ends[i-1]
		}
		share := ends[i] * right
		// The better first.
		tries := []int{share / n}
		if share%n != 0 && aside([2]int{share/n + 1, ends[i] - share/n - 1}) < aside([2]int{share / n, ends[i] - share/n}) {
			tries[0]++
		}
		if other := 2*(share/n) + 1 - tries[0]; share%n != 0 && len(ways) <= mostWays && (few || i < 2 || i >= len(ways)-3) {
			tries = append(tries, other)
		}
		for _, upTo := range tries {
			if r := upTo - before; r >= 0 && r <= ends[i]-start {
				now[i] = dealt{ways[i].numbers, [2]int{r, ends[i] - start - r}}
				rest(i+1, upTo)
			}
		}
	}
	rest(0, 0)
	return out
}
