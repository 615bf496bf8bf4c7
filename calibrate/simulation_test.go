// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// The tables of the simulation are printed by
//
//	LOZENGE_SIMULATION=full go test ./calibrate -run Simulation -v -timeout 3h
//
// With LOZENGE_FULL=1 an eighth of the trials are done, in an ordinary run a
// two hundredth, with the same seeds.

// trialsOf returns the number of trials out of the full number, and by how much
// a tolerance is to be multiplied: the scatter of what is estimated grows
// with the root of the trials left out.
func trialsOf(full int) (n int, wider float64) {
	fewer := outside.Of(200, 8)
	if os.Getenv("LOZENGE_SIMULATION") == "full" {
		fewer = 1
	}
	return full / fewer, math.Sqrt(float64(fewer))
}

const thousandths = 1000

// The p95 of the position error over the whole picture, in 1/1000 in, of an
// independent simulation with 400 trials a cell (OpenCV 4.6.0, numpy 1.24.2,
// scipy 1.10.1). What it simulated is what [aim], readGrid and raster do: throw
// ratio 1.2 to 1.8, tilt of up to 20 degrees in two axes, yaw of up to 5, a
// picture of 720 sq in at 1920 x 1080, crosses on a regular grid 5 % in from
// its rim, Gaussian reading noise of sigma in each axis; errors at 33 x 19
// places of the whole picture. p' = p (1 + k1 |p|^2), |p| = 1 at the picture's
// corners; the prior on k1 is 1 %.
type cell struct {
	grid  calibrate.Grid
	times int
	sigma float64 // 1/sigma
	lens  calibrate.Lens
	k1    float64
	p95   float64
	// tolerance of p95: both ways within, or above only
	within, above float64
}

var cells = func() (out []cell) {
	grids := []calibrate.Grid{{Columns: 2, Rows: 2}, {Columns: 3, Rows: 3}, {Columns: 4, Rows: 3}, {Columns: 4, Rows: 4}, {Columns: 5, Rows: 5}}
	flat := map[float64][]float64{64: {33.3, 22.7, 20.5, 18.2, 15.4}, 32: {66.6, 45.4, 41.1, 36.4, 30.9}}
	lensed := map[float64][]float64{64: {0, 26.1, 21.9, 19.3, 16.2}, 32: {0, 52.2, 43.7, 38.7, 32.4}}
	for _, s := range []float64{64, 32} {
		for i, g := range grids {
			out = append(out, cell{g, 1, s, calibrate.LensOff, 0, flat[s][i], 0.03, 0})
			if i > 0 {
				out = append(out, cell{g, 1, s, calibrate.LensFit, 0.01, lensed[s][i], 0.03, 0})
			}
		}
	}
	for i, k1 := range []float64{0, 0.005, 0.01, 0.02} {
		out = append(out, cell{grids[1], 1, 32, calibrate.LensAuto, k1, []float64{50.8, 51.4, 52.2, 55.1}[i], 0, 0.03})
	}
	return out
}()

func (c cell) seed() uint64 {
	if math.IsNaN(c.k1) {
		c.k1 = 7
	}
	return uint64(c.grid.Columns*1000000 + c.grid.Rows*100000 + c.times*10000 + int(c.sigma)*10 + int(c.lens) + int(1e8*math.Abs(c.k1+1)))
}

func (c cell) name() string {
	k1 := "any k1"
	if !math.IsNaN(c.k1) {
		k1 = fmt.Sprintf("k1 %.1f %%", c.k1*100)
	}
	return fmt.Sprintf("%v x%d, noise 1/%v, lens %v, %s", c.grid, c.times, c.sigma, c.lens, k1)
}

// TestSimulation measures where lines land all over the picture.
func TestSimulation(t *testing.T) {
	n, wider := trialsOf(2000)
	t.Logf("%d trials a cell; p95 of the position error over the whole picture, 1/1000 in", n)
	t.Logf("%-40s %8s %8s %7s", "", "measured", "table", "off by")
	for _, c := range cells {
		errs := trials(c.seed(), n, func(r *rand.Rand) []float64 {
			p := aim(r, c.k1)
			m := mapOf(t, p.readGrid(r, c.grid, c.times, 1/c.sigma), c.lens).Map
			var out []float64
			p.raster(func(x, y float64) { out = append(out, p.lands(m, x, y)) })
			return out
		})
		var all []float64
		for _, e := range errs {
			all = append(all, e...)
		}
		got := part(all, 0.95) * thousandths
		off := got/c.p95 - 1
		t.Logf("%-40s %8.1f %8.1f %6.1f%%", c.name(), got, c.p95, 100*off)
		if c.within > 0 && math.Abs(off) > c.within*wider || c.above > 0 && off > c.above*wider {
			t.Errorf("%s: p95 %.1f, table %.1f", c.name(), got, c.p95)
		}
	}
}

