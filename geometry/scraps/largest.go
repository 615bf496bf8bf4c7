// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/strip"
)

const (
	// mostProofs bounds how many sizes are looked into closely, mostTryWork
	// the work of each.
	mostProofs  = 40
	mostTryWork = 2e8
)

// sizes lists the sizes of quilt that may be made with so many diamonds at
// most, the largest first: the one that covers most of the wanted quilt's width
// and height, whichever it covers less of; among equals the one with most
// diamonds. By the number of diamonds alone the largest would be one column
// wide, which takes the fewest edge triangles.
func (b *bin) sizes(most int) []Size {
	p := b.plan
	covers := func(s Size) float64 {
		height := float64(s.Rows+1) * p.RowStep
		width := (float64(s.Columns) - 0.5) * p.ColumnStep
		return min(width/p.Finished.Width, height/p.Finished.Height)
	}
	type sized struct {
		Size
		covers float64
	}
	var all []sized
	for rows := 1; rows <= most; rows++ {
		for columns := 1; columns*rows <= most; columns++ {
			s := Size{columns, rows}
			all = append(all, sized{s, covers(s)})
		}
	}
	slices.SortStableFunc(all, func(a, b sized) int {
		if d := a.covers - b.covers; d > geometry.Fit || d < -geometry.Fit {
			return cmp.Compare(b.covers, a.covers)
		}
		return cmp.Compare(b.Columns*b.Rows, a.Columns*a.Rows)
	})
	out := make([]Size, len(all))
	for i, s := range all {
		out[i] = s.Size
	}
	return out
}

// mostDiamonds returns a number of diamonds that can't be cut at all.
func (t *task) mostDiamonds() int {
	if len(t.lengths) == 0 {
		return 0
	}
	// The least length that a diamond takes in any row.
	least := math.Inf(1)
	for h, l := range t.rows {
		if h.diamonds > 0 {
			least = min(least, l.Length/float64(h.diamonds))
		}
	}
	most := math.Inf(1)
	for _, f := range t.families {
		sum := 0.0
		for _, l := range t.cloths[f.cloth].possible[f.class] {
			sum += math.Floor(unticks(l)/least + geometry.Fit)
		}
		most = min(most, sum/float64(f.takes))
	}
	return int(most)
}

// found is the largest quilt that was found.
type found struct {
	size   Size
	plan   *cutPlan
	sizes  []Size // that were looked at, and those after it
	proven bool   // that no larger one is possible
}

// mostRoof bounds the diamonds of the quilts that are looked at.
const mostRoof = 50_000

// largest finds the largest quilt; nil when there is none.
func (b *bin) largest() *found {
	s, roof := b.search()
	return s.among(b.sizes(roof))
}

// search returns a search among sizes, and a number of diamonds that no quilt
// from the scraps has more of.
func (b *bin) search() (*search, int) {
	s := &search{bin: b, needs: b.plan.Spec.Layout.Needs(), cloths: b.cutUp(balanced, math.MaxInt32), tried: [][]made{}}
	s.table = newTable(b.plan.Set, unticks(longestSet(s.cloths)), b.plan.Spec.EndTrim, b.plan.Spec.Stagger, held{math.MaxInt, math.MaxInt})
	return s, min(newTask(s.table, need{pooled: true}, s.cloths).mostDiamonds(), mostRoof)
}

// search looks for the first size that can be made.
type search struct {
	*bin
	needs  func(columns, rows int) strip.Count
	cloths []*cloth
	table  *table
	proofs []*proof
	tried  [][]made // ways to cut all lanes
	looked int
}

func (s *search) among(sizes []Size) *found {
	proven := true
	for i, size := range sizes {
		t, a := s.ask(size)
		if !a.found {
			proven = proven && a.never
			continue
		}
		// Now with all effort, for the fewest strip sets.
		count := s.count(size)
		plan := s.solve(count)
		if !plan.found {
			s.cutUp(balanced, math.MaxInt32)
			bound := plan.bound
			plan = s.spell(t, a, count)
			plan.bound = bound
		}
		return &found{size, plan, sizes[i:], proven}
	}
	return nil
}

// count returns what a quilt of that size takes, spares included.
func (s *search) count(size Size) strip.Count {
	return s.needs(size.Columns, size.Rows).With(s.plan.Spec.Spare)
}

// ask finds whether a size can be made.
func (s *search) ask(size Size) (*task, answer) {
	n := s.need(s.count(size))
	t := newTask(s.table, n, s.cloths)
	if slices.ContainsFunc(s.proofs, func(p *proof) bool { return p.rules(n) }) {
		return t, answer{never: true}
	}
	return t, s.try(t)
}

// spell spells an answer out; the scraps are cut as the search has them.
func (s *search) spell(t *task, a answer, count strip.Count) *cutPlan {
	plan := &cutPlan{found: true, strips: s.strips}
	plan.add(s.bin, t, t.finish(a), count, s.at)
	plan.sort()
	return plan
}

// try meets a need with lanes cut as they were for another one, or, for some
// needs, with lanes cut anew.
func (s *search) try(t *task) answer {
	a := answer{bound: 1, any: true, work: mostTryWork, tried: s.tried}
	for _, a.sets = range s.tried {
		if t.mayDo(a.sets) {
			if a.cuts, a.found = t.fulfil(classes(a.sets)); a.found {
				return a
			}
		}
	}
	if s.looked++; s.looked > mostProofs {
		return a
	}
	if t.greedy(&a); !a.found {
		t.relaxations(&a)
		s.tried = a.tried
	}
	if a.proof != nil {
		s.proofs = append(s.proofs, a.proof)
	}
	return a
}
