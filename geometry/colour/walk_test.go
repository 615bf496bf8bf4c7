// SPDX-License-Identifier: Apache-2.0

package colour_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry/colour"
)

// apart is the distance of two stops by its definition.
func apart(a, b []colour.Lab, share []int) float64 {
	sum, all := 0.0, 0.0
	for i := range a {
		dl, da, db := float64(a[i].L-b[i].L)/1000, float64(a[i].A-b[i].A)/1000, float64(a[i].B-b[i].B)/1000
		sum += float64(share[i]) * (dl*dl + da*da + db*db)
		all += float64(share[i])
	}
	return math.Sqrt(sum / all)
}

func length(order []int, stops [][]colour.Lab, share []int) float64 {
	sum := 0.0
	for i := 1; i < len(order); i++ {
		sum += apart(stops[order[i-1]], stops[order[i]], share)
	}
	return sum
}

func light(stop []colour.Lab, share []int) int {
	sum := 0
	for i, c := range stop {
		sum += share[i] * c.L
	}
	return sum
}

func drawStops(t *rapid.T, least, most int) (stops [][]colour.Lab, share []int) {
	strips := rapid.IntRange(1, 3).Draw(t, "strips")
	for range strips {
		share = append(share, rapid.IntRange(1, 1000).Draw(t, "share"))
	}
	for range rapid.IntRange(least, most).Draw(t, "stops") {
		var stop []colour.Lab
		for range strips {
			c := colour.RGB{rapid.Uint8().Draw(t, "r"), rapid.Uint8().Draw(t, "g"), rapid.Uint8().Draw(t, "b")}
			stop = append(stop, colour.LabOf(c))
		}
		stops = append(stops, stop)
	}
	return stops, share
}

// checkWalk holds what every walk must be: each stop once, the darker end
// first.
func checkWalk(t *rapid.T, order []int, stops [][]colour.Lab, share []int) {
	sorted := slices.Clone(order)
	slices.Sort(sorted)
	for i, s := range sorted {
		if s != i || len(order) != len(stops) {
			t.Fatalf("%v is no order of %d stops", order, len(stops))
		}
	}
	if light(stops[order[0]], share) > light(stops[order[len(order)-1]], share) {
		t.Fatalf("the walk begins at its lighter end")
	}
}

// Of few stops the walk is as short as the shortest of all orders.
func TestWalkIsTheShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stops, share := drawStops(t, 1, 7)
		order := colour.Walk(stops, share)
		checkWalk(t, order, stops, share)
		best := math.Inf(1)
		all := make([]int, len(stops))
		for i := range all {
			all[i] = i
		}
		var try func(k int)
		try = func(k int) {
			if k == len(all) {
				best = min(best, length(all, stops, share))
				return
			}
			for i := k; i < len(all); i++ {
				all[k], all[i] = all[i], all[k]
				try(k + 1)
				all[k], all[i] = all[i], all[k]
			}
		}
		try(0)
		// Distances are rounded down to thousandths over the root of the
		// shares.
		if got := length(order, stops, share); got > best+0.001*float64(len(stops)) {
			t.Fatalf("%v is %v long, the shortest %v", order, got, best)
		}
	})
}

// tree is the length of the shortest tree that joins all stops (Prim): no walk
// is shorter.
func tree(stops [][]colour.Lab, share []int) float64 {
	far := make([]float64, len(stops))
	for i := range far {
		far[i] = apart(stops[0], stops[i], share)
	}
	in := make([]bool, len(stops))
	in[0] = true
	sum := 0.0
	for range len(stops) - 1 {
		next := -1
		for i := range far {
			if !in[i] && (next < 0 || far[i] < far[next]) {
				next = i
			}
		}
		in[next] = true
		sum += far[next]
		for i := range far {
			far[i] = min(far[i], apart(stops[next], stops[i], share))
		}
	}
	return sum
}

// Of many stops the walk is shorter than by lightness, and not much longer than
// the shortest tree, which bounds it from below. A walk that visits the stops as
// a tree branches is twice that; the shortest one is 1.1 to 1.3 of it for
// colours at random.
func TestWalkOfManyStops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stops, share := drawStops(t, 12, 60)
		order := colour.Walk(stops, share)
		checkWalk(t, order, stops, share)
		byLight := make([]int, len(stops))
		for i := range byLight {
			byLight[i] = i
		}
		slices.SortStableFunc(byLight, func(a, b int) int { return light(stops[a], share) - light(stops[b], share) })
		got := length(order, stops, share)
		if most := length(byLight, stops, share); got > most+0.1 {
			t.Fatalf("%v long, by lightness %v", got, most)
		}
		if least := tree(stops, share); got > 1.5*least+1 {
			t.Fatalf("%v long, the shortest tree %v", got, least)
		}
	})
}

// Colours on a line are walked along it: greys from black to white, whatever
// their order, few or many.
func TestWalkAlongALine(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{1, 2, 5, 11, 12, 40, 200} {
		greys := random.Perm(256)[:n]
		var stops [][]colour.Lab
		for _, v := range greys {
			stops = append(stops, []colour.Lab{colour.LabOf(colour.RGB{uint8(v), uint8(v), uint8(v)})})
		}
		last := -1
		for _, i := range colour.Walk(stops, []int{1000}) {
			if greys[i] < last {
				t.Errorf("%d greys: %d after %d", n, greys[i], last)
			}
			last = greys[i]
		}
	}
}

// A walk through the hues goes round, though their lightness rises and falls.
func ExampleWalk() {
	hues := []colour.RGB{{0xe8, 0x83, 0x3a}, {0x3a, 0x6f, 0xb0}, {0x9a, 0xc0, 0x4a}, {0xd2, 0x3b, 0x3b}, {0x49, 0xb3, 0xb0}}
	names := []string{"orange", "blue", "lime", "red", "teal"}
	var stops [][]colour.Lab
	for _, c := range hues {
		stops = append(stops, []colour.Lab{colour.LabOf(c)})
	}
	for _, i := range colour.Walk(stops, []int{1}) {
		fmt.Println(names[i])
	}
	// Output:
	// blue
	// teal
	// lime
	// orange
	// red
}

func BenchmarkWalk(b *testing.B) {
	for _, n := range []int{11, 100, 1000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("stops=%d", n), func(b *testing.B) {
			random := rand.New(rand.NewPCG(1, uint64(n)))
			var stops [][]colour.Lab
			for range n {
				stops = append(stops, []colour.Lab{{L: random.IntN(100_000), A: random.IntN(160_000) - 80_000, B: random.IntN(160_000) - 80_000}})
			}
			share := []int{1000}
			for b.Loop() {
				colour.Walk(stops, share)
			}
			if n <= 10_000 {
				b.ReportMetric(length(colour.Walk(stops, share), stops, share)/tree(stops, share), "of-tree")
			}
		})
	}
}
