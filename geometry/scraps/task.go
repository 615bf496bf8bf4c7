// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

// need is what strip sets of the same cloths must give together.
type need struct {
	diamonds       [2]int // by lean
	lowers, uppers [2]int // by lean; all of them under the first when pooled
	pooled         bool   // an edge triangle serves either lean
	mix            bool   // a row with an edge triangle may hold both leans
}

// newNeed reads a count. Edge triangles serve both leans at 60 degrees, and
// where only one lean is needed.
func newNeed(c strip.Count, sixty, mix bool) need {
	n := need{mix: mix && sixty, pooled: sixty || c.Lean(geometry.Right) == 0 || c.Lean(geometry.Left) == 0}
	for _, lean := range geometry.Leans {
		at := lean
		if n.pooled {
			at = 0
		}
		n.diamonds[lean] = c.Diamonds(lean)
		n.lowers[at] += c.Lower(lean)
		n.uppers[at] += c.Upper(lean)
	}
	return n
}

func (n need) all() int { return n.diamonds[0] + n.diamonds[1] }

func (n need) none() bool { return n == need{pooled: n.pooled, mix: n.mix} }

// goal is how many edge triangles are needed of one lean, or of both.
type goal struct {
	total int
	// halves: only one half is needed, so that the larger half of each row
	// counts; else all edge triangles do, an odd one going where it is wanted.
	halves bool
}

func (n need) goal(i int) goal {
	if min(n.lowers[i], n.uppers[i]) == 0 {
		return goal{max(n.lowers[i], n.uppers[i]), true}
	}
	return goal{n.lowers[i] + n.uppers[i], false}
}

// goals lists the goals: one when edge triangles are pooled, else one a lean.
func (n need) goals() []goal {
	if n.pooled {
		return []goal{n.goal(0)}
	}
	return []goal{n.goal(0), n.goal(1)}
}

// of returns which goal a row of that lean serves.
func (n need) of(lean int) int {
	if n.pooled {
		return 0
	}
	return lean
}

// value returns what t edge triangles of one row count.
func (g goal) value(t int) int {
	if g.halves {
		return (t + 1) / 2
	}
	return max(t, 0)
}

// alone is what is needed of one lean.
func (n need) alone(lean int) need {
	out := need{pooled: true}
	out.diamonds[lean] = n.diamonds[lean]
	out.lowers[0], out.uppers[0] = n.lowers[lean], n.uppers[lean]
	return out
}

// lane is one strip cut along a scrap from end to end.
type lane struct {
	length int64
	class  int // of its width: it serves positions of that class and below
	id     int // of the caller
}

// cloth is what strips of one fabric can be cut from.
type cloth struct {
	lanes []lane // longest first
	takes []int  // for each class of width, narrowest first, how many strips of a strip set
	// possible holds for each class of width how many lanes at least that
	// wide there could be at most, however the scraps are cut; longest first.
	possible [][]int64
}

func (c *cloth) sort() {
	slices.SortStableFunc(c.lanes, func(a, b lane) int { return cmp.Compare(b.length, a.length) })
	for _, p := range c.possible {
		slices.SortFunc(p, func(a, b int64) int { return cmp.Compare(b, a) })
	}
}

// family is the strips of one cloth that are at least so wide: how many of
// them a strip set takes.
type family struct {
	cloth, class int
	takes        int
}

// task is the question which strip sets to cut for one need.
type task struct {
	*table
	need     need
	cloths   []*cloth
	families []family
}

func newTask(t *table, n need, cloths []*cloth) *task {
	out := &task{table: t, need: n, cloths: cloths}
	for i, c := range cloths {
		takes := 0
		for class := len(c.takes) - 1; class >= 0; class-- {
			if takes += c.takes[class]; c.takes[class] > 0 {
				out.families = append(out.families, family{i, class, takes})
			}
		}
	}
	return out
}

// usual is what an edge triangle is usually worth, in diamonds.
const usual = 0.56

// worth returns what the best row of a class is worth, in diamonds, when an
// edge triangle is worth so much of one.
func (t *task) worth(class int, g goal, triangle float64) float64 {
	best := 0.0
	for d, most := range t.most[class] {
		best = max(best, float64(d)+float64(triangle*float64(g.value(most))))
	}
	return best
}

// plain reports whether every cloth is asked for in one width.
func (t *task) plain() bool { return len(t.families) == len(t.cloths) }
