// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"hash/fnv"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// Law: the curve goes through every cell once, from each to a neighbour.
func TestHilbert(t *testing.T) {
	for _, side := range []int{1, 2, 4, 8, 32} {
		at := make([][2]int, side*side)
		seen := make([]bool, side*side)
		for x := range side {
			for y := range side {
				i := hilbert(side, x, y)
				if i < 0 || i >= int64(len(at)) || seen[i] {
					t.Fatalf("side %d: cell %d, %d is at %d", side, x, y, i)
				}
				at[i], seen[i] = [2]int{x, y}, true
			}
		}
		for i := 1; i < len(at); i++ {
			dx, dy := at[i][0]-at[i-1][0], at[i][1]-at[i-1][1]
			if dx*dx+dy*dy != 1 {
				t.Errorf("side %d: from %v to %v", side, at[i-1], at[i])
			}
		}
	}
}

// The pieces that are said to touch are those whose finished outlines share a
// stretch of edge.
func TestTouching(t *testing.T) {
	for _, setting := range []Layout{Zigzag, Chevron, OneWay} {
		for _, size := range [][2]int{{1, 1}, {1, 3}, {3, 1}, {4, 5}, {3, 4}} {
			p, err := New(Spec{
				Angle: 60, Seam: 0.25, UsableWidth: 40, Layout: setting, Columns: size[0], Rows: size[1],
				Strips: []Strip{{Cut: 2.5, Fabric: "a"}},
			})
			if err != nil {
				t.Fatal(err)
			}
			outlines := make([]geometry.Polygon, len(p.Pieces))
			for i, pl := range p.Pieces {
				outlines[i] = p.Standing(pl).Finished.Move(p.Centre(pl))
			}
			for i := range p.Pieces {
				touching := p.touching(i)
				for j := range p.Pieces {
					if got, want := slices.Contains(touching[:], int32(j)), i != j && shareEdge(outlines[i], outlines[j]); got != want {
						t.Fatalf("%v: %+v and %+v touch: %v, want %v", setting, p.Pieces[i], p.Pieces[j], got, want)
					}
				}
			}
		}
	}
}

// canBeApart tries everything: whether the pieces can be laid so that no two of
// a strip set touch. What has been laid of the last two rows and what is left
// tell what may follow, so each such state is tried once.
func canBeApart(p *Plan) bool {
	n := len(p.Pieces)
	left := make([]Count, len(p.Fewest.Layouts))
	for k, l := range p.Fewest.Layouts {
		left[k] = l.Gives
	}
	laid := make([]int, n)
	failed := map[string]bool{}
	var lay func(i int) bool
	lay = func(i int) bool {
		if i == n {
			return true
		}
		state := fmt.Sprint(i, laid[max(i-p.Columns-1, 0):i], left)
		if failed[state] {
			return false
		}
		pl := p.Pieces[i]
		for k := range left {
			if left[k][pl.Lean][pl.Shape] == 0 {
				continue
			}
			apart := true
			for _, j := range p.touching(i) {
				apart = apart && (j < 0 || int(j) > i || laid[j] != k)
			}
			if !apart {
				continue
			}
			left[k][pl.Lean][pl.Shape]--
			laid[i] = k
			if lay(i + 1) {
				return true
			}
			left[k][pl.Lean][pl.Shape]++
		}
		failed[state] = true
		return false
	}
	return lay(0)
}

// drawSewn deals what a quilt needs, and a few pieces more, to strip sets at
// random.
func drawSewn(t *rapid.T, p *Plan, most int) []Sewn {
	sets := make([]Sewn, rapid.IntRange(1, most).Draw(t, "strip sets"))
	for lean := range p.Need {
		for shape, n := range p.Need[lean] {
			if n == 0 {
				continue
			}
			for range n + rapid.IntRange(0, 2).Draw(t, "more") {
				sets[rapid.IntRange(0, len(sets)-1).Draw(t, "strip set")].Gives[lean][shape]++
			}
		}
	}
	return sets
}

// Wherever trying everything finds a way to keep the pieces of each strip set
// apart, they are apart.
func TestScatteredApartWhereThatCanBe(t *testing.T) {
	could, couldNot := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p, err := New(Spec{
			Angle: 60, Seam: 0.25, UsableWidth: 40, ColourOrder: Scattered,
			Layout:  drawLayout(t, 4),
			Columns: rapid.IntRange(1, 4).Draw(t, "columns"), Rows: rapid.IntRange(1, 4).Draw(t, "rows"),
			Strips: []Strip{{Cut: 2.5, Fabric: "a"}},
		})
		if err != nil {
			t.Fatal(err)
		}
		q := p.WithStripSets(drawSewn(t, p, 5), nil)
		clashes, _ := q.Touching()
		if canBeApart(q) {
			could++
			if clashes != 0 {
				t.Fatalf("%d pairs of one strip set touch", clashes)
			}
		} else {
			couldNot++
		}
	})
	if few := (could + couldNot) / 8; could < few || couldNot < few {
		t.Errorf("%d quilts could be laid apart, %d could not: nothing is shown", could, couldNot)
	}
}

