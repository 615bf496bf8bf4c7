// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lozenge/geometry"
)

func TestDistinct(t *testing.T) {
	type points = []geometry.Point
	square := points{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	for _, c := range []struct {
		name   string
		in     points
		closed bool
		want   points
		err    error
	}{
		{"as it is", square, true, square, nil},
		{"last is first", append(square[:4:4], square[0]), true, square, nil}, // OSGeo/gdal#10153
		{"last is nearly first", append(square[:4:4], geometry.Point{X: 1e-9, Y: -1e-9}), true, square, nil},
		{"last is first, open", append(square[:4:4], square[0]), false, append(square[:4:4], square[0]), nil},
		{"repeats", points{square[0], square[0], square[1], square[2], square[2], square[3], square[0], square[0]}, true, square, nil},
		{"one corner", points{{X: 1, Y: 1}}, true, nil, ErrNoLine},                              // skymakerolof/dxf#20
		{"three equal", points{{X: 1, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 1}}, true, nil, ErrNoLine}, // likewise
		{"none", nil, true, nil, ErrNoLine},
		{"none, open", nil, false, nil, ErrNoLine},
		{"two corners", square[:2], true, nil, ErrNoOutline},
		{"two points, open", square[:2], false, square[:2], nil},
		{"on one line", points{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 3, Y: 3}}, true, nil, ErrNoOutline},
	} {
		got, err := Distinct(c.in, c.closed, 6)
		if !errors.Is(err, c.err) {
			t.Errorf("%s: error %v, want %v", c.name, err, c.err)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
	if _, err := Distinct(points{{X: math.NaN()}, {X: 1}, {Y: 1}}, true, 6); err != nil {
		t.Errorf("NaN is for Numbers to report: %v", err)
	}
}

// What is left has no edge that is written as a point, and what is dropped
// lies where something is left.
func TestDistinctLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Custom(func(t *rapid.T) float64 {
			return float64(rapid.IntRange(0, 3).Draw(t, "grid")) + float64(rapid.IntRange(-2, 2).Draw(t, "off"))*0.3e-6
		})
		in := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) geometry.Point {
			return geometry.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")}
		}), 0, 12).Draw(t, "points")
		closed := rapid.Bool().Draw(t, "closed")
		before := append([]geometry.Point(nil), in...)
		out, err := Distinct(in, closed, 6)
		if diff := cmp.Diff(before, in); diff != "" && len(in) > 0 {
			t.Fatalf("the caller's points changed: %s", diff)
		}
		if errors.Is(err, ErrNoOutline) || errors.Is(err, ErrNoLine) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		for i := range out {
			j := (i + 1) % len(out)
			if (closed || j > 0) && same(out[i], out[j], 1e-6) {
				t.Fatalf("%v and %v are neighbours", out[i], out[j])
			}
		}
		for _, p := range in {
			near := false
			for _, q := range out {
				near = near || math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-5
			}
			if !near {
				t.Fatalf("%v was lost", p)
			}
		}
	})
}
