// SPDX-License-Identifier: Apache-2.0

package nest_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/nest"
)

// cutGap returns the least distance between the lines on which the cuts of
// two outlines lie that run side by side, strip edges left out.
func cutGap(p, q geometry.Piece) float64 {
	least := math.Inf(1)
	side := func(p geometry.Piece, i int) bool {
		return p.Edges[i].Kind == geometry.Crosscut || p.Edges[i].Kind == geometry.Base
	}
	for i, a := range p.Outline {
		d := p.Outline[(i+1)%len(p.Outline)].Sub(a)
		d = d.Mul(1 / d.Len())
		for j, b := range q.Outline {
			e := q.Outline[(j+1)%len(q.Outline)].Sub(b)
			if side(p, i) && side(q, j) && math.Abs(d.Cross(e)) < 1e-9 {
				least = min(least, math.Abs(d.Cross(b.Sub(a))))
			}
		}
	}
	return least
}

// Law: a die's pieces stand the gap apart, neither more nor less.
func TestGangLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, bed := drawSet(t), drawBed(t)
		bed.Gap = rapid.Float64Range(0.05, 1).Draw(t, "gap")
		shape := rapid.SampledFrom(geometry.Shapes[:]).Draw(t, "shape")
		lean := rapid.SampledFrom(geometry.Leans[:]).Draw(t, "lean")
		n := rapid.IntRange(1, 12).Draw(t, "n")
		s, err := nest.Gang(set, shape, lean, n, bed)
		var few *nest.GangError
		if errors.As(err, &few) {
			if few.Most < 1 || few.Most >= n {
				t.Fatal(err)
			}
			n = few.Most
			s, err = nest.Gang(set, shape, lean, n, bed)
		}
		fits(t, err)
		checkSheet(t, s)
		pieces := s.Pieces()
		if len(pieces) != n || s.Gives()[lean.Other()] != [3]int{} {
			t.Fatalf("%d pieces, %v, want %d", len(pieces), s.Gives(), n)
		}
		row := 0
		for i, p := range pieces[1:] {
			if i+1 == row+len(s.Rows[0].Pieces) {
				row = i + 1
				continue
			}
			if d := cutGap(pieces[i], p); math.Abs(d-bed.Gap) > 1e-9 {
				t.Fatalf("pieces %d and %d stand %v apart, want %v", i, i+1, d, bed.Gap)
			}
		}
	})
}
