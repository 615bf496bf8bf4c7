// SPDX-License-Identifier: Apache-2.0

package quilt_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

func init() { outside.FewCases(20) }

// drawSpec draws a pattern that can be planned: any angle, one to four
// strips, small quilts.
func drawSpec(t *rapid.T) quilt.Spec {
	seam := rapid.Float64Range(0.05, 1).Draw(t, "seam")
	n := rapid.IntRange(1, 4).Draw(t, "strips")
	cuts := make([]float64, n)
	for i := range cuts {
		cuts[i] = seam * rapid.Float64Range(2.2, 30).Draw(t, "cut over seam")
	}
	angle := rapid.OneOf(
		rapid.Float64Range(15, 90),
		rapid.SampledFrom([]float64{15, 30, 45, 60, 72, 80, 90}),
	).Draw(t, "angle")
	s := spec(cuts, seam, angle, 40,
		drawLayout(t, 5),
		rapid.IntRange(1, 5).Draw(t, "columns"), rapid.IntRange(1, 5).Draw(t, "rows"))
	if angle == 60 {
		s.EdgeGrain = rapid.SampledFrom([]quilt.EdgeGrain{quilt.BandsOn, quilt.Straight}).Draw(t, "edge grain")
		s.MixLeans = rapid.Bool().Draw(t, "mix leans")
	}
	s.Stagger = rapid.Bool().Draw(t, "stagger")
	s.Spare = rapid.IntRange(0, 2).Draw(t, "spare")
	return s
}

// drawLayout draws a setting or a layout of one's own, up to so many cells wide and
// high.
func drawLayout(t *rapid.T, most int) quilt.Layout {
	l, err := quilt.NewLayout(outside.DrawRepeat(t, most))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func mustPlan(t *rapid.T, s quilt.Spec) *quilt.Plan {
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// placed is a piece of the plan moved to its place.
type placed struct {
	quilt.Placement
	finished geometry.Polygon // of all patches together
	raw      geometry.Polygon
	patches  []geometry.Polygon
	edges    []geometry.Edge
}

func place(p *quilt.Plan) []placed {
	var out []placed
	for _, pl := range p.Pieces {
		st, at := p.Standing(pl), p.Centre(pl)
		q := placed{Placement: pl, finished: st.Finished.Move(at), raw: st.Raw.Move(at), edges: st.Piece.Edges}
		for _, g := range st.Patches {
			q.patches = append(q.patches, g.Move(at))
		}
		out = append(out, q)
	}
	return out
}

// Law: the finished pieces tile the rectangle between the bottom and the top
// edge: areas add up and no two pieces overlap.
func TestPiecesTileTheQuilt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		pieces := place(p)
		frame := p.Frame()
		scale := 1 + frame.Width()*frame.Height()
		total, inside, patches := 0.0, 0.0, 0.0
		for _, q := range pieces {
			total += q.finished.Area()
			for _, g := range q.patches {
				patches += g.Area()
			}
			if g := q.finished.Within(frame); g != nil {
				inside += g.Area()
			}
			for _, v := range q.finished {
				if v.Y < -1e-9 || v.Y > frame.Max.Y+1e-9 {
					t.Fatalf("piece %+v reaches to y = %v", q.Placement, v.Y)
				}
			}
		}
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*scale {
				t.Fatalf("%s: %v, want %v", what, got, want)
			}
		}
		// Rows of diamonds and two rows of halves: columns (rows + 1)
		// diamonds' worth, each row step by column step.
		near("area of all pieces", total, float64(p.Columns*(p.Rows+1))*p.ColumnStep*p.RowStep)
		near("area of all patches", patches, total)
		near("area inside the squared-up edges", inside, frame.Width()*frame.Height())
		for i := range pieces {
			for j := range i {
				if a := overlap(pieces[i].finished, pieces[j].finished); a > 1e-9*scale {
					t.Fatalf("pieces %+v and %+v overlap by %v", pieces[i].Placement, pieces[j].Placement, a)
				}
			}
		}
	})
}

func overlap(a, b geometry.Polygon) float64 {
	for i := range b {
		if a = a.Left(b[i], b[(i+1)%len(b)]); a == nil {
			return 0
		}
	}
	return a.Area()
}

