// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// item is a number of pieces of one size; a bin is the strip (or the fat
// quarter's short side) that they are cut from, end to end.
type item struct {
	size float64
	n    int
}

// Steps after which the search for fewer bins gives up. Each takes well under
// a microsecond for each size of piece.
const packSteps = 5000

// fewestBins returns into how many bins of the given room the items go, each
// of which fits into one. First-fit decreasing shows a way (never more than
// 11/9 of the fewest + 6/9: Dósa 2007). It can need one too many: of 42 come
// 18 + 12 + 12 twice, where it takes 18 + 18 first and then needs three. So
// smaller numbers are tried one by one, down to what the sizes add up to,
// until one can't be done or the steps are used up. The number is always one
// for which a way was found.
func fewestBins(items []item, room float64) int {
	items = merge(items)
	best := firstFit(items, room)
	p := packing{items: items, room: room, steps: packSteps}
	for len(items) > 1 && p.fits(best-1, p.total()) {
		best--
	}
	return best
}

// merge returns the items largest first, equal sizes put together.
func merge(items []item) []item {
	items = slices.Clone(items)
	slices.SortFunc(items, func(a, b item) int { return cmp.Compare(b.size, a.size) })
	var out []item
	for _, x := range items {
		if k := len(out) - 1; k >= 0 && out[k].size == x.size {
			out[k].n += x.n
		} else if x.n > 0 {
			out = append(out, x)
		}
	}
	return out
}

// holds returns how many pieces of the size go into the room, at most n.
func holds(size, room float64, n int) int {
	// Rounding is far below Fit, so the quotient can only be one too small.
	q := math.Floor(room / size)
	if geometry.Fits(float64((q+1)*size), room) {
		q++
	}
	return int(max(0, min(q, float64(n))))
}

// firstFit puts the items, largest first, each into the first bin with room
// for it, and returns the number of bins. Bins that are filled alike and
// stand side by side are kept as one entry with a count.
func firstFit(items []item, room float64) int {
	type bins struct {
		left float64
		n    int
	}
	var row []bins
	total := 0
	for _, x := range items {
		var next []bins
		n := x.n
		for _, b := range row {
			q := holds(x.size, b.left, n)
			if q == 0 {
				next = append(next, b)
				continue
			}
			full := min(b.n, n/q)
			n -= full * q
			next = append(next, bins{b.left - float64(float64(q)*x.size), full})
			if rest := b.n - full; rest > 0 {
				// Fewer than q are left: they go into one bin.
				if n > 0 {
					next = append(next, bins{b.left - float64(float64(n)*x.size), 1})
					n, rest = 0, rest-1
				}
				if rest > 0 {
					next = append(next, bins{b.left, rest})
				}
			}
		}
		if n > 0 {
			q := max(1, holds(x.size, room, n))
			if full := n / q; full > 0 {
				next = append(next, bins{room - float64(float64(q)*x.size), full})
				total += full
			}
			if rest := n % q; rest > 0 {
				next = append(next, bins{room - float64(float64(rest)*x.size), 1})
				total++
			}
		}
		row = next
	}
	return total
}

// packing is the state of a search: what is still to be put into bins.
type packing struct {
	items []item
	room  float64
	steps int
}

func (p *packing) total() float64 {
	sum := 0.0
	for _, x := range p.items {
		sum += float64(x.size * float64(x.n))
	}
	return sum
}

// fits reports whether what is left, adding up to sum, goes into that many
// bins; false also when the steps run out. The bin with the largest piece
// left comes first. It can be taken to be full, so that no other piece left
// goes in beside: one that did could be moved there from another bin. So all
// full bins that hold the largest piece are tried.
func (p *packing) fits(bins int, sum float64) bool {
	largest := slices.IndexFunc(p.items, func(x item) bool { return x.n > 0 })
	if largest < 0 {
		return true
	}
	if p.steps--; p.steps < 0 || bins < 1 || sum > float64(float64(bins)*(p.room+geometry.Fit)) {
		return false
	}
	p.items[largest].n--
	size := p.items[largest].size
	ok := p.fill(largest, p.room-size, bins, sum-size)
	p.items[largest].n++
	return ok
}

// fill tries all ways to fill the bin in hand, with room left, from the items
// from k on, and goes on with the other bins.
func (p *packing) fill(k int, left float64, bins int, sum float64) bool {
	if k == len(p.items) {
		for _, x := range p.items {
			if x.n > 0 && geometry.Fits(x.size, left) {
				return false // not full: another way is at least as good
			}
		}
		return p.fits(bins-1, sum)
	}
	x := &p.items[k]
	had := x.n
	defer func() { x.n = had }()
	for q := holds(x.size, left, had); q >= 0; q-- {
		if p.steps--; p.steps < 0 {
			return false
		}
		x.n = had - q
		used := float64(float64(q) * x.size)
		if p.fill(k+1, left-used, bins, sum-used) {
			return true
		}
	}
	return false
}
