// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"math"
	"slices"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// TestRenderedScenes reads photos of mats of which every ray is known. Scenes
// differ in mat (inches, half inches, centimetres; light on dark, dark on
// light), turn, tilt, lens, light, fabric lying about and the projector's
// keystone and lens.
func TestRenderedScenes(t *testing.T) {
	type set struct {
		seeds     []uint64
		width     int
		p95, most float64 // in, of crosses
		areaP95   float64 // in, of the calibrated area
	}
	var seeds []uint64
	for seed := uint64(1); seed <= 12; seed++ {
		seeds = append(seeds, seed)
	}
	sets := outside.Of(
		[]set{{[]uint64{5}, 1000, 0.012, 0.02, 0.012}},
		[]set{{seeds, 1600, 0.006, 0.015, 0.006}, {seeds[4:5], 4000, 0.002, 0.006, 0.004}},
	)
	for _, one := range sets {
		var off, area []float64
		inside, places := 0, 0
		for _, seed := range one.seeds {
			s := scene.Good(seed, one.width)
			f, _, err := readAsked(t, &s)
			if err != nil {
				t.Errorf("scene %d, %d wide: %v", seed, one.width, err)
				continue
			}
			each, _ := astray(&s, f)
			for _, v := range each {
				off = append(off, math.Hypot(v[0], v[1]))
			}
			r := calibrate.Solve(f.Readings(), f.Screen, calibrate.Options{})
			if r.Verdict != calibrate.OK {
				t.Errorf("scene %d, %d wide: %s: %v", seed, one.width, r.Verdict, r.Reasons)
				continue
			}
			over := overArea(&s, f, &r)
			for _, v := range over {
				places++
				if v <= r.Expected.P95 {
					inside++
				}
			}
			area = append(area, over...)
		}
		slices.Sort(off)
		slices.Sort(area)
		at := func(v []float64) float64 { return v[len(v)*95/100] }
		t.Logf("%d scenes %d wide: crosses p95 %.4f in, worst %.4f; area p95 %.4f, worst %.4f; %.3f of places within what is promised",
			len(one.seeds), one.width, at(off), off[len(off)-1], at(area), area[len(area)-1], float64(inside)/float64(places))
		if at(off) > one.p95 || off[len(off)-1] > one.most || at(area) > one.areaP95 {
			t.Errorf("crosses should be within %v in, the worst within %v, the area within %v", one.p95, one.most, one.areaP95)
		}
		if part := float64(inside) / float64(places); len(one.seeds) >= 12 && (part < 0.92 || part > 0.995) {
			t.Errorf("%.3f of places lie within the promise", part)
		}
	}
}

// overArea returns how far lines land from where they should, over the
// calibrated area.
func overArea(s *scene.Scene, f *photo.Found, r *calibrate.Result) (off []float64) {
	ox, oy, q := frame(s, f)
	for u := 0.5 / 32; u < 1; u += 1. / 32 {
		for v := 0.5 / 18; v < 1; v += 1. / 18 {
			u, v := u*float64(f.Screen.Width), v*float64(f.Screen.Height)
			x, y := s.Projector.ToMat(u, v)
			mx, my := r.Map.ToMat(u, v)
			if r.Map.Holds(geometry.Point{X: mx, Y: my}) {
				off = append(off, math.Hypot(x-ox-(q[0]*mx-q[1]*my), y-oy-(q[1]*mx+q[0]*my)))
			}
		}
	}
	return off
}
