// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"
	"testing"

	"lozenge/geometry"
)

// Two patches belong to one band exactly when a chain of patches of the same
// strip, each sharing a stretch of edge with the next, joins them: judged from
// the finished outlines alone.
func TestBandsAreWhatTouches(t *testing.T) {
	for _, setting := range []Layout{Zigzag, Chevron, OneWay} {
		for _, angle := range []geometry.Angle{60, 45} {
			spec := Spec{
				Angle: angle, Seam: 0.25, UsableWidth: 40, Layout: setting, Columns: 4, Rows: 5, ColourOrder: Bands,
				Strips:  []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2.5, Fabric: "b"}},
				Fabrics: []Fabric{{Key: "a", Colours: []Colour{{}}}, {Key: "b", Colours: []Colour{{}}}},
			}
			p, err := New(spec)
			if err != nil {
				t.Fatal(err)
			}
			for strip := range spec.Strips {
				var patches []geometry.Polygon
				for _, pl := range p.Pieces {
					patches = append(patches, p.Standing(pl).Patches[strip].Move(p.Centre(pl)))
				}
				group := make([]int, len(patches))
				for i := range group {
					group[i] = i
				}
				find := func(i int) int {
					for group[i] != i {
						i = group[i]
					}
					return i
				}
				for i := range patches {
					for j := range i {
						if shareEdge(patches[i], patches[j]) {
							group[find(i)] = find(j)
						}
					}
				}
				for i := range patches {
					for j := range i {
						touch := find(i) == find(j)
						same := p.Band(p.Pieces[i], strip) == p.Band(p.Pieces[j], strip)
						// The quilt's rim cuts the outermost bands to pieces.
						band := p.Band(p.Pieces[i], strip)
						rim := setting == Zigzag && strip == 1 && (band == 0 || band == p.Columns) ||
							setting == Chevron && (band < 0 || band == (p.Rows+1)/2)
						if touch != same && !(same && rim) {
							t.Fatalf("%v %v strip %d: %+v and %+v: joined %v, same band %v", setting, angle, strip, p.Pieces[i], p.Pieces[j], touch, same)
						}
					}
				}
			}
		}
	}
}

// shareEdge reports whether two polygons have a stretch of edge in common.
func shareEdge(a, b geometry.Polygon) bool {
	const eps = 1e-6
	for i, p := range a {
		q := a[(i+1)%len(a)]
		d := q.Sub(p)
		long := d.Len()
		if long < eps {
			continue
		}
		d = d.Mul(1 / long)
		for j, r := range b {
			s := b[(j+1)%len(b)]
			if math.Abs(d.Cross(r.Sub(p))) > eps || math.Abs(d.Cross(s.Sub(p))) > eps {
				continue
			}
			x, y := d.Dot(r.Sub(p)), d.Dot(s.Sub(p))
			if min(long, max(x, y))-max(0, min(x, y)) > eps {
				return true
			}
		}
	}
	return false
}

// By hand: where the bands of each setting lie, as its words say: in zigzag they
// climb, one a column; in chevron they run across, one for every two rows; in
// one-way they run along the diagonal rows. The lowest strip's begin at the first
// diamond of the bottom row; the highest strip's of left-leaning pieces lie one
// farther right in zigzag, those of right-leaning ones at the same place.
func TestBandsByHand(t *testing.T) {
	down := func(n int) int { return int(math.Floor(float64(n) / 2)) }
	for setting, want := range map[Layout]func(pl Placement, highest bool) int{
		Zigzag: func(pl Placement, highest bool) int {
			if highest && pl.Lean == geometry.Left {
				return pl.Column + 1
			}
			return pl.Column
		},
		Chevron: func(pl Placement, highest bool) int {
			if !highest && pl.Lean == geometry.Left {
				return down(pl.Row + 1)
			}
			return down(pl.Row)
		},
		OneWay: func(pl Placement, highest bool) int { return pl.Column - down(pl.Row) },
	} {
		for _, cuts := range [][]float64{{3}, {2, 3}, {2, 1.5, 2.5}} {
			for columns := 2; columns < 6; columns++ {
				for rows := 2; rows < 7; rows++ {
					s := Spec{Angle: 60, Seam: 0.25, UsableWidth: 40, Layout: setting, Columns: columns, Rows: rows, ColourOrder: Bands}
					for _, cut := range cuts {
						s.Strips = append(s.Strips, Strip{Cut: cut, Fabric: "a"})
					}
					p, err := New(s)
					if err != nil {
						t.Fatal(err)
					}
					for _, pl := range p.Pieces {
						for i := range cuts {
							if got, want := p.Band(pl, i), want(pl, i > 0 && i == len(cuts)-1); got != want {
								t.Fatalf("%v %d by %d, %d strips, strip %d: %+v is of band %d, want %d", setting, columns, rows, len(cuts), i, pl, got, want)
							}
						}
					}
				}
			}
		}
	}
}