// Law: with matched tips, at any angle, the raw ends of two edges that are
// sewn together coincide: laid on each other along the seam, they begin and
// end together.
func TestRawEndsCoincide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		type rawEnd struct {
			from, to float64 // along the seam
			who      quilt.Placement
		}
		type seam struct{ a, b [2]int64 }
		key := func(v geometry.Point) [2]int64 {
			return [2]int64{int64(math.Round(v.X * 1e6)), int64(math.Round(v.Y * 1e6))}
		}
		seams := map[seam]rawEnd{}
		met := 0
		for _, q := range place(p) {
			for i, a := range q.finished {
				b := q.finished[(i+1)%len(q.finished)]
				dir := b.Sub(a)
				dir = dir.Mul(1 / dir.Len())
				from, to := rawSpan(t, q, a, dir, p.Set.Seam)
				if other, ok := seams[seam{key(b), key(a)}]; ok {
					// The other one runs the other way.
					l := b.Sub(a).Len()
					if math.Abs(from-(l-other.to)) > 1e-9 || math.Abs(to-(l-other.from)) > 1e-9 {
						t.Fatalf("%+v and %+v: raw edges %v..%v and %v..%v of a seam %v long", q.Placement, other.who, from, to, l-other.to, l-other.from, l)
					}
					met++
					continue
				}
				seams[seam{key(a), key(b)}] = rawEnd{from, to, q.Placement}
			}
		}
		// Every diamond's upper two edges meet a neighbour's lower two but
		// at the sides.
		if p.Columns > 1 && met < p.Columns*p.Rows {
			t.Fatalf("only %d seams found", met)
		}
	})
}

// rawSpan returns where the raw edge that belongs to the finished edge from a
// along dir begins and ends, measured from a.
func rawSpan(t *rapid.T, q placed, a, dir geometry.Point, seam float64) (from, to float64) {
	for i, u := range q.raw {
		v := q.raw[(i+1)%len(q.raw)]
		du, dv := dir.Cross(u.Sub(a)), dir.Cross(v.Sub(a))
		if math.Abs(du+seam) < 1e-9 && math.Abs(dv+seam) < 1e-9 && v.Sub(u).Len() > 1e-9 {
			return dir.Dot(u.Sub(a)), dir.Dot(v.Sub(a))
		}
	}
	t.Fatalf("%+v: no raw edge a seam allowance outside a finished edge", q.Placement)
	return 0, 0
}

// Law: scaling all lengths scales the quilt.
func TestScalingLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		p := mustPlan(t, s)
		k := rapid.SampledFrom([]float64{0.25, 0.5, 2, 4, 8}).Draw(t, "factor")
		s.Seam *= k
		s.UsableWidth *= k
		for i := range s.Strips {
			s.Strips[i].Cut *= k
		}
		scaled := mustPlan(t, s)
		a, b := place(p), place(scaled)
		for i := range a {
			for j, v := range a[i].raw {
				if d := v.Mul(k).Sub(b[i].raw[j]).Len(); d > 1e-9*(1+v.Len()*k) {
					t.Fatalf("piece %+v vertex %d is off by %g", a[i].Placement, j, d)
				}
			}
		}
	})
}

// Law: with two strips each fabric runs on without a break: up in zigzag,
// across in chevron, along the diagonal row in one-way, and into the edge
// triangles. Counted as connected areas: no more of them than the setting has
// bands and, at the rim, half bands whose other half lies outside the quilt.
func TestBandsRunWithoutABreak(t *testing.T) {
	const columns = 4
	for _, angle := range []float64{45, 60, 75} {
		for _, rows := range []int{4, 5} {
			levels := rows + 2 // rows with those of edge triangles
			for setting, bands := range map[quilt.Layout][2]int{
				// A band of the lower strip climbs in each column. Those of
				// the upper strip climb between columns; at the sides every
				// row has half of one.
				quilt.Zigzag: {columns, columns - 1 + levels},
				// The lower strip's bands join rows -1 and 0, 1 and 2, ...;
				// the upper strip's 0 and 1, 2 and 3, ...; a row without its
				// partner has half a band in each column.
				quilt.Chevron: {levels/2 + levels%2*columns, columns + (levels-1)/2 + (levels-1)%2*columns},
				quilt.OneWay:  {columns + rows/2 + 1, columns + rows/2 + 1},
			} {
				p, err := quilt.New(spec([]float64{3, 3}, 0.25, angle, 40, setting, columns, rows))
				if err != nil {
					t.Fatal(err)
				}
				for strip, want := range bands {
					if got := areas(place(p), strip); got != want {
						t.Errorf("%v at %v degrees, %d rows: fabric %d lies in %d areas, want %d", setting, angle, rows, strip, got, want)
					}
				}
			}
		}
	}
}

