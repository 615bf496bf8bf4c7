// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
)

func twoColours(t interface{ Fatal(...any) }, columns, rows int, order ColourOrder) *Plan {
	p, err := New(Spec{
		Seam: 0.25, Angle: 60, UsableWidth: 20, Columns: columns, Rows: rows, ColourOrder: order,
		Strips:  []Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 2.5, Fabric: "sand"}},
		Fabrics: []Fabric{{Key: "tide", Colours: []Colour{{1}, {2}}}, {Key: "sand", Colours: []Colour{{3}}}},
		Backing: struct{ UsableWidth, Extra float64 }{42, 4},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// By hand: diamonds of strip set 1 in row 1 and of strip set 2, in another
// colour, in row 2. Of the edge triangles at the bottom the second is of strip
// set 2, and touches none of that colour; sand has one colour and never fails.
func TestUnmatchedByHand(t *testing.T) {
	p := twoColours(t, 3, 2, Gradient)
	if len(p.Fewest.Layouts) < 2 {
		t.Fatal("one strip set")
	}
	for i := range p.Pieces {
		pl := &p.Pieces[i]
		pl.StripSet = max(pl.Row, 0)
		if pl.Row == 2 || pl.Row == -1 && pl.Column == 1 {
			pl.StripSet = 1
		}
	}
	if got := p.Edges().Unmatched; got != 1 {
		t.Errorf("%d unmatched, want 1", got)
	}
}

// Laws: where all match no further strip set is needed; one colour matches
// itself; and as many further strip sets as are told do: all edge triangles
// in further strip sets of their own, in either colour, would be too many.
func TestEdgesLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := twoColours(t, rapid.IntRange(1, 12).Draw(t, "columns"), rapid.IntRange(1, 12).Draw(t, "rows"),
			rapid.SampledFrom([]ColourOrder{Gradient, Scattered, Bands}).Draw(t, "order"))
		e := p.Edges()
		triangles := p.Need[0][1] + p.Need[0][2] + p.Need[1][1] + p.Need[1][2]
		if e.More == nil || e.Unmatched > triangles || e.Unmatched == 0 && *e.More > 0 {
			t.Fatalf("%+v", e)
		}
		each := p.Yield.Triangles / 2
		if most := 4 * ((triangles + each - 1) / each); *e.More > most {
			t.Fatalf("%d further strip sets; %d of edge triangles alone would do", *e.More, most)
		}
		p.Spec.Fabrics[0].Colours = []Colour{{1}}
		if one, err := New(p.Spec); err != nil || one.Edges().Unmatched != 0 || *one.Edges().More != 0 {
			t.Fatalf("one colour: %v, %+v", err, one.Edges())
		}
	})
	p, err := New(Spec{Seam: 0.25, Angle: 60, UsableWidth: 4, Columns: 2, Rows: 2, Strips: []Strip{{Cut: 5, Fabric: "tide"}}, Backing: struct{ UsableWidth, Extra float64 }{42, 4}})
	if err != nil || p.Edges().More != nil || p.Fewest.Possible[geometry.Right] {
		t.Errorf("%v: no strip set, %+v", err, p.Edges())
	}
}

// Where the edge triangles take all strip sets that there are in one colour, the
// plan says that the other one is not used. One diamond between two edge
// triangles: all three in one colour, by hand.
func TestMatchedEdgesLeaveAColour(t *testing.T) {
	s := Spec{
		Angle: 60, Seam: 0.25, UsableWidth: 9, Layout: OneWay, Columns: 1, Rows: 1, Edges: Matched,
		Strips:  []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2, Fabric: "b"}},
		Fabrics: []Fabric{{Key: "a", Colours: []Colour{{}, {200, 200, 200}}}, {Key: "b", Colours: []Colour{{240, 240, 240}}}},
		Backing: struct{ UsableWidth, Extra float64 }{42, 4},
	}
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	if left := p.Unused("a"); p.Edges().Unmatched != 0 || !slices.Equal(left, []string{"black"}) {
		t.Errorf("%+v %q", p.Edges(), left)
	}
}
