// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
)

// patchesOf returns what shows of a strip in each piece, where it lies.
func patchesOf(p *Plan, strip int) (out []geometry.Polygon) {
	for _, pl := range p.Pieces {
		out = append(out, p.Standing(pl).Patches[strip].Move(p.Centre(pl)))
	}
	return out
}

// Law: in the bands order one ribbon is one colour, whatever the setting, the
// strips and the grain at the edges: judged from the outlines, every two patches
// of a strip by themselves.
func TestRibbonsAreOneColour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawColours(t, Bands)
		s.UsableWidth = 120
		s.Columns, s.Rows = min(s.Columns, 5), min(s.Rows, 5)
		if s.Angle == 60 && rapid.Bool().Draw(t, "straight") {
			s.EdgeGrain = Straight
		}
		p := planOf(t, s)
		if !p.Fewest.OK() {
			t.Fatal("strips of 120 in are too short")
		}
		if len(s.Strips) == 1 {
			return // every piece touches pieces of other bands
		}
		for i := range s.Strips {
			patches := patchesOf(p, i)
			for a, one := range p.Pieces {
				for b, other := range p.Pieces[:a] {
					if p.Colours(one.StripSet)[i] != p.Colours(other.StripSet)[i] && shareEdge(patches[a], patches[b]) {
						t.Fatalf("strip %d of %+v and of %+v touch, %v and %v", i, one, other, p.Colours(one.StripSet)[i], p.Colours(other.StripSet)[i])
					}
				}
			}
		}
	})
}

// Law: pieces that join the same bands are cut from one strip set where one of
// their colours gives them all, as long as it is not needed for others: judged
// where the colours are joined nowhere else.
func TestRibbonsComeFromOneStripSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawColours(t, Bands)
		s.Spare = 0
		for i := range s.Fabrics { // as many colours as bands
			s.Fabrics[i].Colours = nil
			for c := range 40 {
				s.Fabrics[i].Colours = append(s.Fabrics[i].Colours, Colour{uint8(c), uint8(i)})
			}
		}
		p := planOf(t, s)
		if !p.Fewest.OK() {
			t.Skip("no strip set gives the pieces")
		}
		joint, _ := p.joints()
		need, from := map[int]Count{}, map[int]map[int]bool{}
		for i, pl := range p.Pieces {
			n := need[joint[i]]
			n[pl.Lean][pl.Shape]++
			need[joint[i]] = n
			if from[joint[i]] == nil {
				from[joint[i]] = map[int]bool{}
			}
			from[joint[i]][pl.StripSet] = true
		}
		for j, n := range need {
			if fewest := len(p.Set.Fewest(n, p.terms(p.Yield.Length)).Layouts); len(from[j]) > fewest {
				t.Fatalf("%v are cut from strip sets %v, %d would do", n, from[j], fewest)
			}
		}
	})
}

// Pieces of a diagonal row that one strip set gives are cut from it, though it
// shares its colours with others.
func TestDiagonalRowsAreCutTogether(t *testing.T) {
	p, err := New(Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 60, Columns: 9, Rows: 9, ColourOrder: Bands, Layout: OneWay,
		Strips:  []Strip{{Cut: 2, Fabric: "a"}, {Cut: 2, Fabric: "a"}},
		Fabrics: []Fabric{{Key: "a", Colours: []Colour{{1}, {2}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	from := map[int]map[int]bool{}
	for _, pl := range p.Pieces {
		if pl.Shape == geometry.Diamond {
			d := pl.DiagonalRow()
			if from[d] == nil {
				from[d] = map[int]bool{}
			}
			from[d][pl.StripSet] = true
		}
	}
	apart := 0
	for _, sets := range from {
		if len(sets) > 1 {
			apart++
		}
	}
	if apart > 3 {
		t.Errorf("%d of %d diagonal rows come from several strip sets: %v", apart, len(from), from)
	}
}
