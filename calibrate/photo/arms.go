// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"
	"slices"

	"lozenge/calibrate"
)

const (
	armStart     = 7.0                     // pixels of 1080: nearer, the other arm pulls
	armEnd       = calibrate.ArmLength - 3 // beyond, the end does
	besideRing   = 4.5
	armWindow    = 0.11 // in to each side: narrower ones are biased
	leastArm     = 14   // profiles on a diagonal
	armSpreadMax = 0.014
	armAlone     = 1.3    // times the usual light, or that part of it: beyond, something is printed there
	leastSeenArm = 0.18   // of the profiles on a diagonal
	mostLean     = 4.0    // of a line whose points are on both sides
	believedSize = 0.0008 // in, of the error of a cross, to begin with
	believedN    = 6.0
	// alike is how many profiles see the same grain: they overlap.
	alike = 5.0
)

// A cross is one that was found: where it stands in inches along the lines.
type cross struct {
	target calibrate.Target
	x, y   float64
	sigma  float64
	stray  float64       // inches: how far the points of its worse arm usually are off
	peak   float64       // shades, of its arms
	normal [2][2]float64 // of the arms that run down and up to the right on the screen
	points []armPoint
}

// An armPoint is where a profile saw the middle of an arm.
type armPoint struct {
	px, py float64 // pixels
	x, y   float64 // inches
	off    float64 // inches, from the line that is fitted
	bright float64 // natural logarithm of its light over the ground's, but for a factor
}

// arms is what the reading of arms needs.
type arms struct {
	ruling *ruling
	screen calibrate.Screen
	unit   float64 // pixels of the screen, for one of a screen 1080 high
	// doubtful crosses are taken too.
	doubtful bool
}

// A way to read a cross.
type way struct {
	narrow float64 // times the usual windows: narrower where printed lines leave little of its arms
	seen   float64 // of a diagonal, at least
	lean   float64 // of a diagonal, at most
	alone  bool    // what other lines may have touched is left out
}

// ways are tried in turn, the last ones only where too few crosses are read
// without them.
var ways = [...]way{{1, leastSeenArm, mostLean, true}, {0.7, leastSeenArm, mostLean, true}, {1, 0, 3 * mostLean, false}, {0.7, 0, 3 * mostLean, false}}

const sureWays = 2

// read fits the two diagonals of a cross that should be at (x, y), with the
// picture's derivatives there, in inches a pixel.
func (a *arms) read(t calibrate.Target, x, y float64, j [4]float64, ringed bool) (cross, bool) {
	for i, w := range ways {
		if i == sureWays && !a.doubtful {
			break
		}
		if c, ok := a.readBy(w, t, x, y, j, ringed); ok {
			return c, true
		}
	}
	return cross{}, false
}

func (a *arms) readBy(w way, t calibrate.Target, x, y float64, j [4]float64, ringed bool) (cross, bool) {
	c := cross{target: t, x: x, y: y}
	var along [2][2]float64
	for k := range along {
		sign := 1 - 2*float64(k)
		du, dv := math.Sqrt2/2, sign*math.Sqrt2/2
		along[k] = [2]float64{j[0]*du + j[1]*dv, j[2]*du + j[3]*dv}
	}
	for range 3 {
		var points [2][]armPoint
		var tried [2]int
		peak := 0.0
		for k, d := range along {
			var p float64
			points[k], p, tried[k] = a.profiles(w.narrow, c.x, c.y, d[0], d[1], ringed)
			peak += p / 2
		}
		if w.alone {
			points = a.alone(points)
		}
		var lines [2]diagonal
		for k, d := range along {
			var ok bool
			if lines[k], ok = straight(points[k], c.x, c.y, d[0], d[1]); !ok || lines[k].lean > w.lean || float64(len(points[k])) < w.seen*float64(tried[k]) {
				return c, false
			}
		}
		nx, ny, ok := lines[0].meets(lines[1])
		if !ok {
			return c, false
		}
		moved := math.Hypot(nx-c.x, ny-c.y)
		if moved > armWindow {
			return c, false
		}
		c.x, c.y, c.peak = nx, ny, peak
		c.normal = [2][2]float64{{lines[0].nx, lines[0].ny}, {lines[1].nx, lines[1].ny}}
		c.points = append(append([]armPoint(nil), lines[0].points...), lines[1].points...)
		c.stray = max(lines[0].stray, lines[1].stray)
		c.sigma = math.Sqrt((lines[0].variance+lines[1].variance)/2) / w.narrow
		if moved < 0.0005 {
			break
		}
	}
	return c, true
}

