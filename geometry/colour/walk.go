// SPDX-License-Identifier: Apache-2.0

package colour

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// Limits of [Walk]. All ways are tried for so few stops; the distances of so
// many stops are all kept, and each is tried beside so many that are near it,
// of very many of those about as light; mending ends after so
// many steps, a fraction of a second's worth.
const (
	tryAll = 11
	keep   = 1500
	near   = 10
	alike  = 40
	steps  = 8_000_000
)

// Walk orders stops so that each looks like the one before it: a shortest walk
// through all of them in CIELAB. A stop is one or more colours that are seen
// together, all stops as many; share[i] is how much of what is seen is of
// colour i, and the distance of two stops is the root of the mean square of
// the distances of their colours. The walk begins at the darker end.
//
// Up to 11 stops it is the shortest there is; more are put in order by nearest
// neighbours and the order is mended, by turning stretches round and by moving
// up to three stops at a time. Equal walks are always resolved in the same
// way.
func Walk(stops [][]Lab, share []int) []int {
	w := &walk{stops: stops, share: share}
	if n := len(stops); n <= keep {
		known := make([]int32, n*n)
		for i := range n {
			for j := range i {
				d := int32(w.far(i, j))
				known[i*n+j], known[j*n+i] = d, d
			}
		}
		w.known = known
	}
	switch n := len(stops); {
	case n == 0:
		return nil
	case n <= tryAll:
		w.order = w.shortest()
	default:
		w.order = w.nearest()
		w.mend()
	}
	first, last := w.order[0], w.order[len(w.order)-1]
	if d := cmp.Or(cmp.Compare(w.light(first), w.light(last)), cmp.Compare(first, last)); d > 0 {
		slices.Reverse(w.order)
	}
	return w.order
}

type walk struct {
	stops [][]Lab
	share []int
	known []int32 // the distance of stops i and j at i len(stops) + j, or nil
	order []int
	place []int // of each stop in order
	left  int   // steps
}

// light returns how light a stop is.
func (w *walk) light(i int) int {
	sum := 0
	for s, c := range w.stops[i] {
		sum += w.share[s] * c.L
	}
	return sum
}

// far returns the distance of two stops. The root of a whole number below
// 2^53 is rounded the same way everywhere.
func (w *walk) far(i, j int) int {
	if w.known != nil {
		return int(w.known[i*len(w.stops)+j])
	}
	sum := 0
	for s, c := range w.stops[i] {
		sum += w.share[s] * c.Apart(w.stops[j][s])
	}
	return int(math.Sqrt(float64(sum)))
}

// shortest tries all ways: best[set][last] is the shortest walk through a set
// of stops that ends at last (Held and Karp 1962, for a walk with two ends).
func (w *walk) shortest() []int {
	n := len(w.stops)
	const unknown = math.MaxInt
	best := make([]int, n<<n)
	from := make([]int8, n<<n)
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			at := set*n + last
			rest := set &^ (1 << last)
			switch {
			case rest == set:
				best[at] = unknown
				continue
			case rest == 0:
				best[at], from[at] = 0, -1
				continue
			}
			best[at] = unknown
			for m := rest; m != 0; m &= m - 1 {
				before := bits.TrailingZeros(uint(m))
				if d := best[rest*n+before] + w.far(before, last); d < best[at] {
					best[at], from[at] = d, int8(before)
				}
			}
		}
	}
	set := 1<<n - 1
	last := 0
	for i := range n {
		if best[set*n+i] < best[set*n+last] {
			last = i
		}
	}
	var out []int
	for last >= 0 {
		out = append(out, last)
		before := int(from[set*n+last])
		set &^= 1 << last
		last = before
	}
	return out
}

// byLight returns the stops as they grow lighter.
func (w *walk) byLight() []int {
	order, light := make([]int, len(w.stops)), make([]int, len(w.stops))
	for i := range order {
		order[i], light[i] = i, w.light(i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(light[a], light[b]) })
	return order
}

// nearest begins at the darkest stop and goes on to the nearest that is left.
// Where there are too many for that, the stops are taken as they grow lighter.
func (w *walk) nearest() []int {
	n := len(w.stops)
	order := w.byLight()
	if n > keep {
		return order
	}
	for i := 1; i < n; i++ {
		best, d := i, math.MaxInt
		for j := i; j < n; j++ {
			if e := w.far(order[i-1], order[j]); e < d {
				best, d = j, e
			}
		}
		// The others stay sorted.
		next := order[best]
		copy(order[i+1:best+1], order[i:best])
		order[i] = next
	}
	return order
}

