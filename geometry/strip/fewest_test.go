// SPDX-License-Identifier: Apache-2.0

package strip_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// sumGives checks that every layout is a row that fits and gives what it says,
// and returns what all give together.
func sumGives(t *rapid.T, set strip.Set, terms strip.Terms, f strip.Fewest) strip.Count {
	var sum strip.Count
	for _, l := range f.Layouts {
		row, err := strip.NewRow(set, l.Lean, l.Word)
		if err != nil {
			t.Fatal(err)
		}
		var has strip.Count
		for _, p := range row.Pieces {
			has[p.Lean][p.Shape]++
		}
		if l.Staggered {
			if strings.Trim(l.Word, "D") != "" || !terms.Stagger {
				t.Fatalf("staggered %q", l.Word)
			}
		} else if row.Length > terms.Length+geometry.Fit {
			t.Fatalf("%q takes %v of %v", l.Word, row.Length, terms.Length)
		}
		if l.Mixed != (has[0][0] > 0 && has[1][0] > 0) || l.Mixed && !terms.MixLeans {
			t.Fatalf("%q, mixed: %v", l.Word, l.Mixed)
		}
		for lean := range l.Gives {
			for shape, n := range l.Gives[lean] {
				sum[lean][shape] += n
				limit := has[lean][shape]
				if shape != int(geometry.Diamond) && set.Angle == 60 {
					limit += has[1-lean][shape] - l.Gives[1-lean][shape]
				}
				if n > limit {
					t.Fatalf("%q gives %v, says %v", l.Word, has, l.Gives)
				}
			}
		}
	}
	return sum
}

// fewestByTrying finds the fewest strip sets by trying all sums of rows: the
// slow, plain way.
func fewestByTrying(set strip.Set, need strip.Count, terms strip.Terms, atMost int) int {
	type gives [4]int // right, left diamonds, lowers, uppers
	var rows []gives
	seen := map[gives]bool{}
	var letters []string
	if terms.MixLeans {
		letters = []string{"D", "d", "L", "U"}
	} else {
		letters = []string{"D", "L", "U"}
	}
	// Every word that fits, letter by letter.
	level := []string{""}
	for len(level) > 0 {
		var next []string
		for _, w := range level {
			for _, c := range letters {
				row, err := strip.NewRow(set, geometry.Right, w+c)
				if err != nil || row.Length > terms.Length+geometry.Fit {
					continue
				}
				next = append(next, w+c)
				var g gives
				for _, p := range row.Pieces {
					switch p.Shape {
					case geometry.Diamond:
						g[p.Lean]++
					case geometry.LowerTriangle:
						g[2]++
					default:
						g[3]++
					}
				}
				// The left-leaning row is its mirror image.
				for _, g := range []gives{g, {g[1], g[0], g[2], g[3]}} {
					if !seen[g] {
						seen[g] = true
						rows = append(rows, g)
					}
				}
			}
		}
		level = next
	}
	// Diamonds of strips sewn staggered: each strip holds d diamonds of the cut
	// side along it, whose ends lean by its cut width over tan(angle).
	for d := 1; terms.Stagger && len(set.Cuts) > 1; d++ {
		if float64(d)*set.CutSide()+slices.Max(set.Cuts)/math.Tan(float64(set.Angle)*math.Pi/180) > terms.Length+geometry.Fit {
			break
		}
		rows = append(rows, gives{d}, gives{0, d})
	}
	start := gives{need[0][0], need[1][0], need[0][1] + need[1][1], need[0][2] + need[1][2]}
	states := map[gives]bool{start: true}
	for n := 0; n <= atMost; n++ {
		if states[gives{}] {
			return n
		}
		next := map[gives]bool{}
		for s := range states {
			for _, r := range rows {
				q := s
				for i := range q {
					q[i] = max(q[i]-r[i], 0)
				}
				next[q] = true
			}
		}
		states = next
	}
	return -1
}