// profiles takes profiles across both half arms of a diagonal, (dx, dy) inches
// a pixel along it. Those beside printed lines are left out.
func (a *arms) profiles(narrow, x, y, dx, dy float64, ringed bool) (out []armPoint, peak float64, tried int) {
	r := a.ruling
	clear, half := r.clearance()
	var peaks []float64
	for side := -1.0; side <= 1; side += 2 {
		for at := armStart; at <= armEnd; {
			k := side * at * a.unit
			px, py := x+k*dx, y+k*dy
			s, t := px/r.step, py/r.step
			u, v, ok := r.camera.back(s, t)
			u2, v2, ok2 := r.camera.back((px+0.02*dx/math.Hypot(dx, dy))/r.step, (py+0.02*dy/math.Hypot(dx, dy))/r.step)
			length := math.Hypot(u2-u, v2-v) // photo pixels in 0.02 in
			if !ok || !ok2 || length < 1e-3 {
				break
			}
			tried++
			at += max(0.5*0.02/length/math.Hypot(dx, dy)/a.unit, 0.1)
			if ringed && math.Abs(at-calibrate.RingRadius) < besideRing || r.nearLine(s, t, narrow*clear, narrow*half) {
				continue
			}
			l := look{x: u, y: v, nx: -(v2 - v) / length, ny: (u2 - u) / length, sign: 1}
			l.reach = max(narrow*armWindow*length/0.02, 4)
			l.strip = 1
			g, ok := r.full.ridge(l)
			if !ok {
				continue
			}
			peaks = append(peaks, g.peak)
			fx, fy := u+g.off*l.nx, v+g.off*l.ny
			ms, mt := r.camera.at(fx, fy)
			out = append(out, armPoint{
				px: fx, py: fy, x: ms * r.step, y: mt * r.step,
				bright: math.Log(g.area / max(g.floor, 1) * length * math.Hypot(dx, dy)),
			})
		}
	}
	return out, quantile(0.5, peaks), tried
}

// alone leaves out what shines more or less over the ground than arms do: a
// printed line lies in the arm or beside it there. On fabric arm and ground are
// brighter, both. What is usual is where a quarter of all lies closest together.
func (a *arms) alone(points [2][]armPoint) (out [2][]armPoint) {
	var v []float64
	for _, of := range points {
		for _, p := range of {
			v = append(v, p.bright)
		}
	}
	slices.Sort(v)
	usual, spread := 0.0, math.Inf(1)
	for i := range v[:len(v)-len(v)/4] {
		if apart := v[i+len(v)/4] - v[i]; apart < spread {
			usual, spread = v[i]+apart/2, apart
		}
	}
	for k, of := range points {
		for _, p := range of {
			if math.Abs(p.bright-usual) < math.Log(armAlone)+3*spread {
				out[k] = append(out[k], p)
			}
		}
	}
	return out
}

// A diagonal is a line through points: n·place = d.
type diagonal struct {
	nx, ny, d float64
	variance  float64 // of d near the middle
	lean      float64 // how much larger that is than amid the points: 1 where those lie round the middle
	stray     float64 // how far points usually are off, as a standard deviation
	points    []armPoint
}

