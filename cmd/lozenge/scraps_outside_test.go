// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
	"lozenge/geometry/strip"
)

// scrapsModel writes the question as an integer program in the format that GLPK
// reads with --lp. Nothing in it comes from the solver: rows of cut lines are
// found by laying them out with strip.NewRow.
//
//	x(row, lean)     strip sets cut as that row, of that lean; whole numbers
//	y(lane, length)  pieces of that length cut from that lane; whole numbers
//
//	least            the sum of x
//	right, left      diamonds of a row times x(row, that lean) >= diamonds needed
//	lowers, uppers   likewise, both leans together (60 degrees)
//	link(f, l)       for each fabric f and each length l of a row: the pieces of
//	                 length l, from all lanes of f, >= strip sets of length l
//	lane(i)          the lengths of the pieces from lane i <= its length
//
// A lane is one strip cut along a scrap: a scrap of twice the width is two.
func scrapsModel(set strip.Set, lanes [][]float64, need strip.Count) string {
	longest := -1.0
	for _, l := range lanes {
		if m := slices.Max(l); longest < 0 || m < longest {
			longest = m
		}
	}
	type row struct {
		diamonds, lowers, uppers int
		length                   float64
	}
	var rows []row
	for t := 0; ; t++ {
		any := false
		for _, first := range []byte{'L', 'U'} {
			word := strings.Repeat("LU", t+1)[:t]
			if first == 'U' {
				word = strings.Repeat("UL", t+1)[:t]
			}
			for d := 0; ; d++ {
				if d+t == 0 {
					continue
				}
				w := strings.Repeat("D", d) + word
				if first == 'U' && t > 0 {
					w = "U" + strings.Repeat("D", d) + word[1:]
				}
				r, err := strip.NewRow(set, 0, w)
				if err != nil || r.Length > longest+1e-9 {
					break
				}
				any = true
				rows = append(rows, row{d, strings.Count(w, "L"), strings.Count(w, "U"), r.Length})
			}
		}
		if !any && t > 0 {
			break
		}
	}
	var lengths []float64
	for _, r := range rows {
		lengths = append(lengths, r.length)
	}
	slices.Sort(lengths)
	lengths = slices.CompactFunc(lengths, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
	at := func(l float64) int {
		for i, v := range lengths {
			if v > l-1e-9 {
				return i
			}
		}
		return -1
	}
	var b strings.Builder
	b.WriteString("Minimize\n sets:")
	for i := range rows {
		fmt.Fprintf(&b, " + xr%d + xl%d", i, i)
	}
	b.WriteString("\nSubject To\n")
	sum := func(name string, needed int, term func(r row, lean string) int) {
		if needed == 0 {
			return
		}
		fmt.Fprintf(&b, " %s:", name)
		for i, r := range rows {
			for _, lean := range []string{"r", "l"} {
				if v := term(r, lean); v > 0 {
					fmt.Fprintf(&b, " + %d x%s%d", v, lean, i)
				}
			}
		}
		fmt.Fprintf(&b, " >= %d\n", needed)
	}
	for lean, name := range []string{"right", "left"} {
		sum(name, need[lean][geometry.Diamond], func(r row, l string) int {
			if l == name[:1] {
				return r.diamonds
			}
			return 0
		})
	}
	sum("lowers", need.Lower(0)+need.Lower(1), func(r row, _ string) int { return r.lowers })
	sum("uppers", need.Upper(0)+need.Upper(1), func(r row, _ string) int { return r.uppers })
	var whole []string
	for f := range lanes {
		for k, length := range lengths {
			fmt.Fprintf(&b, " link%d_%d:", f, k)
			for i, l := range lanes[f] {
				if length <= l+1e-9 {
					fmt.Fprintf(&b, " + y%d_%d_%d", f, i, k)
					whole = append(whole, fmt.Sprintf("y%d_%d_%d", f, i, k))
				}
			}
			for i, r := range rows {
				if at(r.length) == k {
					fmt.Fprintf(&b, " - xr%d - xl%d", i, i)
				}
			}
			b.WriteString(" >= 0\n")
		}
		for i, l := range lanes[f] {
			if lengths[0] > l+1e-9 {
				continue
			}
			fmt.Fprintf(&b, " lane%d_%d:", f, i)
			for k, length := range lengths {
				if length <= l+1e-9 {
					fmt.Fprintf(&b, " + %.12g y%d_%d_%d", length, f, i, k)
				}
			}
			fmt.Fprintf(&b, " <= %.12g\n", l+1e-9)
		}
	}
	for i := range rows {
		whole = append(whole, fmt.Sprintf("xr%d", i), fmt.Sprintf("xl%d", i))
	}
	return b.String() + "General\n " + strings.Join(whole, "\n ") + "\nEnd\n"
}

// scrapsCase is a quilt of two strips at 60 degrees and 10 to 40 scraps that
// suffice for it.
type scrapsCase struct {
	plan   *quilt.Plan
	scraps []scraps.Scrap
	model  string
	sets   int
	proven bool // by the exact method
}

// scrapsCases draws quilts whose pieces take a third to nine tenths of the
// scraps, and keeps those for which the scraps suffice.
func scrapsCases(t testing.TB, number int) []scrapsCase {
	t.Helper()
	rnd := rand.New(rand.NewPCG(60, 40))
	var out []scrapsCase
	for len(out) < number {
		cut := 2 + 0.25*float64(rnd.IntN(5))
		var bin []scraps.Scrap
		lanes := make([][]float64, 2)
		var length [2]float64
		for i := range 10 + rnd.IntN(31) {
			s := scraps.Scrap{
				Fabric: []string{"a", "b"}[i%2],
				Length: 8 + 0.25*float64(rnd.IntN(4*36+1)),
				Width:  cut * (1 + 1.5*rnd.Float64()),
				Count:  1,
			}
			for range int(s.Width / cut) {
				lanes[i%2] = append(lanes[i%2], s.Length)
				length[i%2] += s.Length
			}
			bin = append(bin, s)
		}
		spec := quilt.Spec{
			Angle: 60, Seam: 0.25, UsableWidth: 44,
			Layout:  []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.Zigzag, quilt.OneWay}[rnd.IntN(4)],
			Columns: 3 + rnd.IntN(6),
			Strips:  []quilt.Strip{{Cut: cut, Fabric: "a"}, {Cut: cut, Fabric: "b"}},
			Fabrics: []quilt.Fabric{{Key: "a", Colours: []quilt.Colour{{}}}, {Key: "b", Colours: []quilt.Colour{{}}}},
		}
		want := min(length[0], length[1]) * (0.33 + 0.57*rnd.Float64())
		side := (2*cut - 0.5) / geometry.Angle(60).Sin()
		spec.Rows = max(2, int(want/(float64(spec.Columns)*side))-1)
		p, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		made, err := scraps.New(p, bin, false)
		if err != nil {
			t.Fatal(err)
		}
		if made.Enough {
			out = append(out, scrapsCase{p, bin, scrapsModel(p.Set, lanes, p.Need), len(made.Sets), len(made.Sets) == made.Bound.Sets})
		}
	}
	return out
}

