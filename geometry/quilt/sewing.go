// SPDX-License-Identifier: Apache-2.0

package quilt

import "lozenge/geometry"

// Check is what a part of the quilt must measure before the next seam, raw
// edge to raw edge, square to its seams.
type Check struct {
	Pieces        int // joined in a row; 0: the whole top
	Width, Length float64
}

// Checks returns what n diamonds joined in a diagonal row must measure for
// n = 1, 2, 3 and a whole row's worth, and last the whole top. A diamond is as
// wide between either pair of sides, so n of them measure n finished widths
// and two seam allowances, and n diagonal rows joined measure the same across.
func (p *Plan) Checks() []Check {
	h, a := p.Set.FinishedWidth(), p.Set.Seam
	var out []Check
	for _, n := range []int{1, 2, 3, p.Rows} {
		if len(out) > 0 && n <= out[len(out)-1].Pieces {
			continue
		}
		out = append(out, Check{n, p.Set.Width, float64(float64(n)*h) + 2*a})
	}
	return append(out, Check{0, p.Outer.Width + 2*a, p.Outer.Height + 2*a})
}

// OffBy returns what the whole top would measure, as the last of
// [Plan.Checks] has it, if every finished piece came out that much too narrow
// or, below 0, too wide.
func (p *Plan) OffBy(error float64) Size {
	off, a := error/p.Set.FinishedWidth(), p.Set.Seam
	return Size{p.Outer.Width - float64(p.Finished.Width*off) + 2*a, p.Outer.Height - float64(p.Finished.Height*off) + 2*a}
}

// ExactCuts returns the cut widths of the strips, lowest first, that would
// make the quilt's width, or its height, exactly the size to cover, with the
// columns and rows that were chosen. Each strip's finished width changes in
// proportion. It returns nil when no size was asked for.
func (p *Plan) ExactCuts() (forWidth, forHeight []float64) {
	if p.Choice == nil {
		return nil, nil
	}
	scaled := func(k float64) []float64 {
		var cuts []float64
		for _, st := range p.Spec.Strips {
			finished := st.Cut - 2*p.Spec.Seam
			cuts = append(cuts, float64(finished*k)+2*p.Spec.Seam)
		}
		return cuts
	}
	t, over := p.Choice.Target, p.Choice.Over
	return scaled(t.Width / over.Width), scaled(t.Height / over.Height)
}

// Trial is a seam test: what strips sewn together must measure.
type Trial struct {
	Cuts  []float64
	Total float64 // raw edge to raw edge
}

// Trial returns what the pattern's own strips must measure when sewn and
// pressed, for a trial before the first strip set; one strip is doubled.
func (p *Plan) Trial() Trial {
	var t Trial
	for _, st := range p.Spec.Strips {
		t.Cuts = append(t.Cuts, st.Cut)
	}
	if len(t.Cuts) == 1 {
		t.Cuts = append(t.Cuts, t.Cuts[0])
	}
	for _, c := range t.Cuts {
		t.Total += c
	}
	t.Total -= float64(2 * p.Spec.Seam * float64(len(t.Cuts)-1))
	return t
}

// Stable reports whether an angle to the strips lies on the grain.
func Stable(grain float64) bool { return !(geometry.Edge{Grain: grain}).Bias() }
