// SPDX-License-Identifier: Apache-2.0

package scraps_test

import (
	"math"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/scraps"
	"lozenge/geometry/strip"
)

const fit = 1e-9

// failer is what a check needs of a test.
type failer interface {
	Fatalf(format string, args ...any)
}

// check proves a plan without the planner's help: no more of a scrap than there
// is, no piece across a scrap's end, every row long enough and laid out by
// strip.NewRow, and all pieces of the quilt given.
func check(t failer, p *quilt.Plan, in []scraps.Scrap, out *scraps.Plan) {
	if out.Quilt == nil {
		if len(out.Sets) > 0 || out.Made != (scraps.Size{}) {
			t.Fatalf("strip sets without a quilt")
		}
		return
	}
	checkCutting(t, p, in, out)
	checkRows(t, p, out)
	checkPieces(t, p, in, out)
	total := 0.0
	for _, s := range out.Sets {
		total += s.Length
	}
	if math.Abs(total-out.Length) > 1e-6 {
		t.Fatalf("sewn length %v, sum %v", out.Length, total)
	}
	if out.Bound.Sets > len(out.Sets) || out.Bound.Sets < 1 || out.Bound.Length > out.Length+1e-6 {
		t.Fatalf("bound %+v of %d strip sets, %v", out.Bound, len(out.Sets), out.Length)
	}
}

// checkCutting cuts the scraps as the plan says.
func checkCutting(t failer, p *quilt.Plan, in []scraps.Scrap, out *scraps.Plan) {
	type name struct {
		label string
		strip int
	}
	scrapOf := map[name]int{}
	used, width := map[name]float64{}, map[name]float64{}
	for k, s := range out.Sets {
		if len(s.Strips) != len(p.Spec.Strips) {
			t.Fatalf("strip set %d has %d strips", k+1, len(s.Strips))
		}
		for i, c := range s.Strips {
			scrap := in[c.Scrap]
			if scrap.Fabric != p.Spec.Strips[i].Fabric {
				t.Fatalf("strip set %d: strip %d is %s, want %s", k+1, i+1, scrap.Fabric, p.Spec.Strips[i].Fabric)
			}
			n := name{out.Scraps[c.Scrap].Label(), c.Strip}
			if other, ok := scrapOf[n]; ok && other != c.Scrap {
				t.Fatalf("strip %v comes from two scraps", n)
			}
			scrapOf[n] = c.Scrap
			used[n] += c.Length
			if c.Length < s.Length-fit || c.Length < s.Sewn-fit || c.Whole && math.Abs(c.Length-scrap.Length) > fit {
				t.Fatalf("strip set %d, %v long and sewn %v, takes %+v of %v", k+1, s.Length, s.Sewn, c, scrap.Length)
			}
			width[n] = max(width[n], p.Spec.Strips[i].Cut)
			if used[n] > scrap.Length+fit {
				t.Fatalf("strip %v: %v cut from %v", n, used[n], scrap.Length)
			}
		}
	}
	// The strips of a scrap lie side by side in as many as there are of it:
	// the widest first, each where there is room.
	widths := make([][]float64, len(in))
	for n, w := range width {
		widths[scrapOf[n]] = append(widths[scrapOf[n]], w)
	}
	for i, ws := range widths {
		slices.Sort(ws)
		slices.Reverse(ws)
		left := make([]float64, in[i].Count)
		for c := range left {
			left[c] = in[i].Width + fit
		}
		if !sideBySide(ws, left) {
			t.Fatalf("scrap %d: strips %v wide from %d of %v", i+1, ws, in[i].Count, in[i].Width)
		}
	}
	// What was cut and what is left are all there was of each strip; strips
	// of which nothing was cut may be left, too.
	for _, l := range out.Left {
		n := name{out.Scraps[l.Scrap].Label(), l.Strip}
		if used[n]+l.Length > in[l.Scrap].Length+1e-6 || used[n] > 0 && used[n]+l.Length < in[l.Scrap].Length-1e-6 {
			t.Fatalf("strip %v: %v cut and %v left of %v", n, used[n], l.Length, in[l.Scrap].Length)
		}
		if l.Whole && used[n] > 0 {
			t.Fatalf("strip %v is said to be whole", n)
		}
	}
}

// sideBySide places strips across scraps, trying every scrap for each.
func sideBySide(widths, left []float64) bool {
	if len(widths) == 0 {
		return true
	}
	tried := map[float64]bool{}
	for c := range left {
		if left[c] >= widths[0] && !tried[left[c]] {
			tried[left[c]] = true
			left[c] -= widths[0]
			if sideBySide(widths[1:], left) {
				return true
			}
			left[c] += widths[0]
		}
	}
	return false
}

