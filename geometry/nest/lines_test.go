// SPDX-License-Identifier: Apache-2.0

package nest_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
	"lozenge/geometry/nest"
)

// drawSheets lays something out in one of the ways.
func drawSheets(t *rapid.T) []nest.Sheet {
	set, bed, need := drawSet(t), drawBed(t), drawNeed(t)
	for lean := range need { // a few dozen pieces make the point
		for shape := range need[lean] {
			need[lean][shape] /= 8
		}
	}
	var sheets []nest.Sheet
	var err error
	switch rapid.IntRange(0, 2).Draw(t, "way") {
	case 0:
		sheets, err = nest.Pieces(set, need, []nest.Bed{bed})
	case 1:
		sheets, err = nest.StripSets(set, need, []nest.Bed{bed}, 40, true)
	default:
		var s nest.Sheet
		s, err = nest.Gang(set, geometry.UpperTriangle, geometry.Right, 3, bed)
		sheets = []nest.Sheet{s}
	}
	if err != nil {
		return nil
	}
	return sheets
}

func onSegment(p geometry.Point, s geometry.Segment) bool {
	d := s.B.Sub(s.A)
	at := max(0, min(1, d.Dot(p.Sub(s.A))/d.Dot(d)))
	return p.Sub(s.A.Add(d.Mul(at))).Len() < 1e-7
}

// Law: the lines are the union of the outlines: every point of an outline
// lies on one, every point of a line on an outline, and no two lines overlap.
func TestLinesAreTheUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		where := rapid.Float64Range(0.001, 0.999).Draw(t, "where")
		for _, s := range drawSheets(t) {
			lines := s.Lines()
			var edges []geometry.Segment
			for _, p := range s.Pieces() {
				for i, a := range p.Outline {
					edges = append(edges, geometry.Segment{A: a, B: p.Outline[(i+1)%len(p.Outline)]})
				}
			}
			at := func(s geometry.Segment) geometry.Point { return s.A.Add(s.B.Sub(s.A).Mul(where)) }
			for _, e := range edges {
				n := 0
				for _, l := range lines {
					if onSegment(at(e), l.Segment) {
						n++
					}
				}
				// A line that crosses there counts too, so look askance only
				// at none.
				if n == 0 {
					t.Fatalf("%v of an outline is never cut", at(e))
				}
			}
			for i, l := range lines {
				if !slices.ContainsFunc(edges, func(e geometry.Segment) bool { return onSegment(at(l.Segment), e) }) {
					t.Fatalf("%v of line %d is on no outline", at(l.Segment), i)
				}
				for k, m := range lines[:i] {
					if along := overlapping(l.Segment, m.Segment, 1e-4); along > 1e-6 {
						t.Fatalf("lines %d %v and %d %v overlap by %v", k, m, i, l, along)
					}
				}
			}
		}
	})
}

// overlapping returns for how long two lines run within tol of each other.
func overlapping(s, m geometry.Segment, tol float64) float64 {
	d := s.B.Sub(s.A)
	length := d.Len()
	d = d.Mul(1 / length)
	if math.Abs(d.Cross(m.B.Sub(m.A))) > tol || math.Abs(d.Cross(m.A.Sub(s.A))) > tol {
		return 0
	}
	from, to := d.Dot(m.A.Sub(s.A)), d.Dot(m.B.Sub(s.A))
	if from > to {
		from, to = to, from
	}
	return min(to, length) - max(from, 0)
}

// Law: every piece is freed by a cut on the rim of its row, all its other
// cuts come before; and the way between the cuts is shorter than in the order
// in which the pieces lie.
func TestCutsThatFreeComeLast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, s := range drawSheets(t) {
			lines := s.Lines()
			for r := range s.Rows {
				rim := false
				for i, l := range lines {
					if l.Block == r {
						if rim && !l.Frees {
							t.Fatalf("line %d lies within block %d whose rim is being cut", i, r)
						}
						rim = l.Frees
					}
				}
			}
			for i, p := range s.Pieces() {
				last := -1
				for j, e := range p.Outline {
					middle := e.Add(p.Outline[(j+1)%len(p.Outline)]).Mul(0.5)
					last = max(last, slices.IndexFunc(lines, func(l nest.Line) bool { return onSegment(middle, l.Segment) }))
				}
				if !lines[last].Frees {
					t.Fatalf("piece %d is freed by line %d, %+v, which is not on the rim", i, last, lines[last])
				}
			}
			plain := slices.Clone(lines)
			slices.SortStableFunc(plain, func(a, b nest.Line) int { return a.Block - b.Block })
			for i := range plain {
				if plain[i].A.X > plain[i].B.X {
					plain[i].A, plain[i].B = plain[i].B, plain[i].A
				}
			}
			if got, was := travel(geometry.Point{}, lines), travel(geometry.Point{}, plain); got > was+1e-9 && len(lines) > 12 {
				t.Fatalf("%v between the cuts, %v when each goes to the right", got, was)
			}
		}
	})
}

// A row of two diamonds, 90 degrees, no gap to the next row: a grid whose
// lines are known.
func TestLinesOfAGrid(t *testing.T) {
	set := mustSet(t, 90, 3)
	need := [2][3]int{{8, 0, 0}}
	sheets, err := nest.Pieces(set, need, []nest.Bed{{Width: 12, Height: 6}})
	if err != nil {
		t.Fatal(err)
	}
	lines := sheets[0].Lines()
	length := 0.0
	for _, l := range lines {
		length += l.B.Sub(l.A).Len()
	}
	// Squares of 3 in, 4 by 2 of them: 3 lines of 12 in, 5 of 6 in.
	if len(sheets) != 1 || len(lines) != 8 || math.Abs(length-66) > 1e-9 {
		t.Errorf("%d lines, %v in all: %v", len(lines), length, lines)
	}
}

func BenchmarkLines(b *testing.B) {
	set := mustSet(b, 60, 1.5)
	sheets, err := nest.Pieces(set, [2][3]int{{400, 0, 0}}, []nest.Bed{{Width: 40, Height: 24}})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		sheets[0].Lines()
	}
}

// travel returns how far the blade goes lifted from a point through the lines
// in their order.
func travel(from geometry.Point, lines []nest.Line) float64 {
	sum := 0.0
	for _, l := range lines {
		sum += l.A.Sub(from).Len()
		from = l.B
	}
	return sum
}
