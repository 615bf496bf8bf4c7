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
	for _, setting := range []Setting{Zigzag, Chevron, OneWay} {
		for _, angle := range []geometry.Angle{60, 45} {
			spec := Spec{
				Angle: angle, Seam: 0.25, UsableWidth: 40, Setting: setting, Columns: 4, Rows: 5,
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