var glpkObjective = regexp.MustCompile(`Objective: +\S+ = (\d+)`)

// glpk has GLPK, the GNU linear programming kit (glpsol), solve a model within
// so many seconds, with its cuts, which help it here. best is 0 when it found
// nothing. took is the time of the process.
func glpk(t testing.TB, dir, model string, seconds int) (best int, proven bool, took time.Duration) {
	t.Helper()
	tool := outside.Tool(t, "glpsol")
	lp, answer := filepath.Join(dir, "bin.lp"), filepath.Join(dir, "answer.txt")
	if err := os.WriteFile(lp, []byte(model), 0o666); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(tool, "--lp", lp, "--cuts", "--tmlim", strconv.Itoa(seconds), "-o", answer)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	took = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	data, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	if m := glpkObjective.FindStringSubmatch(text); m != nil && (strings.Contains(text, "INTEGER OPTIMAL") || strings.Contains(text, "INTEGER NON-OPTIMAL")) {
		best, _ = strconv.Atoi(m[1])
	}
	return best, strings.Contains(text, "INTEGER OPTIMAL"), took
}

// The number of strip sets of random scrap bins (50, when all is tried) of 10 to
// 40 scraps against GLPK: equal in every one that the exact method closes, and never more than
// 2 % above. Where GLPK can't finish, its best answer must not beat ours by
// more than that.
func TestScrapsAgreeWithGLPK(t *testing.T) {
	t.Parallel()
	outside.Tool(t, "glpsol")
	closed, finished := 0, 0
	dir, bins := t.TempDir(), outside.Of(6, 50)
	for i, c := range scrapsCases(t, bins) {
		best, proven, _ := glpk(t, dir, c.model, 10)
		if c.proven {
			closed++
		}
		if proven {
			finished++
		}
		switch {
		case best == 0:
			t.Logf("case %d: GLPK finds nothing in time, we find %d", i, c.sets)
		case c.proven && proven && c.sets != best, c.proven && c.sets > best, proven && c.sets < best:
			t.Errorf("case %d: %d strip sets (closed: %v), GLPK finds %d (proven: %v)", i, c.sets, c.proven, best, proven)
		case float64(c.sets) > 1.02*float64(best):
			t.Errorf("case %d: %d strip sets, GLPK finds %d", i, c.sets, best)
		}
	}
	t.Logf("of %d, the exact method closed %d, and GLPK finished %d", bins, closed, finished)
	if finished < bins*4/5 {
		t.Errorf("GLPK finished only %d", finished)
	}
}

// How many times as long GLPK's process takes as we do, in the median of 50
// scrap bins, less what the process takes for a trivial model; processor time
// in both, GLPK's bounded by 10 seconds. We also find the least sewn length and
// lay the quilt; GLPK only counts strip sets.
func BenchmarkScrapsAgainstGLPK(b *testing.B) {
	outside.Tool(b, "glpsol")
	dir := b.TempDir()
	cases := scrapsCases(b, 50)
	for b.Loop() {
		var ratios []float64
		start := time.Hour
		for range 5 {
			_, _, took := glpk(b, dir, "Minimize\n x: x\nSubject To\n c: x >= 1\nGeneral\n x\nEnd\n", 10)
			start = min(start, took)
		}
		var ours []time.Duration
		for _, c := range cases {
			_, _, took := glpk(b, dir, c.model, 10)
			mine := time.Hour
			for range 5 {
				now := time.Now()
				if _, err := scraps.New(c.plan, c.scraps, false); err != nil {
					b.Fatal(err)
				}
				mine = min(mine, time.Since(now))
			}
			ours = append(ours, mine)
			ratios = append(ratios, float64(took-start)/float64(mine))
		}
		slices.Sort(ratios)
		slices.Sort(ours)
		b.ReportMetric(ratios[len(ratios)/2], "times-GLPK-median")
		b.ReportMetric(ratios[len(ratios)/10], "times-GLPK-worst-tenth")
		b.ReportMetric(float64(ours[len(ours)/2].Microseconds()), "our-median-us")
		b.ReportMetric(float64(ours[len(ours)-1].Microseconds()), "our-longest-us")
	}
}
