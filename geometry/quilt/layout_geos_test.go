// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os/exec"
	"testing"

	"lozenge/export/outside"
	"lozenge/geometry"
)

// geosCourse unites the finished pieces and the patches of each strip (GEOS,
// through shapely) and judges from the outlines alone: do the pieces tile; how
// many bands, rings and islands are there?
const geosCourse = `
import json, sys
from shapely.geometry import Polygon, box
from shapely.ops import unary_union
from shapely.prepared import prep
out = []
for q in json.load(sys.stdin):
    pieces = [Polygon(p) for p in q["pieces"]]
    union = unary_union([p.buffer(1e-6, join_style=2) for p in pieces])
    tiles = abs(sum(p.area for p in pieces) - union.area) < 1e-3 * len(pieces) ** 0.5 and box(*q["frame"]).within(union)
    bands = rings = islands = 0
    for strip in q["patches"]:
        patches = [Polygon(p) for p in strip]
        # In the end a little smaller, so that what meets in a point only falls apart.
        whole = unary_union([p.buffer(1e-6, join_style=2) for p in patches]).buffer(-1e-3, join_style=2)
        inside = [(p.representative_point(), d) for p, d in zip(patches, q["diamond"])]
        for part in whole.geoms if hasattr(whole, "geoms") else [whole]:
            has, left = prep(part), []
            own = []
            for one in inside:
                (own if has.contains(one[0]) else left).append(one)
            inside = left
            bands += len(own) > 1
            rings += len(own) > 1 and len(part.interiors) > 0
            islands += len(own) == 1 and own[0][1]
    out.append([bool(tiles), int(bands), int(rings), int(islands)])
json.dump(out, sys.stdout)
`

// Layouts, random ones among them, tile the quilt, and their bands, rings and islands are
// those that GEOS finds.
func TestLayoutsTileAsGEOSFindsThem(t *testing.T) {
	python := outside.Python(t, "shapely")
	type quilt struct {
		Frame   [4]float64       `json:"frame"`
		Pieces  [][][2]float64   `json:"pieces"`
		Patches [][][][2]float64 `json:"patches"`
		Diamond []bool           `json:"diamond"`
	}
	outline := func(g geometry.Polygon) (out [][2]float64) {
		for _, p := range g {
			out = append(out, [2]float64{p.X, p.Y})
		}
		return out
	}
	r := rand.New(rand.NewPCG(22, 4))
	layouts := []Layout{Zigzag, Chevron, OneWay}
	for _, n := range NamedLayouts() {
		layouts = append(layouts, n.Of(9, 12))
	}
	const most = 12
	for range 3 {
		layouts = append(layouts, anyLayout(r, most, most))
	}
	var all []quilt
	var plans []*Plan
	for i, l := range layouts {
		s := Spec{
			Angle: geometry.Angle([]float64{60, 45, 75}[i%3]), Seam: 0.25, UsableWidth: 40, Layout: l, Columns: 9, Rows: 12,
			Strips: []Strip{{Cut: 2.5, Fabric: "a"}, {Cut: 2, Fabric: "b"}, {Cut: 3, Fabric: "c"}}[:2+i%2],
		}
		if i >= 15 {
			s.Columns, s.Rows = 1+r.IntN(most), 1+r.IntN(most)
		}
		p := planOf(t, s)
		one := quilt{Frame: [4]float64{0, 0, p.Finished.Width, p.Finished.Height}}
		for _, pl := range p.Pieces {
			one.Pieces = append(one.Pieces, outline(p.Standing(pl).Finished.Move(p.Centre(pl))))
			one.Diamond = append(one.Diamond, pl.Shape == geometry.Diamond)
		}
		for strip := range s.Strips {
			var patches [][][2]float64
			for _, g := range patchesOf(p, strip) {
				patches = append(patches, outline(g))
			}
			one.Patches = append(one.Patches, patches)
		}
		all, plans = append(all, one), append(plans, p)
	}
	in, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", geosCourse)
	cmd.Stdin = bytes.NewReader(in)
	said, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, err.(*exec.ExitError).Stderr)
	}
	var found [][4]any
	if err := json.Unmarshal(said, &found); err != nil {
		t.Fatal(err)
	}
	for i, p := range plans {
		c := p.course()
		want := [4]any{true, float64(c.bands), float64(c.rings), float64(c.islands)}
		if found[i] != want {
			t.Errorf("%d columns, %d rows of %v, %d strips: GEOS finds %v, the plan %v", p.Columns, p.Rows, p.Spec.Layout, len(p.Spec.Strips), found[i], want)
		}
	}
}