// areas counts the connected areas of one strip's fabric over the quilt:
// patches that share more than a point of their outline are one.
func areas(pieces []placed, strip int) int {
	parent := make([]int, len(pieces))
	for i := range parent {
		parent[i] = i
	}
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	for i := range pieces {
		for j := range i {
			if shared(pieces[i].patches[strip], pieces[j].patches[strip]) > 1e-6 {
				parent[root(i)] = root(j)
			}
		}
	}
	n := 0
	for i := range parent {
		if root(i) == i {
			n++
		}
	}
	return n
}

// shared returns the length of outline that two polygons have in common.
func shared(a, b geometry.Polygon) float64 {
	sum := 0.0
	for i, p := range a {
		dir := a[(i+1)%len(a)].Sub(p)
		l := dir.Len()
		dir = dir.Mul(1 / l)
		for j, u := range b {
			v := b[(j+1)%len(b)]
			if math.Abs(dir.Cross(u.Sub(p))) > 1e-9 || math.Abs(dir.Cross(v.Sub(p))) > 1e-9 {
				continue
			}
			x, y := dir.Dot(v.Sub(p)), dir.Dot(u.Sub(p))
			sum += max(0, min(l, y)-max(0, x))
		}
	}
	return sum
}

// Law: inside the squared-up edges every side of a piece is shared by two
// pieces, so the seams are half as long as all sides together.
func TestSeamsAreTheSharedSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlan(t, drawSpec(t))
		frame := p.Frame()
		seams, sides := 0.0, 0.0
		for _, s := range p.Seams() {
			seams += s.B.Sub(s.A).Len()
		}
		for _, q := range place(p) {
			for i, a := range q.finished {
				b := q.finished[(i+1)%len(q.finished)]
				if part, ok := frame.Clip(geometry.Segment{A: a, B: b}); ok && math.Abs(a.Y-b.Y) > 1e-9 {
					sides += part.B.Sub(part.A).Len()
				}
			}
		}
		if math.Abs(2*seams-sides) > 1e-9*(1+sides) {
			t.Fatalf("seams %v, sides %v", seams, sides)
		}
	})
}

// A line that only touches a corner of the quilt is no seam, in spite of rounding.
func TestSeamsAtACorner(t *testing.T) {
	for columns := range 9 {
		for rows := range 90 {
			p, err := quilt.New(spec([]float64{88.51, 100.5, 70.7}, 0.25, 22.0547, 2400, quilt.Zigzag, columns+1, rows+1))
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range p.Seams() {
				if l := s.B.Sub(s.A).Len(); l < 1 {
					t.Fatalf("%d columns, %d rows: a seam of %v at %v", columns+1, rows+1, l, s.A)
				}
			}
		}
	}
}

// Law: edge triangles turned to straight grain have their strip edges on the
// quilt's top and bottom.
func TestStraightEdges(t *testing.T) {
	for _, setting := range []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay} {
		s := spec([]float64{3, 3}, 0.25, 60, 40, setting, 3, 3)
		s.EdgeGrain = quilt.Straight
		p, err := quilt.New(s)
		if err != nil {
			t.Fatal(err)
		}
		if top, _ := p.RimGrain(); top != 0 {
			t.Errorf("the edge lies at %v degrees", top)
		}
		for _, q := range place(p) {
			if q.Shape == geometry.Diamond {
				continue
			}
			rim := -p.Set.Seam
			if q.Row == p.Rows {
				rim = p.Finished.Height + p.Set.Seam
			}
			found := false
			for i, u := range q.raw {
				v := q.raw[(i+1)%len(q.raw)]
				if math.Abs(u.Y-rim) < 1e-9 && math.Abs(v.Y-rim) < 1e-9 {
					found = q.edges[i].Kind == geometry.StripEdge && v.Sub(u).Len() > p.Set.FinishedSide()
				}
			}
			if !found {
				t.Errorf("%v: no strip edge on the rim of %+v", setting, q.Placement)
			}
		}
	}
}