// TestSimulationBest is the layout that keeps cut lines within 1/32 in (1/64
// in) for someone who reads to that: 12 crosses read twice.
func TestSimulationBest(t *testing.T) {
	n, wider := trialsOf(2000)
	for _, sigma := range []float64{32, 64} {
		for _, k1 := range []float64{-0.02, 0, 0.005, 0.01, 0.02} {
			c := cell{grid: calibrate.Grid{Columns: 4, Rows: 3}, times: 2, sigma: sigma, k1: k1}
			errs := trials(c.seed(), n, func(r *rand.Rand) []float64 {
				p := aim(r, k1)
				m := mapOf(t, p.readGrid(r, c.grid, 2, 1/sigma), calibrate.LensAuto).Map
				var out []float64
				p.raster(func(x, y float64) {
					if m.Holds(geometry.Point{X: x, Y: y}) {
						out = append(out, p.lands(m, x, y))
					}
				})
				return out
			})
			var all []float64
			for _, e := range errs {
				all = append(all, e...)
			}
			got := part(all, 0.95)
			t.Logf("%-40s p95 in the calibrated area %.1f of %.1f thousandths", c.name(), got*thousandths, thousandths/sigma)
			// The whole lens costs up to a tenth where k1 is all there is to it, most
			// at twice the k1 that is believed (0.0172 for 1/64 in); 20 trials scatter by 4 %.
			if got > 1.12/sigma*(1+0.02*(wider-1)) {
				t.Errorf("%s: p95 %.1f", c.name(), got*thousandths)
			}
		}
	}
}

// TestSimulationCoverage compares the predicted local error with what comes.
func TestSimulationCoverage(t *testing.T) {
	n, wider := trialsOf(4000)
	for _, g := range []struct {
		grid  calibrate.Grid
		times int
	}{{calibrate.Grid{Columns: 3, Rows: 3}, 1}, {calibrate.Grid{Columns: 4, Rows: 3}, 1}, {calibrate.Grid{Columns: 5, Rows: 5}, 1}, {calibrate.Grid{Columns: 4, Rows: 3}, 2}} {
		for _, k1 := range []float64{0, 0.02} {
			c := cell{grid: g.grid, times: g.times, sigma: 32, k1: k1}
			type count struct {
				area, areaIn, all, allIn int
				pooledIn, medianIn       int
			}
			sum := count{}
			for _, o := range trials(c.seed(), n, func(r *rand.Rand) (o count) {
				p := aim(r, k1)
				s := mapOf(t, p.readGrid(r, g.grid, g.times, 1/c.sigma), calibrate.LensAuto)
				p.rasterPromised(s.Map, func(x, y, promised float64) {
					e := p.lands(s.Map, x, y)
					within := 0
					if e <= promised {
						within = 1
					}
					o.all++
					o.allIn += within
					if s.Map.Holds(geometry.Point{X: x, Y: y}) {
						o.area++
						o.areaIn += within
						if e <= s.Expected.P95 {
							o.pooledIn++
						}
						if e <= s.Expected.Median {
							o.medianIn++
						}
					}
				})
				return o
			}) {
				sum.area, sum.areaIn, sum.all, sum.allIn = sum.area+o.area, sum.areaIn+o.areaIn, sum.all+o.all, sum.allIn+o.allIn
				sum.pooledIn, sum.medianIn = sum.pooledIn+o.pooledIn, sum.medianIn+o.medianIn
			}
			percent := func(a, b int) float64 { return 100 * float64(a) / float64(b) }
			area, all := percent(sum.areaIn, sum.area), percent(sum.allIn, sum.all)
			pooled, median := percent(sum.pooledIn, sum.area), percent(sum.medianIn, sum.area)
			t.Logf("%-40s local 95 %% error covers %.2f %% in the area, %.2f %% of the picture; p95 %.2f %%, median %.2f %%", c.name(), area, all, pooled, median)
			// The errors of one trial hang together: 4000 trials scatter by
			// about 0.15, 40 by 1.5 points. The promise is cautious here: it allows
			// for a second term of the lens, a shift of its middle and an uneven mat,
			// of which this projector has none. The limit is that of every regime
			// (see TestSimulationRegimes): 93 to 99.5 of 100.
			slack := 0.5 * (wider - 1)
			for _, v := range []float64{area, all, pooled} {
				if v < 94-slack || v > 99.5+slack {
					t.Errorf("%s: %.2f %% covered", c.name(), v)
				}
			}
			if median < 47-4*slack || median > 65+4*slack {
				t.Errorf("%s: the median covers %.2f %%", c.name(), median)
			}
		}
	}
}

