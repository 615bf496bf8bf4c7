// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
	"lozenge/geometry/strip"
)

// tiny is a question small enough to try everything: what strip sets give, and
// what lanes are left.
type tiny struct {
	rows   []tinyRow
	pooled bool
	takes  []int // lanes of each fabric
}

type tinyRow struct {
	length float64
	gives  strip.Count
}

// fewest tries every strip set from every lane, one strip set after another,
// and returns the least number that meets the need, -1 for none up to most.
func (q *tiny) fewest(lanes [][]float64, need strip.Count, most int) int {
	type state struct {
		lanes string
		need  strip.Count
	}
	key := func(l [][]float64) string {
		var b strings.Builder
		for _, f := range l {
			for _, v := range f {
				fmt.Fprintf(&b, "%.6f,", v)
			}
			b.WriteByte(';')
		}
		return b.String()
	}
	type node struct {
		lanes [][]float64
		need  strip.Count
	}
	level := []node{{lanes, need}}
	for n := 0; n <= most; n++ {
		seen := map[state]bool{}
		var next []node
		for _, at := range level {
			if at.need == (strip.Count{}) {
				return n
			}
			for _, row := range q.rows {
				q.cut(at.lanes, row.length, 0, 0, func(left [][]float64) {
					rest := q.less(at.need, row.gives)
					s := state{key(left), rest}
					if !seen[s] && rest != at.need {
						seen[s] = true
						next = append(next, node{left, rest})
					}
				})
			}
		}
		level = next
		if len(level) > 60_000 {
			return -2
		}
	}
	return -1
}

// cut takes a strip set's strips from the lanes in every way.
func (q *tiny) cut(lanes [][]float64, length float64, fabric, taken int, yield func([][]float64)) {
	if fabric == len(lanes) {
		yield(lanes)
		return
	}
	if taken == q.takes[fabric] {
		q.cut(lanes, length, fabric+1, 0, yield)
		return
	}
	tried := map[float64]bool{}
	for i, l := range lanes[fabric] {
		if l+fit < length || tried[l] {
			continue
		}
		tried[l] = true
		left := make([][]float64, len(lanes))
		copy(left, lanes)
		left[fabric] = append([]float64{}, lanes[fabric]...)
		left[fabric][i] -= length
		q.cut(left, length, fabric, taken+1, yield)
	}
}

func (q *tiny) less(need, gives strip.Count) strip.Count {
	for lean := range need {
		for shape := range need[lean] {
			n := min(need[lean][shape], gives[lean][shape])
			need[lean][shape] -= n
			gives[lean][shape] -= n
		}
	}
	if q.pooled {
		for lean := range need {
			for shape := 1; shape < 3; shape++ {
				need[lean][shape] -= min(need[lean][shape], gives[1-lean][shape])
			}
		}
	}
	return need
}

// Law: for quilts and scraps so small that everything can be tried, the bound
// is never above the fewest strip sets and the plan never below; where they
// meet, that is the fewest; and what is proven impossible is.
func TestTinyScrapBins(t *testing.T) {
	closed := 0
	law := func(t *rapid.T) {
		layout, err := quilt.NewLayout(outside.DrawRepeat(t, 2))
		if err != nil {
			t.Fatal(err)
		}
		spec := quilt.Spec{
			Angle: geometry.Angle(rapid.SampledFrom([]float64{60, 60, 45}).Draw(t, "angle")), Seam: 0.25, UsableWidth: 40,
			Layout:  layout,
			Columns: rapid.IntRange(1, 2).Draw(t, "columns"), Rows: rapid.IntRange(1, 3).Draw(t, "rows"),
			Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{}}}, {Key: "b", Colours: []quilt.Colour{{}}}},
		}
		q := &tiny{pooled: spec.Angle == 60}
		fabrics := rapid.SampledFrom([]string{"a", "ab", "ab", "aa"}).Draw(t, "fabrics")
		for _, f := range fabrics {
			spec.Strips = append(spec.Strips, quilt.Strip{Cut: 2, Fabric: string(f)})
		}
		p, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		var lanes [][]float64
		var in []scraps.Scrap
		for i, key := range []string{"a", "b"} {
			n := strings.Count(fabrics, key)
			if n == 0 {
				break
			}
			q.takes = append(q.takes, n)
			var of []float64
			for range rapid.IntRange(1, 4).Draw(t, "scraps") {
				l := p.Set.CutSide() * rapid.Float64Range(0.8, 4.5).Draw(t, "length over side")
				l = math.Round(4*l) / 4
				of = append(of, l)
				in = append(in, scraps.Scrap{Fabric: key, Width: 2, Length: l, Count: 1})
			}
			lanes = append(lanes[:i], of)
		}
		longest := 0.0
		for _, of := range lanes {
			for _, l := range of {
				longest = max(longest, l)
			}
		}
		for _, word := range words(p.Set, longest) {
			for _, lean := range geometry.Leans {
				row, err := strip.NewRow(p.Set, lean, word)
				if err != nil {
					t.Fatal(err)
				}
				one := tinyRow{length: row.Length}
				for _, piece := range row.Pieces {
					one.gives[piece.Lean][piece.Shape]++
				}
				q.rows = append(q.rows, one)
			}
		}
		want := q.fewest(lanes, p.Need, 5)
		if want == -2 {
			return // too many to try
		}
		out, err := scraps.New(p, in, false)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, in, out)
		if !out.Enough {
			if want >= 0 && out.Proven {
				t.Fatalf("proven impossible, and %d strip sets do", want)
			}
			if want >= 0 {
				t.Fatalf("not enough, and %d strip sets do", want)
			}
			return
		}
		if want >= 0 && (out.Bound.Sets > want || len(out.Sets) < want) || want < 0 && len(out.Sets) <= 5 {
			t.Fatalf("%d strip sets, bound %d; trying everything finds %d", len(out.Sets), out.Bound.Sets, want)
		}
		if out.Bound.Sets == len(out.Sets) {
			closed++
		}
		if want >= 0 && len(out.Sets) != want {
			t.Fatalf("%d strip sets, bound %d; trying everything finds %d", len(out.Sets), out.Bound.Sets, want)
		}
	}
	for range 5 {
		if rapid.Check(t, law); closed > 0 {
			return
		}
	}
	t.Error("none was closed")
}

// words lists rows of cut lines that fit, letter by letter: the shortest for
// each number of diamonds, lowers and uppers.
func words(set strip.Set, length float64) []string {
	best := map[[3]int]strip.Row{}
	level := []string{""}
	for len(level) > 0 {
		var next []string
		for _, w := range level {
			for _, c := range []string{"D", "L", "U"} {
				row, err := strip.NewRow(set, geometry.Right, w+c)
				if err != nil || row.Length > length+fit {
					continue
				}
				next = append(next, w+c)
				d, l, u := row.Count()
				k := [3]int{d, l, u}
				if before, ok := best[k]; !ok || row.Length < before.Length {
					best[k] = row
				}
			}
		}
		level = next
	}
	var out []string
	for _, row := range best {
		out = append(out, row.Word)
	}
	slices.Sort(out)
	return out
}