func checkRows(t failer, p *quilt.Plan, out *scraps.Plan) {
	for k, s := range out.Sets {
		row, err := strip.NewRow(p.Set, s.Lean, s.Word)
		if err != nil {
			t.Fatalf("strip set %d: %v", k+1, err)
		}
		needs := row.Length
		if s.Staggered {
			for _, piece := range row.Pieces {
				if piece.Shape != geometry.Diamond || !p.Spec.Stagger {
					t.Fatalf("strip set %d, %s, is staggered", k+1, s.Word)
				}
			}
			widest := 0.0
			for _, w := range p.Set.Cuts {
				widest = max(widest, w)
			}
			needs = float64(len(row.Pieces))*p.Set.CutSide() + widest/p.Set.Angle.Tan()
		}
		if needs+p.Spec.EndTrim > s.Length+fit {
			t.Fatalf("strip set %d, %s: %v needed, %v sewn", k+1, s.Word, needs+p.Spec.EndTrim, s.Length)
		}
		var has strip.Count
		for _, piece := range row.Pieces {
			has[piece.Lean][piece.Shape]++
		}
		if mixed := has[0][0] > 0 && has[1][0] > 0; mixed != s.Mixed || mixed && !p.Spec.MixLeans {
			t.Fatalf("strip set %d, %s: mixed %v", k+1, s.Word, s.Mixed)
		}
		for _, shape := range geometry.Shapes {
			for _, lean := range geometry.Leans {
				gives, most := s.Gives[lean][shape], has[lean][shape]
				if shape != geometry.Diamond && p.Spec.Angle == 60 {
					most += has[1-lean][shape] - s.Gives[1-lean][shape]
				}
				if gives > most {
					t.Fatalf("strip set %d, %s, gives %v", k+1, s.Word, s.Gives)
				}
			}
		}
	}
}

// checkPieces lays the quilt from the strip sets.
func checkPieces(t failer, p *quilt.Plan, in []scraps.Scrap, out *scraps.Plan) {
	q := out.Quilt
	if q.Columns != out.Made.Columns || q.Rows != out.Made.Rows || q.Spec.Layout != p.Spec.Layout {
		t.Fatalf("the quilt is %d by %d, said %+v", q.Columns, q.Rows, out.Made)
	}
	var sum, need strip.Count
	for _, s := range out.Sets {
		for lean := range s.Gives {
			for shape, n := range s.Gives[lean] {
				sum[lean][shape] += n
			}
		}
	}
	taken := make([]strip.Count, len(out.Sets))
	for _, pl := range q.Pieces {
		need[pl.Lean][pl.Shape]++
		taken[pl.StripSet][pl.Lean][pl.Shape]++
	}
	if sum != need.With(p.Spec.Spare) {
		t.Fatalf("strip sets give %v, need %v", sum, need.With(p.Spec.Spare))
	}
	for k, n := range taken {
		for lean := range n {
			for shape := range n[lean] {
				if n[lean][shape] > out.Sets[k].Gives[lean][shape] {
					t.Fatalf("%v pieces laid from strip set %d, which gives %v", n, k+1, out.Sets[k].Gives)
				}
			}
		}
	}
	if p.Spec.ColourOrder != quilt.Bands {
		return
	}
	// Every ribbon is one cloth; a single strip touches those of all bands.
	for i := range p.Spec.Strips {
		var patches []geometry.Polygon
		var cloths []string
		for _, pl := range q.Pieces {
			patches = append(patches, q.Standing(pl).Patches[i].Move(q.Centre(pl)))
			c := in[out.Sets[pl.StripSet].Strips[i].Scrap]
			cloth := "named " + c.Name
			if c.Colour != nil {
				cloth = c.Colour.String()
			}
			cloths = append(cloths, cloth)
		}
		for a := range patches {
			for b := range a {
				if cloths[a] != cloths[b] && (len(p.Spec.Strips) > 1 && touchAlong(patches[a], patches[b]) || q.Band(q.Pieces[a], i) == q.Band(q.Pieces[b], i)) {
					t.Fatalf("strip %d of %+v and %+v is one band, %s and %s", i, q.Pieces[a], q.Pieces[b], cloths[a], cloths[b])
				}
			}
		}
	}
}

// touchAlong reports whether the outlines of two patches touch along a stretch of
// edge.
func touchAlong(a, b geometry.Polygon) bool {
	const near = 1e-6
	for _, s := range a.Sides() {
		for _, t := range b.Sides() {
			along := s.B.Sub(s.A)
			long := along.Len()
			if long < near {
				continue
			}
			along = along.Mul(1 / long)
			p, q := t.A.Sub(s.A), t.B.Sub(s.A)
			if math.Abs(along.Cross(p)) < near && math.Abs(along.Cross(q)) < near &&
				min(long, max(along.Dot(p), along.Dot(q)))-max(0, min(along.Dot(p), along.Dot(q))) > near {
				return true
			}
		}
	}
	return false
}
