// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math/rand/v2"
	"testing"

	"lozenge/calibrate"
)

// TestSimulationSlips has a careful reader slip, in lenses with any k1 and
// middle: two readings 1/2 in off, one with x and y exchanged, a whole row or
// column 1 in off. The shares are those that an independent implementation of
// the same judgement came near.
func TestSimulationSlips(t *testing.T) {
	n, wider := trialsOf(400)
	n = max(n, 16)
	nine, twelve := calibrate.Grid{Columns: 3, Rows: 3}, calibrate.Grid{Columns: 4, Rows: 3}
	half := func(r *rand.Rand, p *calibrate.Reading) {
		off := float64(2*r.IntN(2)-1) / 2
		if r.IntN(2) == 0 {
			p.X += off
		} else {
			p.Y += off
		}
	}
	for _, c := range []struct {
		name           string
		grid           calibrate.Grid
		slip           func(r *rand.Rand, g calibrate.Grid, list []calibrate.Reading) (bad int)
		ok, named, not [2]float64 // least and most of all sets: ok, named, rejected
	}{
		{"none", nine, nil, [2]float64{0.985, 1}, [2]float64{0, 1}, [2]float64{0, 0.002}},
		{"none", twelve, nil, [2]float64{0.985, 1}, [2]float64{0, 1}, [2]float64{0, 0.002}},
		{"two of 1/2 in", nine, func(r *rand.Rand, _ calibrate.Grid, list []calibrate.Reading) int {
			i := r.IntN(len(list))
			half(r, &list[i])
			half(r, &list[(i+1+r.IntN(len(list)-1))%len(list)])
			return -1
		}, [2]float64{0, 0.02}, [2]float64{0, 1}, [2]float64{0, 1}},
		{"x and y exchanged", nine, func(r *rand.Rand, _ calibrate.Grid, list []calibrate.Reading) int {
			for {
				i := r.IntN(len(list))
				p := &list[i]
				if d := p.X - p.Y; d*d > 1 {
					p.X, p.Y = p.Y, p.X
					return i
				}
			}
		}, [2]float64{0, 0.01}, [2]float64{0.97, 1}, [2]float64{0, 0.01}},
		{"a row or column", nine, misreadLine, [2]float64{0, 0.05}, [2]float64{0, 1}, [2]float64{0, 1}},
		{"a row or column", twelve, misreadLine, [2]float64{0, 0.05}, [2]float64{0, 1}, [2]float64{0, 1}},
	} {
		for _, step := range []float64{32, 64} {
			type outcome struct{ ok, named, rejected bool }
			count := [3]int{}
			for _, o := range trials(uint64(len(c.name)*100+c.grid.Columns*10)+uint64(step), n, func(r *rand.Rand) (o outcome) {
				list := regimes[r.IntN(7)].aim(r).read(r, c.grid, step)
				bad := -1
				if c.slip != nil {
					bad = c.slip(r, c.grid, list)
				}
				s := calibrate.Solve(list, fullHD, calibrate.Options{})
				o.ok, o.rejected, o.named = s.Verdict == calibrate.OK, s.Verdict == calibrate.Rejected, bad >= 0 && s.Swapped == nil
				for i, p := range s.Points {
					o.named = o.named && p.Suspect == (i == bad)
				}
				return o
			}) {
				for i, yes := range []bool{o.ok, o.named, o.rejected} {
					if yes {
						count[i]++
					}
				}
			}
			slack := 0.008 * (wider - 1)
			t.Logf("%v read to 1/%v, %s: ok %d, named %d, rejected %d of %d", c.grid, step, c.name, count[0], count[1], count[2], n)
			for i, within := range [][2]float64{c.ok, c.named, c.not} {
				if share := float64(count[i]) / float64(n); share < within[0]-slack || share > within[1]+slack {
					t.Errorf("%v read to 1/%v, %s: %s %.3f", c.grid, step, c.name, []string{"ok", "named", "rejected"}[i], share)
				}
			}
		}
	}
}

// misreadLine has a whole row or column read 1 in off, as by a ruler laid at
// the wrong line.
func misreadLine(r *rand.Rand, g calibrate.Grid, list []calibrate.Reading) int {
	off := float64(2*r.IntN(2) - 1)
	across := r.IntN(2) == 0
	row, column := r.IntN(g.Rows), r.IntN(g.Columns)
	inY := r.IntN(2) == 0
	for i := range list {
		if across && i/g.Columns != row || !across && i%g.Columns != column {
			continue
		}
		if inY {
			list[i].Y += off
		} else {
			list[i].X += off
		}
	}
	return -1
}
