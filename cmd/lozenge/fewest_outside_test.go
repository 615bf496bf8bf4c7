// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// The fewest strip sets of 100 random quilts against GLPK, the GNU linear
// programming kit (glpsol), which is given every row that fits as an integer
// program of its own making: one unknown a row, no bounds of ours. A program
// that GLPK can't finish within two seconds is not counted among the 100, but
// its best answer must not beat ours. Of those that it proves 20 answers are
// smaller because leans may be mixed, and 20 because strips may be staggered.
func TestFewestAgreesWithGLPK(t *testing.T) {
	t.Parallel()
	glpsol := outside.Tool(t, "glpsol")
	rnd := rand.New(rand.NewPCG(60, 100))
	lp, answer := filepath.Join(t.TempDir(), "quilt.lp"), filepath.Join(t.TempDir(), "answer.txt")
	objective := regexp.MustCompile(`Objective: +\S+ = (\d+)`)
	proven, open, mixed, staggered := 0, 0, 0, 0
	for tries := 0; (proven < 100 || min(mixed, staggered) < 20) && open < 50 && tries < 2000; tries++ {
		cuts := make([]float64, 1+rnd.IntN(3))
		for j := range cuts {
			cuts[j] = 2 + 0.25*float64(rnd.IntN(9))
		}
		set, err := strip.New(cuts, 0.25, 60, geometry.Matched, 0)
		if err != nil {
			t.Fatal(err)
		}
		terms := strip.Terms{Length: 20 + float64(rnd.IntN(25)), MixLeans: rnd.IntN(2) == 0, Stagger: rnd.IntN(2) == 0}
		columns, rows := 2+rnd.IntN(8), 2+rnd.IntN(10)
		// Zigzag, chevron and one-way need these kinds of edge triangle.
		need := strip.Count{{columns * ((rows + 1) / 2), 0, 0}, {columns * (rows / 2), 0, 0}}
		switch rnd.IntN(3) {
		case 0:
			need[0][1], need[1][2] = columns, columns
		case 1:
			need[1][1], need[0][1] = columns, columns
		case 2:
			need = strip.Count{{columns * rows, columns, columns}, {}}
		}
		f := set.Fewest(need, terms)
		if !f.OK() {
			continue
		}
		mixes := len(set.Fewest(need, strip.Terms{Length: terms.Length, Stagger: terms.Stagger}).Layouts) > len(f.Layouts)
		staggers := len(set.Fewest(need, strip.Terms{Length: terms.Length, MixLeans: terms.MixLeans}).Layouts) > len(f.Layouts)
		if proven >= 100 && !mixes && !staggers {
			continue
		}
		if err := os.WriteFile(lp, []byte(integerProgram(set, need, terms)), 0o666); err != nil {
			t.Fatal(err)
		}
		outside.Run(t, glpsol, "--lp", lp, "--cuts", "--tmlim", "2", "-o", answer)
		data, err := os.ReadFile(answer)
		if err != nil {
			t.Fatal(err)
		}
		best := math.MaxInt
		if m := objective.FindSubmatch(data); m != nil && (strings.Contains(string(data), "INTEGER OPTIMAL") || strings.Contains(string(data), "INTEGER NON-OPTIMAL")) {
			best, _ = strconv.Atoi(string(m[1]))
		}
		done := strings.Contains(string(data), "INTEGER OPTIMAL")
		if len(f.Layouts) > best || done && len(f.Layouts) != best {
			t.Errorf("%d strip sets, GLPK finds %d (proven: %v): %v, %v, %+v", len(f.Layouts), best, done, cuts, need, terms)
		}
		if !done {
			open++
			continue
		}
		proven++
		if mixes {
			mixed++
		}
		if staggers {
			staggered++
		}
	}
	t.Logf("%d proven by GLPK, %d of them smaller by mixing leans and %d by staggering; %d that it could not finish", proven, mixed, staggered, open)
	if proven < 100 || min(mixed, staggered) < 20 {
		t.Errorf("GLPK proved too few")
	}
}

// integerProgram writes the covering program over all rows of cut lines that
// fit, in the format that GLPK reads with --lp. Rows are found here by laying
// them out, for every number of diamonds of either lean and of halves.
func integerProgram(set strip.Set, need strip.Count, terms strip.Terms) string {
	type row struct{ right, left, lowers, uppers int }
	fits := func(lean geometry.Lean, word string) bool {
		r, err := strip.NewRow(set, lean, word)
		return err == nil && r.Length <= terms.Length+1e-9
	}
	var rows []row
	for t := 0; ; t++ {
		any := false
		for _, lowersFirst := range []bool{false, true} {
			var b strings.Builder
			for k := range t {
				if (k%2 == 0) == lowersFirst {
					b.WriteByte('L')
				} else {
					b.WriteByte('U')
				}
			}
			word := b.String()
			most := -1
			for d := 0; ; d++ {
				// All diamonds in the first gap between crosscuts.
				w := strings.Repeat("D", d) + word
				if i := strings.IndexByte(word, 'U'); i == 0 {
					w = "U" + strings.Repeat("D", d) + word[1:]
				}
				if w != "" && !fits(geometry.Right, w) {
					break
				}
				most = d
			}
			if t == 0 && terms.Stagger && len(set.Cuts) > 1 {
				// d diamonds of strips sewn staggered: their ends lean by the
				// cut width over tan(60).
				rest := terms.Length + 1e-9 - slices.Max(set.Cuts)/math.Sqrt(3)
				most = max(most, int(rest/set.CutSide()))
			}
			if most < 0 || t+most == 0 {
				continue
			}
			any = true
			l, u := strings.Count(word, "L"), strings.Count(word, "U")
			if t > 0 && terms.MixLeans {
				for left := 0; left <= most; left++ {
					rows = append(rows, row{most - left, left, l, u})
				}
				continue
			}
			rows = append(rows, row{most, 0, l, u}, row{0, most, l, u})
		}
		if !any && t > 0 {
			break
		}
	}
	var b strings.Builder
	b.WriteString("Minimize\n sets:")
	for i := range rows {
		fmt.Fprintf(&b, " + x%d", i)
	}
	b.WriteString("\nSubject To\n")
	for name, c := range map[string]struct {
		gives func(row) int
		need  int
	}{
		"right":  {func(r row) int { return r.right }, need[0][0]},
		"left":   {func(r row) int { return r.left }, need[1][0]},
		"lowers": {func(r row) int { return r.lowers }, need[0][1] + need[1][1]},
		"uppers": {func(r row) int { return r.uppers }, need[0][2] + need[1][2]},
	} {
		if c.need == 0 {
			continue
		}
		fmt.Fprintf(&b, " %s:", name)
		for i, r := range rows {
			if n := c.gives(r); n > 0 {
				fmt.Fprintf(&b, " + %d x%d", n, i)
			}
		}
		fmt.Fprintf(&b, " >= %d\n", c.need)
	}
	b.WriteString("General\n")
	for i := range rows {
		fmt.Fprintf(&b, " x%d\n", i)
	}
	return b.String() + "End\n"
}