// straight fits a line by least squares with Tukey's weights; it goes about
// (x, y) in the direction (dx, dy).
func straight(points []armPoint, x, y, dx, dy float64) (diagonal, bool) {
	l := math.Hypot(dx, dy)
	ax, ay := dx/l, dy/l
	nx, ny := -ay, ax
	if len(points) < leastArm {
		return diagonal{}, false
	}
	offset, slope, spread := 0.0, 0.0, 0.0
	sizes := make([]float64, len(points))
	weights := make([]float64, len(points))
	var sw, swt, swtt, rss float64
	for pass := range 8 {
		for i, p := range points {
			t := (p.x-x)*ax + (p.y-y)*ay
			points[i].off = (p.x-x)*nx + (p.y-y)*ny - offset - slope*t
			sizes[i] = math.Abs(points[i].off)
			weights[i] = sizes[i]
		}
		spread = max(1.4826*quantile(0.5, weights), 0.0003)
		limit := 4.685 * spread
		var g0, g1 float64
		sw, swt, swtt, rss = 0, 0, 0, 0
		for i, p := range points {
			u := points[i].off / limit
			if pass == 0 {
				u /= 2
			}
			if math.Abs(u) >= 1 {
				continue
			}
			w := (1 - u*u) * (1 - u*u)
			t := (p.x-x)*ax + (p.y-y)*ay
			sw, swt, swtt = sw+w, swt+w*t, swtt+w*t*t
			g0, g1 = g0+w*points[i].off, g1+w*points[i].off*t
			rss += w * points[i].off * points[i].off
		}
		det := sw*swtt - swt*swt
		if sw < leastArm*0.6 || !(det > 1e-9*sw*sw) {
			return diagonal{}, false
		}
		offset += (swtt*g0 - swt*g1) / det
		slope += (sw*g1 - swt*g0) / det
	}
	det := sw*swtt - swt*swt
	if spread > armSpreadMax || math.Abs(slope) > 0.25 {
		return diagonal{}, false
	}
	each := (rss/sw*sw/alike + believedN*believedSize*believedSize*4) / (sw/alike + believedN)
	d := diagonal{points: points, variance: each * alike * swtt / det, lean: sw * swtt / det, stray: spread}
	k := math.Hypot(1, slope)
	d.nx, d.ny = (nx-slope*ax)/k, (ny-slope*ay)/k
	d.d = d.nx*(x+offset*nx) + d.ny*(y+offset*ny)
	return d, true
}

// meets returns where two lines meet.
func (d diagonal) meets(e diagonal) (x, y float64, ok bool) {
	det := d.nx*e.ny - d.ny*e.nx
	if math.Abs(det) < 0.3 {
		return 0, 0, false
	}
	return (d.d*e.ny - d.ny*e.d) / det, (d.nx*e.d - d.d*e.nx) / det, true
}

// ring returns how bright a ring about a cross is, in shades; printed lines
// and arms are left out, and what shines here and there does not count.
func (a *arms) ring(x, y float64, j [4]float64) float64 {
	best := 0.0
	for radius := 13.0; radius <= 40; radius += 1 {
		var v []float64
		for k := range 144 {
			angle := 2 * math.Pi * (float64(k) + 0.5) / 144
			if d := math.Mod(angle, math.Pi/2) - math.Pi/4; math.Abs(d)*radius < 6 {
				continue
			}
			on, ok := a.around(x, y, j, radius, angle)
			in, ok1 := a.around(x, y, j, radius-6, angle)
			out, ok2 := a.around(x, y, j, radius+6, angle)
			switch {
			case !ok || !ok1 && !ok2:
				continue
			case !ok1:
				in = out
			case !ok2:
				out = in
			}
			v = append(v, on-max(in, out))
		}
		if len(v) >= 24 {
			best = max(best, quantile(0.3, v))
		}
	}
	return best
}

// around returns the shade at an angle and a distance, in pixels of a screen
// 1080 high, from a cross.
func (a *arms) around(x, y float64, j [4]float64, radius, angle float64) (float64, bool) {
	sin, cos := math.Sincos(angle)
	u, v := radius*a.unit*cos, radius*a.unit*sin
	r := a.ruling
	s, t := (x+j[0]*u+j[1]*v)/r.step, (y+j[2]*u+j[3]*v)/r.step
	if r.nearLine(s, t, min(0.05, 0.12*r.step), 0.04) {
		return 0, false
	}
	px, py, ok := r.camera.back(s, t)
	if !ok || !r.full.holds(px, py, 2) {
		return 0, false
	}
	return float64(r.full.at(px, py)), true
}
