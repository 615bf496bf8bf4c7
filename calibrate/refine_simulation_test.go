// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// lights returns the pixel that lights up a place of the mat: Newton's
// iteration on [projector.land], with differences for derivatives.
func (p projector) lights(x, y float64) (u, v float64) {
	u, v = float64(p.screen.Width)/2, float64(p.screen.Height)/2
	for range 50 {
		lx, ly := p.land(u, v)
		const h = 1e-3
		ux, uy := p.land(u+h, v)
		vx, vy := p.land(u, v+h)
		a, c := (ux-lx)/h, (uy-ly)/h
		b, d := (vx-lx)/h, (vy-ly)/h
		det := a*d - b*c
		du, dv := (d*(x-lx)-b*(y-ly))/det, (a*(y-ly)-c*(x-lx))/det
		u, v = u+du, v+dv
		if math.Hypot(du, dv) < 1e-9 {
			break
		}
	}
	return u, v
}

// nudge has someone move a drawn cross onto its crossing, in steps of a
// quarter of a pixel, off by sigma pixels in each direction.
func (p projector) nudge(r *rand.Rand, c calibrate.Crossing, sigma float64) calibrate.Nudge {
	const step = 0.25
	u, v := p.lights(c.X, c.Y)
	to := func(from, want float64) float64 { return from + step*math.Round((want-from)/step) }
	return calibrate.Nudge{
		Point: c.Point, X: c.X, Y: c.Y,
		U: to(c.U, u+sigma*r.NormFloat64()), V: to(c.V, v+sigma*r.NormFloat64()),
	}
}

// refine has someone read a grid and then move one cross after another, each
// drawn by the solution so far. It returns the results after the readings and
// after each cross.
func (p projector) refine(t testing.TB, r *rand.Rand, g calibrate.Grid, reading, pixels float64) (results []calibrate.Result, readings []calibrate.Reading, nudges []calibrate.Nudge) {
	readings = p.readGrid(r, g, 1, reading)
	targets, err := calibrate.Targets(p.screen, g, 1)
	if err != nil {
		panic(err)
	}
	s := calibrate.Solve(readings, p.screen, calibrate.Options{})
	results = append(results, s)
	for _, target := range targets {
		if s.Map == nil {
			t.Errorf("rejected: %v", s.Reasons)
			return
		}
		c := s.Crossings([]calibrate.Target{target}, geometry.Inch)
		if !c[0].OnScreen {
			t.Errorf("no crossing: %+v", c)
			return
		}
		nudges = append(nudges, p.nudge(r, c[0], pixels))
		s = calibrate.Refine(readings, nudges, p.screen, calibrate.Options{})
		results = append(results, s)
	}
	return results, readings, nudges
}

func TestSimulationRefine(t *testing.T) {
	n, _ := trialsOf(2000)
	for _, k1 := range []float64{-0.01, 0, 0.01} {
		errs := trials(uint64(777+1e4*k1), n, func(r *rand.Rand) [][2][]float64 {
			p := aim(r, k1)
			s, _, _ := p.refine(t, r, calibrate.Grid{Columns: 3, Rows: 3}, 1.0/32, 0.5)
			out := make([][2][]float64, len(s))
			for i, s := range s {
				p.raster(func(x, y float64) {
					e := p.lands(s.Map, x, y)
					out[i][1] = append(out[i][1], e)
					if s.Map.Holds(geometry.Point{X: x, Y: y}) {
						out[i][0] = append(out[i][0], e)
					}
				})
			}
			return out
		})
		for i := range errs[0] {
			var area, all []float64
			for _, e := range errs {
				area = append(area, e[i][0]...)
				all = append(all, e[i][1]...)
			}
			t.Logf("k1 %v, %d crosses moved: p95 %.4f in the area, %.4f over the picture", k1, i, part(area, 0.95), part(all, 0.95))
		}
	}
}
