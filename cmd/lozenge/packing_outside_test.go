// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry/fabric"
)

// The fat quarters of random strips of up to three widths against GLPK, the
// GNU linear programming kit (glpsol), which is given every way of laying
// strips across 18 in as an integer program: one unknown a way. The first are
// seeds: fat quarters that fill up, and some that need one more than the
// fractions of such a program say.
func TestFatQuartersAgreeWithGLPK(t *testing.T) {
	outside.Tool(t, "glpsol")
	rnd := rand.New(rand.NewPCG(18, 21))
	dir := t.TempDir()
	type quarters struct{ widths, number []int } // in quarters of an inch
	cases := []quarters{
		{[]int{16, 20}, []int{48, 48}}, {[]int{14, 22}, []int{80, 80}}, {[]int{14, 22}, []int{110, 110}}, {[]int{14, 21}, []int{80, 80}},
		{[]int{36, 24, 14}, []int{7, 38, 39}}, {[]int{35, 24, 14}, []int{7, 38, 39}}, {[]int{10, 26}, []int{57, 57}},
	}
	for len(cases) < 60 {
		var c quarters
		for range 1 + rnd.IntN(3) {
			if w := 4 + rnd.IntN(40); !slices.Contains(c.widths, w) {
				c.widths, c.number = append(c.widths, w), append(c.number, 1+rnd.IntN(200))
			}
		}
		cases = append(cases, c)
	}
	proven := 0
	for _, c := range cases {
		var needs []fabric.Need
		for i, w := range c.widths {
			needs = append(needs, fabric.Need{Width: float64(w) / 4, Number: c.number[i]})
		}
		got, err := fabric.Strips(needs, 21, fabric.Bolt{Source: fabric.FatQuarters, Strip: 21})
		if err != nil {
			t.Fatal(err)
		}
		best, done, _ := glpk(t, dir, layingProgram(c.widths, c.number, 72), 5)
		if done {
			proven++
		}
		if n := int(got.Buy); n != got.Least || done && n != best || best > 0 && n > best {
			t.Errorf("%v of %v quarter inches: %d fat quarters, at least %d; GLPK finds %d (proven: %v)", c.number, c.widths, n, got.Least, best, done)
		}
	}
	t.Logf("GLPK proved %d of %d", proven, len(cases))
	if proven < 50 {
		t.Errorf("GLPK proved only %d", proven)
	}
}

// layingProgram writes the least number of pieces of the room that hold so
// many strips of each width, in the format that GLPK reads with --lp.
func layingProgram(widths, number []int, room int) string {
	var ways [][]int
	now := make([]int, len(widths))
	var lay func(i, left int)
	lay = func(i, left int) {
		if i == len(widths) {
			if slices.Max(now) > 0 {
				ways = append(ways, slices.Clone(now))
			}
			return
		}
		for now[i] = left / widths[i]; now[i] >= 0; now[i]-- {
			lay(i+1, left-now[i]*widths[i])
		}
		now[i] = 0
	}
	lay(0, room)
	var b strings.Builder
	term := func(n, w int) {
		if n > 0 {
			fmt.Fprintf(&b, " + %d x%d\n", n, w)
		}
	}
	b.WriteString("Minimize\n pieces:\n")
	for w := range ways {
		term(1, w)
	}
	b.WriteString("Subject To\n")
	for i, n := range number {
		fmt.Fprintf(&b, " c%d:\n", i)
		for w, way := range ways {
			term(way[i], w)
		}
		fmt.Fprintf(&b, " >= %d\n", n)
	}
	b.WriteString("General\n")
	for w := range ways {
		fmt.Fprintf(&b, " x%d\n", w)
	}
	return b.String() + "End\n"
}
