// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

// Proportions of the largest quilt: its height over its width lies within this
// factor of the wanted quilt's, either way. Without that the answer would be
// one column of diamonds, which needs the fewest edge triangles.
const proportion = 4.0 / 3

const (
	// mostProofs bounds how many sizes are looked into closely, mostTryWork
	// the work of each.
	mostProofs  = 40
	mostTryWork = 2e8
)

// sizes lists the sizes of quilt that may be made, the most diamonds first,
// and among equals those nearest to the wanted proportions; up to most
// diamonds.
func (b *bin) sizes(most int, anyShape bool) []Size {
	p := b.plan
	shape := func(s Size) float64 {
		height := float64(s.Rows+1) * p.RowStep
		width := (float64(s.Columns) - 0.5) * p.ColumnStep
		wanted := p.Finished.Height / p.Finished.Width
		r := height / width / wanted
		return max(r, 1/r)
	}
	var out []Size
	for rows := 1; rows <= most; rows++ {
		for columns := 1; columns*rows <= most; columns++ {
			s := Size{columns, rows}
			if in := geometry.Fits(shape(s), proportion); in != anyShape {
				out = append(out, s)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Size) int {
		return cmp.Or(cmp.Compare(b.Columns*b.Rows, a.Columns*a.Rows), cmp.Compare(shape(a), shape(b)))
	})
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

// largest finds the largest quilt of about the wanted proportions, and returns
// its size, its strip sets and a number of diamonds that no such quilt can
// have more of.
func (b *bin) largest() (Size, *cutPlan, int) {
	cloths := b.cutUp(balanced, math.MaxInt32)
	longest := unticks(longestSet(cloths))
	spec := b.plan.Spec
	full := newTable(b.plan.Set, longest, spec.EndTrim, spec.Stagger, held{math.MaxInt, math.MaxInt})
	roof := newTask(full, need{pooled: true}, cloths).mostDiamonds()
	// Edge triangles never bound the rows of a table by more than is needed:
	// twice as many as columns, twice over.
	for _, anyShape := range []bool{false, true} {
		s := &search{bin: b, cloths: cloths, table: full, proofs: nil}
		if size, plan, most := s.among(b.sizes(min(roof, 400_000), anyShape)); plan != nil {
			return size, plan, most
		}
	}
	return Size{}, nil, 0
}

// search looks for the first size that can be made.
type search struct {
	*bin
	cloths []*cloth
	table  *table
	proofs []*proof
	tried  [][]made
	looked int
}

func (s *search) among(sizes []Size) (Size, *cutPlan, int) {
	spec := s.plan.Spec
	most := 0 // of a size that is not ruled out
	for _, size := range sizes {
		count := spec.Setting.Need(size.Columns, size.Rows).With(spec.Spare)
		n := newNeed(count, spec.Angle == 60, spec.MixLeans)
		if slices.ContainsFunc(s.proofs, func(p *proof) bool { return p.rules(n) }) {
			continue
		}
		t := newTask(s.table, n, s.cloths)
		a := answer{bound: 1}
		for _, sets := range s.tried {
			if t.mayDo(sets) {
				if a.cuts, a.found = t.fulfil(classes(sets)); a.found {
					a.sets = sets
					break
				}
			}
		}
		if !a.found {
			if s.looked++; s.looked > mostProofs {
				most = max(most, size.Columns*size.Rows)
				continue
			}
			a.any, a.work = true, mostTryWork
			if t.greedy(&a); !a.found {
				a.tried = s.tried[:len(s.tried):len(s.tried)]
				if a.tried == nil {
					a.tried = [][]made{}
				}
				t.relaxations(&a)
				s.tried = a.tried
			}
		}
		if a.never {
			if a.proof != nil {
				s.proofs = append(s.proofs, a.proof)
			}
			continue
		}
		most = max(most, size.Columns*size.Rows)
		if !a.found {
			continue
		}
		// Now with all effort, for the fewest strip sets.
		plan := s.solve(count)
		if !plan.found {
			s.strips = nil
			s.cutUp(balanced, math.MaxInt32)
			plan = &cutPlan{found: true, strips: s.strips, bound: Bound{Sets: plan.bound.Sets, Length: plan.bound.Length}}
			plan.add(s.bin, t, t.finish(a), count, s.at)
			plan.sort()
		}
		return size, plan, most
	}
	return Size{}, nil, 0
}
