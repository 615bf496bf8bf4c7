// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"math"
	"slices"
	"testing"

	"lozenge/export/frames"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// Each piece of a row is cut on one frame, from left to right; what is said
// to free it and to blunt its tips are sides of its outline.
func TestFramesNameTheirPieces(t *testing.T) {
	m, _ := home.calibrate(t)
	for name, change := range map[string]func(*quilt.Spec){
		"usual":     nil,
		"face down": func(s *quilt.Spec) { s.Face = geometry.FaceDown },
		"mixed":     func(s *quilt.Spec) { s.MixLeans = true; s.Strips[0].Cut = 2 },
	} {
		t.Run(name, func(t *testing.T) {
			p := planOf(t, change)
			all, err := frames.StripSets(p, m)
			if err != nil {
				t.Fatal(err)
			}
			alike := p.Alike()
			next := 0
			for run, like := range alike {
				row := p.Row(like.Layout)
				cuts := map[int]strip.Cut{}
				for _, c := range row.Cuts() {
					cuts[c.Number] = c
				}
				var seen []int
				last := math.Inf(-1)
				for first := true; next < len(all) && all[next].Run == run; next++ {
					f := all[next]
					if f.First != first || f.Panel.Width() < 1 || f.Panel.Height() < 0.3 {
						t.Errorf("%s: first %v, panel %v", f.Name, f.First, f.Panel)
					}
					first = false
					for _, pc := range f.Pieces {
						box := row.Piece(pc.Index).Outline.Bounds()
						if box.Max.X < last {
							t.Errorf("%s: piece %d stands out of order", f.Name, pc.Index)
						}
						last = box.Max.X
						seen = append(seen, pc.Index)
						checkFreed(t, row, pc, cuts)
					}
				}
				slices.Sort(seen)
				if len(seen) != len(row.Pieces) || len(slices.Compact(seen)) != len(row.Pieces) {
					t.Errorf("run %d cuts pieces %v of %d", run, seen, len(row.Pieces))
				}
			}
			if next != len(all) {
				t.Errorf("%d of %d frames belong to a strip set", next, len(all))
			}
		})
	}
}

func checkFreed(t *testing.T, row strip.Row, pc frames.Piece, cuts map[int]strip.Cut) {
	t.Helper()
	piece := row.Piece(pc.Index)
	on := func(c strip.Cut, kinds ...geometry.EdgeKind) (x float64, ok bool) {
		for i, e := range piece.Edges {
			a, b := piece.Outline[i], piece.Outline[(i+1)%len(piece.Outline)]
			if slices.Contains(kinds, e.Kind) && offLine(a, c.Line) < 1e-9 && offLine(b, c.Line) < 1e-9 {
				return (a.X + b.X) / 2, true
			}
		}
		return 0, false
	}
	x, ok := on(cuts[pc.Frees], geometry.Crosscut, geometry.Base)
	if middle := piece.Outline.Bounds(); !ok || x < (middle.Min.X+middle.Max.X)/2 {
		t.Errorf("piece %d is not freed by cut %d", pc.Index, pc.Frees)
	}
	trims := 0
	for _, e := range piece.Edges {
		if e.Kind == geometry.TipTrim {
			trims++
		}
	}
	if trims != len(pc.Trims) {
		t.Errorf("piece %d has %d tips, %d are blunted", pc.Index, trims, len(pc.Trims))
	}
	for _, n := range pc.Trims {
		if _, ok := on(cuts[n], geometry.TipTrim); !ok {
			t.Errorf("cut %d blunts no tip of piece %d", n, pc.Index)
		}
	}
}