// scatteredOf plans a quilt of n x n diamonds in that many colours.
func scatteredOf(t testing.TB, n, colours int, setting Layout) *Plan {
	s := Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 40, ColourOrder: Scattered, Layout: setting, Columns: n, Rows: n,
		Strips:  []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a"}, {Key: "b", Colours: []Colour{{}}}},
	}
	for c := range colours {
		s.Fabrics[0].Colours = append(s.Fabrics[0].Colours, Colour{uint8(c), 100})
	}
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// With four colours or more, touching pieces of the same colours can be kept
// apart all but everywhere; with three and with two, they are few: laid at
// random a third and a half of all edges would have them. The shares allowed
// are what was found, and somewhat more.
func TestScatteredColoursKeepApart(t *testing.T) {
	for _, setting := range []Layout{Zigzag, OneWay} {
		for colours, most := range map[int]float64{2: 0.17, 3: 0.04, 4: 0.002, 6: 0, 9: 0} {
			p := scatteredOf(t, 30, colours, setting)
			sets, same := p.Touching()
			edges := 0
			for i := range p.Pieces {
				for _, j := range p.touching(i) {
					if int(j) > i {
						edges++
					}
				}
			}
			if sets > 0 || float64(same) > most*float64(edges) {
				t.Errorf("%v, %d colours: of %d edges %d join a strip set to itself, %d the same colours", setting, colours, edges, sets, same)
			}
		}
	}
}

// uneven is how much the numbers of diamonds of each class in blocks of the
// quilt vary, over what they would if the diamonds were drawn at random (the
// variance of the hypergeometric distribution: m p (1-p) (N-m)/(N-1) for m of N
// places).
func uneven(p *Plan, block int, class func(stripSet int) int) float64 {
	blocks := map[[2]int]map[int]int{}
	size, number, n := map[[2]int]int{}, map[int]int{}, 0
	for _, pl := range p.Pieces {
		if pl.Shape != geometry.Diamond {
			continue
		}
		b := [2]int{pl.Column / block, pl.Row / block}
		if blocks[b] == nil {
			blocks[b] = map[int]int{}
		}
		c := class(pl.StripSet)
		blocks[b][c]++
		size[b]++
		number[c]++
		n++
	}
	got, random := 0.0, 0.0
	for b, m := range size {
		for c, of := range number {
			p := float64(of) / float64(n)
			d := float64(blocks[b][c]) - float64(m)*p
			got += d * d
			random += float64(m) * p * (1 - p) * float64(n-m) / float64(n-1)
		}
	}
	return got / random
}

// Colours, and the pieces of each strip set, are spread far more evenly than at
// random. (Of the half dozen pieces of a strip set a small block holds none or
// one either way.)
func TestScatteredEvenly(t *testing.T) {
	for _, setting := range []Layout{Zigzag, OneWay} {
		for _, colours := range []int{1, 2, 3, 4, 7} {
			p := scatteredOf(t, 48, colours, setting)
			_, way := p.Colourways()
			for _, block := range []int{6, 8, 12, 16, 24} {
				if u := uneven(p, block, func(k int) int { return way[k] }); colours > 1 && u > 0.65 {
					t.Errorf("%v, %d colours: in blocks of %d colours vary %.2f times as much as at random", setting, colours, block, u)
				}
				if u := uneven(p, block, func(k int) int { return k }); block > 12 && u > 0.7 {
					t.Errorf("%v, %d colours: in blocks of %d strip sets vary %.2f times as much as at random", setting, colours, block, u)
				}
			}
		}
	}
}

// The same seed lays the same quilt, today and on every machine.
func TestScatteredIsRepeatable(t *testing.T) {
	for colours, want := range map[int]uint32{2: 0xddc5176d, 5: 0xcc955655} {
		p := scatteredOf(t, 20, colours, Zigzag)
		sum := fnv.New32a()
		for _, pl := range p.Pieces {
			fmt.Fprintln(sum, pl.StripSet)
		}
		if got := sum.Sum32(); got != want {
			t.Errorf("%d colours: the strip sets add up to %#x, want %#x", colours, got, want)
		}
	}
}

// Strip sets that don't suffice are laid as far as they go.
func TestScatteredWithTooFew(t *testing.T) {
	p := scatteredOf(t, 4, 2, OneWay)
	q := p.WithStripSets([]Sewn{{Layout: strip.Layout{Word: "DDD", Gives: Count{{3, 0, 0}}}}}, nil)
	for _, pl := range q.Pieces {
		if pl.StripSet != 0 {
			t.Fatalf("%+v", pl)
		}
	}
}