// step returns the distance of the stops at places i and j of the walk, 0
// when one of them lies beyond its ends.
func (w *walk) step(i, j int) int {
	if i < 0 || j < 0 || i >= len(w.order) || j >= len(w.order) {
		return 0
	}
	return w.far(w.order[i], w.order[j])
}

// mend makes the walk shorter while that can be done by bringing a stop beside
// one that is near it.
func (w *walk) mend() {
	w.left = steps
	w.place = make([]int, len(w.order))
	w.put(0, len(w.order))
	beside := w.beside()
	for better := true; better && w.left > 0; {
		better = false
		for s := range w.stops {
			if w.left <= 0 {
				return
			}
			for _, c := range beside[s] {
				better = w.join(s, c) || better
			}
			better = w.toEnd(s) || better
		}
	}
}

// put notes the places of the stops from place i up to j.
func (w *walk) put(i, j int) {
	for ; i < j; i++ {
		w.place[w.order[i]] = i
	}
}

// beside returns the stops that are near each stop, the nearest first.
func (w *walk) beside() [][]int {
	n := len(w.stops)
	byLight := w.byLight()
	out := make([][]int, n)
	for i, s := range byLight {
		from, to := 0, n
		if n > keep {
			from, to = max(i-alike, 0), min(i+alike+1, n)
		}
		best, far := make([]int, 0, near+1), make([]int, 0, near+1)
		for _, c := range byLight[from:to] {
			d := w.far(s, c)
			if c == s || len(best) == near && d >= far[near-1] {
				continue
			}
			at, _ := slices.BinarySearch(far, d+1)
			best, far = slices.Insert(best, at, c), slices.Insert(far, at, d)
			best, far = best[:min(len(best), near)], far[:min(len(far), near)]
		}
		out[s] = best
	}
	return out
}

// join tries every way of bringing stops s and c together.
func (w *walk) join(s, c int) bool {
	better := false
	for _, back := range []bool{false, true} {
		// One of the stretches between them is turned round.
		i, j := w.place[s], w.place[c]
		if i > j {
			i, j = j, i
		}
		if back {
			better = w.turn(i, j-1) || better
		} else {
			better = w.turn(i+1, j) || better
		}
		// Or a few stops from s on, or up to s, go to one side of c.
		for k := range 3 {
			i, j := w.place[s], w.place[c]
			if back {
				i -= k
			}
			better = w.move(i, k+1, j) || better
			i, j = w.place[s], w.place[c]
			if back {
				i -= k
			}
			better = w.move(i, k+1, j+1) || better
		}
	}
	return better
}

// toEnd tries to make stop s an end of the walk.
func (w *walk) toEnd(s int) bool {
	n := len(w.order)
	better := w.turn(0, w.place[s])
	better = w.turn(w.place[s], n-1) || better
	for _, end := range []int{0, n} {
		better = w.move(w.place[s], 1, end) || better
	}
	return better
}

// turn turns the stretch from place i to place j round, if that is shorter.
func (w *walk) turn(i, j int) bool {
	w.left--
	if j <= i || w.step(i-1, j)+w.step(i, j+1) >= w.step(i-1, i)+w.step(j, j+1) {
		return false
	}
	slices.Reverse(w.order[i : j+1])
	w.put(i, j+1)
	w.left -= (j - i) / 4
	return true
}

// move takes k stops from place i on to before place j, turned round or not,
// if that is shorter.
func (w *walk) move(i, k, j int) bool {
	w.left--
	last := i + k - 1
	if i < 0 || last >= len(w.order) || j >= i && j <= last+1 {
		return false
	}
	saved := w.step(i-1, i) + w.step(last, last+1) - w.step(i-1, last+1) + w.step(j-1, j)
	ahead, back := w.step(j-1, i)+w.step(last, j), w.step(j-1, last)+w.step(i, j)
	if min(ahead, back) >= saved {
		return false
	}
	part := slices.Clone(w.order[i : last+1])
	if back < ahead {
		slices.Reverse(part)
	}
	from, to := min(i, j), max(last+1, j)
	if j < i {
		copy(w.order[j+k:last+1], w.order[j:i])
		copy(w.order[j:], part)
	} else {
		copy(w.order[i:], w.order[last+1:j])
		copy(w.order[j-k:], part)
	}
	w.put(from, to)
	w.left -= (to - from) / 4
	return true
}
