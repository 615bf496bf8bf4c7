// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// A projector is a virtual projector above a mat: rays through the pixels,
// bent by the lens, turned with the projector and cut with the mat's plane.
// It shares no code and no formula with the package.
type projector struct {
	screen     calibrate.Screen
	throw      float64       // distance over the picture's width
	turn       [3][3]float64 // of the rays
	k1         float64
	shift      float64 // of the lens's middle down from the picture's, in pixels
	scale      float64 // to make the picture as large as it is
	ox, oy     float64 // of the mat
	upsideDown bool    // y is read downwards
}

// aim sets a projector up: tilted by up to 20 degrees in two axes, askew by
// up to 5, throw ratio 1.2 to 1.8, a picture of 720 sq in (36 x 20 when it is
// straight), anywhere on the mat.
func aim(r *rand.Rand, k1 float64) projector { return aimTilted(r, 20, k1) }

// aimTilted is aim with a tilt of up to so many degrees.
func aimTilted(r *rand.Rand, tilt, k1 float64) projector {
	p := projector{screen: fullHD, throw: 1.2 + 0.6*r.Float64(), k1: k1, scale: 1}
	degrees := func(most float64) float64 { return most * (2*r.Float64() - 1) * math.Pi / 180 }
	p.turn = turned(degrees(tilt), degrees(tilt), degrees(5))
	flat := p
	flat.k1 = 0
	var quad geometry.Polygon
	for _, c := range [][2]float64{{0, 0}, {1920, 0}, {1920, 1080}, {0, 1080}} {
		x, y := flat.land(c[0], c[1])
		quad = append(quad, geometry.Point{X: x, Y: y})
	}
	p.scale = math.Sqrt(720 / math.Abs(quad.Area()))
	low := quad.Bounds()
	p.ox, p.oy = r.Float64()*3-low.Min.X*p.scale, r.Float64()*3-low.Min.Y*p.scale
	return p
}

func turned(ax, ay, az float64) [3][3]float64 {
	mul := func(a, b [3][3]float64) (c [3][3]float64) {
		for i := range 3 {
			for j := range 3 {
				for k := range 3 {
					c[i][j] += a[i][k] * b[k][j]
				}
			}
		}
		return c
	}
	x := [3][3]float64{{1, 0, 0}, {0, math.Cos(ax), -math.Sin(ax)}, {0, math.Sin(ax), math.Cos(ax)}}
	y := [3][3]float64{{math.Cos(ay), 0, math.Sin(ay)}, {0, 1, 0}, {-math.Sin(ay), 0, math.Cos(ay)}}
	z := [3][3]float64{{math.Cos(az), -math.Sin(az), 0}, {math.Sin(az), math.Cos(az), 0}, {0, 0, 1}}
	return mul(z, mul(y, x))
}

// land returns where a pixel lights up the mat.
func (p projector) land(u, v float64) (x, y float64) {
	w, h := float64(p.screen.Width), float64(p.screen.Height)
	r := math.Hypot(w/2, h/2)
	du, dv := u-w/2, v-h/2-p.shift
	g := 1 + p.k1*(du*du+dv*dv)/(r*r)
	ray := [3]float64{du * g / w, (dv*g + p.shift) / w, p.throw}
	var out [3]float64
	for i := range 3 {
		for j := range 3 {
			out[i] += p.turn[i][j] * ray[j]
		}
	}
	x, y = out[0]/out[2]*p.scale, -out[1]/out[2]*p.scale
	if p.upsideDown {
		y = -y
	}
	return x + p.ox, y + p.oy
}

// readGrid has someone read a grid of crosses with an error of sigma in each
// direction.
func (p projector) readGrid(r *rand.Rand, g calibrate.Grid, times int, sigma float64) []calibrate.Reading {
	targets, err := calibrate.Targets(p.screen, g, times)
	if err != nil {
		panic(err)
	}
	var out []calibrate.Reading
	for _, t := range targets {
		x, y := p.land(t.U, t.V)
		out = append(out, calibrate.Reading{Point: t.Point, U: t.U, V: t.V, X: x + sigma*r.NormFloat64(), Y: y + sigma*r.NormFloat64()})
	}
	return out
}

// lands returns how far from a place of the mat a line drawn there lands.
func (p projector) lands(m *calibrate.Map, x, y float64) float64 {
	u, v, _ := m.ToScreen(x, y)
	lx, ly := p.land(u, v)
	return math.Hypot(lx-x, ly-y)
}

// raster calls f for places spread evenly over the picture, rim included.
func (p projector) raster(f func(x, y float64)) {
	for i := range 33 {
		for j := range 19 {
			f(p.land(float64(p.screen.Width*i)/32, float64(p.screen.Height*j)/18))
		}
	}
}

// rasterPromised is raster with the local 95 % error that a map promises, at
// every fifth place.
func (p projector) rasterPromised(m *calibrate.Map, f func(x, y, promised float64)) {
	var at, places []geometry.Point
	n := 0
	p.raster(func(x, y float64) {
		if n++; n%5 != 1 {
			return
		}
		u, v, _ := m.ToScreen(x, y)
		at, places = append(at, geometry.Point{X: u, Y: v}), append(places, geometry.Point{X: x, Y: y})
	})
	promised := m.LocalErrorsAt(at)
	for i, q := range places {
		f(q.X, q.Y, promised[i])
	}
}

// trials runs f with its own random numbers for each trial, on all
// processors, and returns what it returns in the order of the trials.
func trials[T any](seed uint64, n int, f func(r *rand.Rand) T) []T {
	out := make([]T, n)
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				out[i] = f(rand.New(rand.NewPCG(seed, uint64(i))))
			}
		})
	}
	wg.Wait()
	return out
}

// part returns the value that a part of the values does not exceed.
func part(values []float64, p float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return values[int(math.Ceil(p*float64(len(values))))-1]
}

// mapOf solves and fails when the calibration is rejected.
func mapOf(t *testing.T, readings []calibrate.Reading, lens calibrate.Lens) calibrate.Result {
	t.Helper()
	r := calibrate.Solve(readings, fullHD, calibrate.Options{Lens: lens})
	if r.Map == nil {
		t.Errorf("rejected: %v", r.Reasons)
	}
	return r
}
