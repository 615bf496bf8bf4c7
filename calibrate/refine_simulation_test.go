// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// lights returns the pixel that lights up a place of the mat.
func (p projector) lights(x, y float64) (u, v float64) { return lights(p.land, x, y) }

// lights undoes land on a screen of 1920 x 1080: Newton's iteration, with
// differences for derivatives.
func lights(land func(u, v float64) (x, y float64), x, y float64) (u, v float64) {
	u, v = 960, 540
	for range 50 {
		lx, ly := land(u, v)
		const h = 1e-3
		ux, uy := land(u+h, v)
		vx, vy := land(u, v+h)
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
	return nudged(p.land, r, c, sigma)
}

func nudged(land func(u, v float64) (x, y float64), r *rand.Rand, c calibrate.Crossing, sigma float64) calibrate.Nudge {
	const step = 0.25
	u, v := lights(land, c.X, c.Y)
	to := func(from, want float64) float64 { return from + step*math.Round((want-from)/step) }
	return calibrate.Nudge{
		Point: c.Point, X: c.X, Y: c.Y,
		U: to(c.U, u+sigma*r.NormFloat64()), V: to(c.V, v+sigma*r.NormFloat64()),
	}
}

// aside returns where the cross of a nudge would stand if it lay on a crossing
// so many inches away.
func (p projector) aside(r *rand.Rand, n calibrate.Nudge, dx, dy, sigma float64) calibrate.Nudge {
	m := p.nudge(r, calibrate.Crossing{Point: n.Point, X: n.X + dx, Y: n.Y + dy, U: n.U, V: n.V}, sigma)
	m.X, m.Y = n.X, n.Y
	return m
}

// A complainer is a testing.TB, or rapid's.
type complainer interface{ Errorf(string, ...any) }

// refine has someone read a grid and then move some of the crosses, in any
// order, drawn by the solution of the readings. With each, every cross is
// drawn by the solution so far, and the results after each come back, that of
// the readings alone first; else only the last.
func (p projector) refine(t complainer, r *rand.Rand, g calibrate.Grid, some int, unit geometry.Unit, reading, pixels float64, each bool) (results []calibrate.Result, readings []calibrate.Reading, nudges []calibrate.Nudge) {
	readings = p.readGrid(r, g, 1, reading)
	targets, err := calibrate.Targets(p.screen, g, 1)
	if err != nil {
		panic(err)
	}
	r.Shuffle(len(targets), func(i, j int) { targets[i], targets[j] = targets[j], targets[i] })
	s := calibrate.Solve(readings, p.screen, calibrate.Options{})
	results = append(results, s)
	for _, target := range targets[:some] {
		c := s.Crossings([]calibrate.Target{target}, unit)
		if len(c) != 1 || !c[0].OnScreen {
			t.Errorf("no crossing for cross %d: %v %v", target.Point, c, s.Reasons)
			return results, readings, nudges
		}
		nudges = append(nudges, p.nudge(r, c[0], pixels))
		if each {
			s = calibrate.Refine(readings, nudges, p.screen, calibrate.Options{})
			results = append(results, s)
		}
	}
	if !each {
		results = []calibrate.Result{calibrate.Refine(readings, nudges, p.screen, calibrate.Options{})}
	}
	return results, readings, nudges
}

// TestSimulationRefine is how exact cut lines are after reading nine crosses
// to 1/32 in and moving some or all of them, half a pixel off, in quarter
// pixels. The independent simulation (see [cell]; a pixel is 0.0186 in on the
// mat in the mean) reached 18.9 thousandths with nine crosses moved in steps of
// a pixel, half a pixel off, without any readings; with both it must be better.
//
// More crosses must not make it worse, whichever they are.
func TestSimulationRefine(t *testing.T) {
	n, wider := trialsOf(2000)
	for _, k1 := range []float64{0.01, -0.01, 0} {
		if k1 != 0.01 && !outside.Full() {
			continue
		}
		errs := trials(uint64(777+1e4*k1), n, func(r *rand.Rand) (out [][2][]float64) {
			p := aim(r, k1)
			s, _, _ := p.refine(t, r, nineCrosses, 9, geometry.Inch, 1.0/32, 0.5, true)
			for _, s := range s {
				var area, all []float64
				p.raster(func(x, y float64) {
					e := p.lands(s.Map, x, y)
					all = append(all, e)
					if s.Map.Holds(geometry.Point{X: x, Y: y}) {
						area = append(area, e)
					}
				})
				out = append(out, [2][]float64{area, all})
			}
			return out
		})
		before := math.Inf(1)
		for i := range 10 {
			var area, all []float64
			for _, e := range errs {
				area = append(area, e[i][0]...)
				all = append(all, e[i][1]...)
			}
			got := part(area, 0.95)
			t.Logf("k1 %4.1f %%, %d of 9 crosses moved: p95 %.1f thousandths in the calibrated area, %.1f over the picture", 100*k1, i, got*thousandths, part(all, 0.95)*thousandths)
			// 2000 trials scatter by less than 1 %, but the same are compared.
			if got > before*(1+0.01*wider) {
				t.Errorf("k1 %v: %d crosses make it worse", k1, i)
			}
			before = got
		}
		// The whole lens comes to 0.0166 to 0.0173 (H + k1 to 0.0149, where it is
		// right); few trials scatter more.
		if before > 0.0175*(1+0.01*wider) {
			t.Errorf("k1 %v: p95 %.4f in", k1, before)
		}
	}
}

// TestSimulationRefineCoverage compares what is promised with what comes, for
// hands as sure as believed. For others the belief gives way only in part: one
// that is off by 1.5 pixels must still be told to expect three quarters of the
// error that comes.
func TestSimulationRefineCoverage(t *testing.T) {
	n, wider := trialsOf(1200)
	for _, c := range []struct {
		grid                calibrate.Grid
		some                int
		pixels              float64
		least, most, alarms float64 // of the local 95 % error, in percent; suspect calibrations
	}{
		{nineCrosses, 9, 0.5, 94, 99.5, 0.01},
		{nineCrosses, 3, 0.5, 94, 98, 0.01},
		{calibrate.Grid{Columns: 3, Rows: 2}, 6, 0.5, 94, 99.8, 0.01},
		{nineCrosses, 9, 1.5, 85, 97, 0.06},
		{nineCrosses, 9, 0.2, 98, 100, 0.01},
	} {
		type count struct {
			in, all, alarms int
			errs            []float64
			promised        float64
		}
		sum := count{}
		for _, o := range trials(uint64(31*c.some+int(100*c.pixels)+c.grid.Rows), n, func(r *rand.Rand) (o count) {
			p := aim(r, 0.04*r.Float64()-0.02)
			results, _, _ := p.refine(t, r, c.grid, c.some, geometry.Inch, 1.0/32, c.pixels, false)
			s := results[0]
			if s.Verdict != calibrate.OK {
				o.alarms++
			}
			if s.Map == nil {
				return o
			}
			o.promised = s.Expected.P95
			p.rasterPromised(s.Map, func(x, y, promised float64) {
				if !s.Map.Holds(geometry.Point{X: x, Y: y}) {
					return
				}
				e := p.lands(s.Map, x, y)
				o.all++
				o.errs = append(o.errs, e)
				if e <= promised {
					o.in++
				}
			})
			return o
		}) {
			sum.in, sum.all, sum.alarms = sum.in+o.in, sum.all+o.all, sum.alarms+o.alarms
			sum.errs = append(sum.errs, o.errs...)
			sum.promised += o.promised / float64(n)
		}
		covered, came := 100*float64(sum.in)/float64(sum.all), part(sum.errs, 0.95)
		alarms := float64(sum.alarms) / float64(n)
		t.Logf("%v, %d moved, off by %.1f px: local 95 %% error covers %.2f %%; p95 promised %.1f, came %.1f thousandths; %.2f %% suspect",
			c.grid, c.some, c.pixels, covered, sum.promised*thousandths, came*thousandths, 100*alarms)
		slack := 0.5 * (wider - 1)
		if covered < c.least-slack || covered > c.most+slack || alarms > c.alarms+0.01*(wider-1) {
			t.Errorf("%v, %d moved, off by %.1f px: covers %.2f %%, %.4f suspect", c.grid, c.some, c.pixels, covered, alarms)
		}
		if sum.promised < 0.75*came {
			t.Errorf("%v, %d moved, off by %.1f px: promises %.4f, comes %.4f in", c.grid, c.some, c.pixels, sum.promised, came)
		}
	}
}

// TestSimulationRefineBlunders has one cross laid on a crossing beside its
// own, one reading wrong, or both. A reading wrong by 1/4 in is named in three
// of four cases by other readings, and nearly always by crosses.
func TestSimulationRefineBlunders(t *testing.T) {
	n, wider := trialsOf(400)
	six := calibrate.Grid{Columns: 3, Rows: 2}
	for _, c := range []struct {
		grid    calibrate.Grid
		some    int
		aside   float64 // in, a cross laid on the wrong crossing
		misread float64 // in
		named   float64 // of all
		unseen  float64
	}{
		{nineCrosses, 9, 1, 0, 0.99, 0},
		{nineCrosses, 1, 1, 0, 0.99, 0}, // the first that is moved
		{nineCrosses, 9, 1 / geometry.CentimetresPerInch, 0, 0.99, 0},
		{nineCrosses, 9, 0, 1, 0.99, 0},
		{nineCrosses, 9, 0, 0.25, 0.97, 0.02},
		{nineCrosses, 9, 1, 0.25, 0.97, 0},
		{six, 5, 1, 0, 0.98, 0},
		{six, 5, 0, 1, 0.98, 0},
	} {
		type outcome struct{ named, unnoticed, told bool }
		var named, unnoticed, told int
		for _, o := range trials(uint64(33*c.some+int(100*c.aside)+int(10*c.misread)+c.grid.Rows), n, func(r *rand.Rand) (o outcome) {
			p := aim(r, 0.04*r.Float64()-0.02)
			options := calibrate.Options{}
			if c.aside != 0 && c.aside != 1 {
				options.Unit = geometry.Centimetre
			}
			_, readings, nudges := p.refine(t, r, c.grid, c.some, options.Unit, 1.0/32, 0.5, false)
			bad, off := r.IntN(len(readings)), c.misread*float64(2*r.IntN(2)-1)
			if r.IntN(2) == 0 {
				readings[bad].X += off
			} else {
				readings[bad].Y += off
			}
			laid := r.IntN(len(nudges))
			var on geometry.Point
			for c.aside > 0 {
				d := r.IntN(9)
				dx, dy := float64(d%3-1)*c.aside, float64(d/3-1)*c.aside
				m := p.aside(r, nudges[laid], dx, dy, 0.5)
				if d != 4 && fullHD.Holds(m.U, m.V) {
					on = geometry.Point{X: m.X + dx, Y: m.Y + dy}
					nudges[laid] = m
					break
				}
			}
			s := calibrate.Refine(readings, nudges, fullHD, options)
			o.unnoticed = s.Verdict == calibrate.OK
			o.named = s.Verdict == calibrate.Suspect && s.Swapped == nil
			for i, p := range s.Points {
				o.named = o.named && p.Suspect == (c.misread > 0 && i == bad)
			}
			for i, p := range s.Nudged {
				o.named = o.named && p.Suspect == (c.aside > 0 && i == laid)
			}
			if c.aside > 0 {
				where := "it seems to lie on " + calibrate.WriteReading(on.X, options.Unit) + ", " + calibrate.WriteReading(on.Y, options.Unit) + "."
				for _, reason := range s.Reasons {
					o.told = o.told || reason.Rule == calibrate.SuspectNudge && strings.Contains(reason.Text, where)
				}
			}
			return o
		}) {
			if o.named {
				named++
			}
			if o.unnoticed {
				unnoticed++
			}
			if o.told {
				told++
			}
		}
		share := func(v int) float64 { return float64(v) / float64(n) }
		t.Logf("%v, %d moved, a cross laid %.2f in aside, a reading off by %.2f in: named %.1f %%, unnoticed %.1f %%, told where it lies %.1f %%",
			c.grid, c.some, c.aside, c.misread, 100*share(named), 100*share(unnoticed), 100*share(told))
		slack := 0.008 * (wider - 1)
		if share(named) < c.named-slack || share(unnoticed) > c.unseen+slack || c.aside > 0 && share(told) < c.named-slack {
			t.Errorf("%v, %d moved, aside %v, misread %v: named %v, unnoticed %v, told %v", c.grid, c.some, c.aside, c.misread, share(named), share(unnoticed), share(told))
		}
	}
}

// A lens whose middle is off the picture's, half or all the way to its edge:
// moving crosses makes it twice as exact at least, and what comes is no more
// than is promised.
func TestShiftedLensRefined(t *testing.T) {
	for _, c := range []struct{ k1, shift, better, promised float64 }{
		{0.0025, 540, 0.5, 1}, {0.005, 540, 0.5, 1}, {0.01, 270, 0.5, 1}, {0.01, 540, 0.5, 1},
	} {
		type outcome struct {
			read, moved []float64
			promised    float64
			suspect     bool
		}
		n := outside.Of(10, 40)
		var read, moved []float64
		promised, suspects := 0.0, 0
		for _, o := range trials(271, n, func(r *rand.Rand) (o outcome) {
			p := aim(r, c.k1)
			p.shift = c.shift
			results, readings, _ := p.refine(t, r, nineCrosses, 9, geometry.Inch, 1.0/32, 0.5, false)
			before, after := calibrate.Solve(readings, fullHD, calibrate.Options{}).Map, results[0].Map
			p.raster(func(x, y float64) {
				if after.Holds(geometry.Point{X: x, Y: y}) {
					o.read, o.moved = append(o.read, p.lands(before, x, y)), append(o.moved, p.lands(after, x, y))
				}
			})
			o.promised, o.suspect = results[0].Expected.P95, results[0].Verdict != calibrate.OK
			return o
		}) {
			read, moved = append(read, o.read...), append(moved, o.moved...)
			promised += o.promised / float64(n)
			if o.suspect {
				suspects++
			}
		}
		a, b := part(read, 0.95), part(moved, 0.95)
		t.Logf("k1 %.2f %%, middle %v px off: p95 %.1f thousandths with readings, %.1f with crosses moved, %.1f promised; %d of %d suspect",
			100*c.k1, c.shift, a*thousandths, b*thousandths, promised*thousandths, suspects, n)
		if !(b < c.better*a) || !(promised > c.promised*b) || suspects > 2 {
			t.Errorf("k1 %v, middle %v px off: %v with readings, %v with crosses, %v promised, %d suspect", c.k1, c.shift, a, b, promised, suspects)
		}
	}
}
