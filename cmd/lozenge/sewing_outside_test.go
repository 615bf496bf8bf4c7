// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"lozenge/export/outside"
)

// The sewing order as shapely sees it. The judge builds the finished pieces anew
// from column, row, shape and lean alone, and finds which edges they share: the
// seams are these, each once, with the grain that the piece's strips give the
// edge. Rows joined in the order of the joins are one area without a hole each
// time, side by side, and tile the quilt in the end; the longest seam is last.
func TestSewingOrderAsShapelySeesIt(t *testing.T) {
	t.Parallel()
	python := outside.Python(t, "shapely")
	root := t.TempDir()
	script := filepath.Join(root, "judge.py")
	if err := os.WriteFile(script, []byte(judgeSewing), 0o666); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	files = outside.Of(files[1:2], files)
	for i, more := range []string{
		"setting: one-way\ncolumns: 5\nrows: 4",
		"setting: chevron\ncolumns: 4\nrows: 7\nedge_grain: straight",
		"setting: zigzag\ncolumns: 3\nrows: 6\nedge_grain: straight\ntips: sharp",
		"setting: zigzag\ncolumns: 1\nrows: 1",
		"setting: chevron\ncolumns: 2\nrows: 9\nangle: 75",
		"setting: zigzag\ncolumns: 7\nrows: 2\nangle: 90",
		"setting: zigzag\ncolumns: 6\nrows: 5\nangle: 30",
	} {
		strips := "strips: [{cut: 3, fabric: a}, {cut: 2, fabric: b}]\n"
		if i%2 == 1 {
			strips = "strips: [{cut: 2.5, fabric: a}]\n"
		}
		file := filepath.Join(root, fmt.Sprintf("q%d.yaml", i))
		if err := os.WriteFile(file, []byte("unit: in\n"+strips+more+"\n"), 0o666); err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	args := []string{script}
	for i, file := range files {
		for _, command := range []string{"plan", "sewing"} {
			var out, talk bytes.Buffer
			if s := run([]string{command, file, "--json"}, nil, &out, &talk); s != statusDone {
				t.Fatalf("%s %s: status %d: %s", command, file, s, talk.String())
			}
			to := filepath.Join(root, fmt.Sprintf("%d-%s.json", i, command))
			if err := os.WriteFile(to, out.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
			args = append(args, to)
		}
		grain := "bias"
		if text, _ := os.ReadFile(file); bytes.Contains(text, []byte("edge_grain: straight")) {
			grain = "straight"
		}
		args = append(args, grain)
	}
	var found []struct {
		Pieces, Shared, Seams, Joins int
		Complaints                   []string
	}
	data := outside.Run(t, python, args...)
	if err := json.Unmarshal(data, &found); err != nil {
		t.Fatalf("%v: %s", err, data)
	}
	if len(found) != len(files) {
		t.Fatalf("%d answers for %d quilts", len(found), len(files))
	}
	for i, f := range found {
		for _, c := range f.Complaints {
			t.Errorf("%s: %s", files[i], c)
		}
		if f.Pieces == 0 || f.Joins == 0 || f.Seams != f.Shared {
			t.Errorf("%s: %d pieces, %d shared edges, %d seams, %d joins", files[i], f.Pieces, f.Shared, f.Seams, f.Joins)
		}
	}
}

const judgeSewing = `
import sys, json, math
from shapely.geometry import Polygon
from shapely.ops import unary_union

def judge(plan, sewing, straight):
    complaints = []
    say = lambda *words: complaints.append(" ".join(map(str, words)))
    q, theta = plan["quilt"], plan["angle"]
    cs, rs = q["column_step"], q["row_step"]
    tiny = 1e-7 * rs
    pieces = {}
    for row in sewing["rows"]:
        for p in row["pieces"]:
            i, j = p["column"], p["row"]
            x, y = i * cs + (cs / 2 if j % 2 else 0), (j + 1) * rs
            corners = [(x, y - rs), (x + cs / 2, y), (x, y + rs), (x - cs / 2, y)]
            if j == -1: corners = corners[1:]
            if j == q["rows"]: corners = [corners[0], corners[1], corners[3]]
            # Which way the strips run: flat in the strip set, then turned so that
            # the long diagonal stands upright.
            along = 90 - theta / 2
            if p["lean"] == "left": along = -along
            if straight and "triangle" in p["shape"]: along = 0
            if p["label"] in pieces: say("label twice", p["label"])
            if ("triangle" in p["shape"]) != (j in (-1, q["rows"])): say("shape of", p["label"])
            pieces[p["label"]] = (Polygon(corners), along, row["label"])
    names = list(pieces)
    shapes = [pieces[n][0] for n in names]
    rooms = [s.buffer(tiny) for s in shapes]
    shared = {}
    for a, s in enumerate(shapes):
        for b in range(a + 1, len(shapes)):
            (l, d, r, u), (l2, d2, r2, u2) = rooms[a].bounds, rooms[b].bounds
            if l > r2 or l2 > r or d > u2 or d2 > u: continue
            if s.intersection(shapes[b]).area > tiny * rs: say(names[a], "and", names[b], "overlap")
            common = rooms[a].intersection(shapes[b].exterior)
            if common.length > rs / 10: shared[frozenset((names[a], names[b]))] = common.length
    seen = set()
    for s in sewing["seams"]:
        key = frozenset((s["first"], s["second"]))
        if key in seen: say("seam twice", sorted(key))
        seen.add(key)
        if key not in shared: say("no shared edge", sorted(key)); continue
        if abs(shared[key] - sewing["seam_length"]) > 1e-3 * rs: say("length of", sorted(key), shared[key])
        if (s["row"] is None) == (s["join"] is None): say("neither row nor join", sorted(key))
        (a, _, ra), (b, _, rb) = pieces[s["first"]], pieces[s["second"]]
        if (ra == rb) != (s["row"] is not None): say("row of", sorted(key))
        # The direction of the edge: from one of its two common corners to the other.
        ends = [p for p in a.exterior.coords[:-1] if min(math.dist(p, r) for r in b.exterior.coords) < tiny]
        if len(ends) != 2: say("corners of", sorted(key), ends); continue
        run = math.degrees(math.atan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0]))
        bias = []
        for name, edge in ((s["first"], s["first_edge"]), (s["second"], s["second_edge"])):
            grain = abs(run - pieces[name][1]) % 180
            grain = min(grain, 180 - grain)
            if abs(grain - edge["grain"]) > 1e-6: say("grain of", name, "in", sorted(key), "is", grain, "not", edge["grain"])
            off = 1e-6 < grain < 90 - 1e-6
            if off != edge["bias"]: say("bias of", name, "in", sorted(key))
            bias.append(off)
        under = s["underneath"]
        if bias == [True, False] and under != s["first"] or bias == [False, True] and under != s["second"]:
            say("underneath", sorted(key), under)
    for key in shared:
        if key not in seen: say("not sewn", sorted(key))
    letters = [r["label"] for r in sewing["rows"]]
    at = {l: i for i, l in enumerate(letters)}
    blocks = {}
    for i, r in enumerate(sewing["rows"]):
        u = unary_union([pieces[p["label"]][0].buffer(tiny) for p in r["pieces"]])
        if u.geom_type != "Polygon" or u.interiors: say("row", r["label"], "is not one area")
        blocks[(i, i)] = u
    lengths = []
    for j in sewing["joins"]:
        first, second = tuple(at[l] for l in j["first"]), tuple(at[l] for l in j["second"])
        if first not in blocks or second not in blocks: say("join", j["number"], "of parts that are not there"); break
        a, b = blocks.pop(first), blocks.pop(second)
        u = a.union(b)
        if u.geom_type != "Polygon" or u.interiors: say("join", j["number"], "leaves", u.geom_type)
        blocks[(first[0], second[1])] = u
        common = a.intersection(b).area / (2 * tiny)
        if abs(common - j["length"]) > 1e-3 * rs: say("join", j["number"], "is", common, "long, not", j["length"])
        lengths.append(j["length"])
    if lengths and max(lengths) > lengths[-1] + tiny: say("the last join is not the longest")
    if len(blocks) != 1: say(len(blocks), "parts are left")
    whole = unary_union(rooms)
    if whole.geom_type != "Polygon" or whole.interiors: say("the quilt is not one area")
    area = q["columns"] * (q["rows"] + 1) * cs * rs
    if abs(sum(s.area for s in shapes) - area) > 1e-6 * area: say("area", sum(s.area for s in shapes), "not", area)
    if len(letters) != plan["sewing_rows"]: say(len(letters), "rows")
    return dict(Pieces=len(names), Shared=len(shared), Seams=len(sewing["seams"]), Joins=len(sewing["joins"]), Complaints=complaints[:20])

args = sys.argv[1:]
print(json.dumps([judge(json.load(open(args[i])), json.load(open(args[i + 1])), args[i + 2] == "straight") for i in range(0, len(args), 3)]))
`