// Law: the answer covers the need, and trying everything finds no smaller one.
func TestFewestIsTheFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := drawSet(t)
		if rapid.IntRange(0, 3).Draw(t, "sixty") > 0 {
			set.Angle = 60
		}
		terms := strip.Terms{
			Length:   set.CutSide() * rapid.Float64Range(0.5, 5).Draw(t, "length over side"),
			MixLeans: rapid.Bool().Draw(t, "mix"),
			Stagger:  rapid.Bool().Draw(t, "stagger"),
		}
		var need strip.Count
		leans := rapid.SampledFrom([][]int{{0, 1}, {0, 1}, {0}, {1}}).Draw(t, "leans")
		if set.Angle != 60 {
			leans, terms.MixLeans = leans[:1], false
		}
		for _, lean := range leans {
			for shape := range need[lean] {
				need[lean][shape] = rapid.IntRange(0, 7).Draw(t, "need")
			}
		}
		// As in every quilt: as many lowers as uppers, or one of them alone.
		switch lowers, uppers := need[0][1]+need[1][1], need[0][2]+need[1][2]; {
		case rapid.Bool().Draw(t, "one half alone"):
			need[0][2], need[1][2] = 0, 0
		case lowers > uppers:
			need[leans[0]][2] += lowers - uppers
		default:
			need[leans[0]][1] += uppers - lowers
		}
		f := set.Fewest(need, terms)
		want := fewestByTrying(set, need, terms, 16)
		if !f.OK() {
			if want >= 0 {
				t.Fatalf("said impossible, but %d do", want)
			}
			return
		}
		if sum := sumGives(t, set, terms, f); sum != need {
			t.Fatalf("gives %v, need %v", sum, need)
		}
		if len(f.Layouts) != want && (want >= 0 || len(f.Layouts) <= 16) {
			t.Fatalf("%d strip sets, trying everything finds %d: %+v", len(f.Layouts), want, f.Layouts)
		}
	})
}

// The same where it matters: 60 degrees and both leans, until 20 answers were
// smaller because leans may be mixed, and 20 because strips may be staggered.
func TestFewestWhereTheTermsMatter(t *testing.T) {
	rnd := rand.New(rand.NewPCG(60, 20))
	var mixed, staggered, all int
	for ; min(mixed, staggered) < 20 && all < 1000; all++ {
		cuts := make([]float64, 1+rnd.IntN(3))
		for i := range cuts {
			cuts[i] = 1.5 + 0.25*float64(rnd.IntN(9))
		}
		set, err := strip.New(cuts, 0.25, 60, geometry.Matched, 0)
		if err != nil {
			t.Fatal(err)
		}
		terms := strip.Terms{Length: set.CutSide() * (1 + 4*rnd.Float64()), MixLeans: rnd.IntN(2) == 0, Stagger: rnd.IntN(2) == 0}
		edge := rnd.IntN(4)
		need := strip.Count{{1 + rnd.IntN(7), edge, 0}, {1 + rnd.IntN(7), 0, edge}}
		f := set.Fewest(need, terms)
		if want := fewestByTrying(set, need, terms, 24); f.OK() && len(f.Layouts) != want || !f.OK() && want >= 0 {
			t.Errorf("%d strip sets, trying everything finds %d: %v, %v, %+v", len(f.Layouts), want, cuts, need, terms)
		}
		fewer := func(without strip.Terms) int {
			if len(set.Fewest(need, without).Layouts) > len(f.Layouts) {
				return 1
			}
			return 0
		}
		mixed += fewer(strip.Terms{Length: terms.Length, Stagger: terms.Stagger})
		staggered += fewer(strip.Terms{Length: terms.Length, MixLeans: terms.MixLeans})
	}
	if t.Logf("of %d, %d smaller by mixing leans, %d by staggering", all, mixed, staggered); min(mixed, staggered) < 20 {
		t.Error("too few")
	}
}

// A 42 in strip set of two 2 1/2 in strips gives 13 edge triangles.
func TestThirteenEdgeTriangles(t *testing.T) {
	set, _ := strip.New([]float64{2.5, 2.5}, 0.25, 60, geometry.Matched, 0)
	f := set.Fewest(strip.Count{{0, 6, 7}, {}}, strip.Terms{Length: 42})
	if len(f.Layouts) != 1 || f.Layouts[0].Word != "ULULULULULULU" {
		t.Errorf("%+v", f.Layouts)
	}
}

func BenchmarkFewest(b *testing.B) {
	set, _ := strip.New([]float64{2.5, 2.5}, 0.25, 60, geometry.Matched, 0)
	one, _ := strip.New([]float64{1.5}, 0.25, 60, geometry.Matched, 0)
	for _, c := range []struct {
		name string
		set  strip.Set
		need strip.Count
		mix  bool
	}{
		{"lap", set, strip.Count{{77, 11, 0}, {77, 0, 11}}, false},
		{"lap mixed", set, strip.Count{{77, 11, 0}, {77, 0, 11}}, true},
		{"large", one, strip.Count{{125000, 0, 0}, {125000, 500, 500}}, false},
		{"large mixed", one, strip.Count{{125000, 0, 0}, {125000, 500, 500}}, true},
		{"all edge", one, strip.Count{{2000, 2000, 0}, {0, 2000, 0}}, true},
	} {
		b.Run(fmt.Sprint(c.name), func(b *testing.B) {
			for b.Loop() {
				if f := c.set.Fewest(c.need, strip.Terms{Length: 42, MixLeans: c.mix}); !f.OK() {
					b.Fatal("impossible")
				}
			}
		})
	}
}