// TestSimulationBlunders has one reading wrong by 1 in, and none.
func TestSimulationBlunders(t *testing.T) {
	n, wider := trialsOf(2000)
	n = max(n, 20)
	grids := []struct {
		grid  calibrate.Grid
		times int
	}{{calibrate.Grid{Columns: 3, Rows: 3}, 1}, {calibrate.Grid{Columns: 4, Rows: 3}, 1}, {calibrate.Grid{Columns: 4, Rows: 4}, 1}, {calibrate.Grid{Columns: 5, Rows: 5}, 1}, {calibrate.Grid{Columns: 4, Rows: 3}, 2}}
	for _, g := range grids {
		for _, lens := range []calibrate.Lens{calibrate.LensAuto, calibrate.LensOff} {
			for _, sigma := range outside.Of([]float64{32}, []float64{64, 32}) {
				c := cell{grid: g.grid, times: g.times, sigma: sigma, lens: lens}
				if lens == calibrate.LensAuto {
					c.k1 = math.NaN() // from -2 to 2 %
				}
				type outcome struct{ named, alarm bool }
				named, alarms := 0, 0
				for _, o := range trials(c.seed(), n, func(r *rand.Rand) (o outcome) {
					k1 := c.k1
					if math.IsNaN(k1) {
						k1 = 0.04*r.Float64() - 0.02
					}
					p := aim(r, k1)
					readings := p.readGrid(r, g.grid, g.times, 1/sigma)
					o.alarm = mapOf(t, readings, lens).Verdict != calibrate.OK
					bad := r.IntN(len(readings))
					off := []float64{-1, 1}[r.IntN(2)]
					if r.IntN(2) == 0 {
						readings[bad].X += off
					} else {
						readings[bad].Y += off
					}
					s := mapOf(t, readings, lens)
					o.named = s.Verdict == calibrate.Suspect && s.Swapped == nil
					for i, p := range s.Points {
						o.named = o.named && p.Suspect == (i == bad)
					}
					return o
				}) {
					if o.named {
						named++
					}
					if o.alarm {
						alarms++
					}
				}
				share, alarm := float64(named)/float64(n), float64(alarms)/float64(n)
				t.Logf("%-40s 1 in wrong: named %.1f %%; false alarms %.2f %%", c.name(), 100*share, 100*alarm)
				most := 0.02
				if lens == calibrate.LensOff {
					most = 0.03
				}
				// One standard deviation of 20 trials is 3 points.
				slack := 0.005 * (wider - 1)
				if share < 0.98-slack || alarm > most+slack {
					t.Errorf("%s: named %.4f, false alarms %.4f", c.name(), share, alarm)
				}
			}
		}
	}
}

// TestSimulationSwaps exchanges the readings of two crosses.
func TestSimulationSwaps(t *testing.T) {
	n, _ := trialsOf(800)
	for _, g := range []calibrate.Grid{{Columns: 3, Rows: 2}, {Columns: 3, Rows: 3}, {Columns: 4, Rows: 3}, {Columns: 5, Rows: 5}} {
		for _, times := range []int{1, 2} {
			c := cell{grid: g, times: times, sigma: 32, k1: math.NaN()}
			found := 0
			for _, ok := range trials(c.seed(), n, func(r *rand.Rand) bool {
				p := aim(r, 0.04*r.Float64()-0.02)
				readings := p.readGrid(r, g, times, 1/c.sigma)
				one := g.Columns * g.Rows
				a := r.IntN(one)
				b := (a + 1 + r.IntN(one-1)) % one
				rounds := 1 + r.IntN(times) // one reading of each, or all
				for k := range rounds {
					i, j := &readings[a+k*one], &readings[b+k*one]
					i.X, i.Y, j.X, j.Y = j.X, j.Y, i.X, i.Y
				}
				s := calibrate.Solve(readings, fullHD, calibrate.Options{})
				if g.Rows == 2 && a%3+b%3 == 2 && a/3 == b/3 {
					// The ends of one of two rows exchanged: to exchange those of the
					// other row as well makes a mirrored picture that fits.
					return s.Verdict != calibrate.OK && s.Swapped == nil
				}
				return s.Verdict == calibrate.Suspect && s.Swapped != nil && *s.Swapped == [2]int{min(a, b) + 1, max(a, b) + 1} && s.Max < 0.25
			}) {
				if ok {
					found++
				}
			}
			t.Logf("%-40s exchanged readings judged rightly in %d of %d", c.name(), found, n)
			if found != n {
				t.Errorf("%s: found %d of %d", c.name(), found, n)
			}
		}
	}
}
