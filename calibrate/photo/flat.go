// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"cmp"
	"math"
	"slices"
)

// perInch is how fine the mat is laid flat to look for crosses.
const perInch = 24.0

// A flat picture is the mat seen square from above: lines of one axis run
// upright, of the other level, and printed lines are masked.
type flat struct {
	*plane
	seen     []bool
	left, up float64 // steps, of the first pixel's corner
	perStep  float64 // pixels
}

const mostFlat = 2200 // pixels across or down

// lay lays the mat flat.
func (r *ruling) lay() *flat {
	f := &flat{left: float64(r.from[0]) - 1, up: float64(r.from[1]) - 1, perStep: perInch * r.step}
	w := int(min(float64(r.to[0]-r.from[0]+2)*f.perStep, mostFlat))
	h := int(min(float64(r.to[1]-r.from[1]+2)*f.perStep, mostFlat))
	f.plane = newPlane(w, h)
	f.seen = make([]bool, w*h)
	for y := range h {
		for x := range w {
			s, t := f.place(float64(x)+0.5, float64(y)+0.5)
			u, v, ok := r.camera.back(s, t)
			u, v = u/r.shrink, v/r.shrink
			if !ok || !r.small.holds(u, v, 2) {
				continue
			}
			f.v[y*w+x] = r.small.at(u, v)
			f.seen[y*w+x] = !r.nearLine(s, t, 0.055, 0.05)
		}
	}
	return f
}

func (f *flat) place(x, y float64) (s, t float64) { return f.left + x/f.perStep, f.up + y/f.perStep }

// nearLine reports whether a place lies within whole (in) of a whole printed
// line or within half of one half way between.
func (r *ruling) nearLine(s, t, whole, half float64) bool {
	for _, v := range [2]float64{s, t} {
		d := math.Abs(v - math.Round(v))
		if d*r.step < whole || r.halves && (0.5-d)*r.step < half {
			return true
		}
	}
	return false
}

// A candidate is where a cross may be.
type candidate struct {
	s, t  float64 // steps
	score float64
}

const (
	armFrom, armTo  = 0.1, 0.47 // in: every cross has arms as long as that
	besideArm       = 0.11      // in
	mostCandidates  = 60
	candidatesApart = 0.5  // in
	brightest       = 10.0 // of a sample, in units of the ground's usual unevenness
)

// armTurns are the directions in which an arm is looked for, in degrees from
// the mat's own diagonals: the picture may be turned, and keystone bends a
// right angle.
var armTurns = []float64{-26, -17.5, -9, 0, 9, 17.5, 26}

// candidates looks for crosses with diagonal arms.
func (f *flat) candidates() []candidate {
	e := f.overGround()
	n := f.w * f.h
	// weakest[k] of the four half arms, for the best direction of each pair.
	best := [2][]float32{make([]float32, n), make([]float32, n)}
	worse := [2][]float32{make([]float32, n), make([]float32, n)}
	for pair := range 2 {
		for k := range n {
			best[pair][k] = -1e6
		}
		for _, turn := range armTurns {
			f.arms(e, math.Pi/180*(45+90*float64(pair)+turn), best[pair], worse[pair])
		}
	}
	score := newPlane(f.w, f.h)
	for k := range n {
		four := [4]float32{worse[0][k], best[0][k] - worse[0][k], worse[1][k], best[1][k] - worse[1][k]}
		slices.Sort(four[:])
		score.v[k] = (four[0] + four[1]) / 2
	}
	return f.peaks(score)
}

// overGround returns how much brighter than its ground each place is, in units
// of what is usual; printed lines are 0.
func (f *flat) overGround() *plane {
	seen, light := newPlane(f.w, f.h), newPlane(f.w, f.h)
	for k, ok := range f.seen {
		if ok {
			seen.v[k], light.v[k] = 1, f.v[k]
		}
	}
	part, ground := seen.smooth(perInch/2), light.smooth(perInch/2)
	var sizes []float64
	for k := range light.v {
		light.v[k] = seen.v[k] * (f.v[k] - ground.v[k]/(part.v[k]+1e-6))
		if f.seen[k] && k%7 == 0 {
			sizes = append(sizes, math.Abs(float64(light.v[k])))
		}
	}
	usual := float32(1.4826*quantile(0.5, sizes) + 0.3)
	for k, v := range light.v {
		light.v[k] = max(min(v/usual, brightest), -brightest)
	}
	return light
}

// many is added to a sample that is seen, so that one sum tells how many were.
const many = 1024

// arms adds a direction: both half arms of each place, their sum and the weaker
// one, where the sum is the best so far.
func (f *flat) arms(e *plane, angle float64, best, worse []float32) {
	sin, cos := math.Sincos(angle)
	side := int(math.Round(-besideArm*perInch*sin)) + f.w*int(math.Round(besideArm*perInch*cos))
	ridge := make([]float32, len(e.v))
	rim := int(perInch/2) + 2
	for y := rim; y < f.h-rim; y++ {
		for k := y*f.w + rim; k < (y+1)*f.w-rim; k++ {
			if f.seen[k] {
				ridge[k] = many + e.v[k] - max(e.v[k+side], e.v[k-side])
			}
		}
	}
	var at []int
	for r := armFrom * perInch; r <= armTo*perInch; r++ {
		at = append(at, int(math.Round(r*cos))+f.w*int(math.Round(r*sin)))
	}
	least := len(at) / 3
	mean := func(sum float32) (float32, bool) {
		n := int(sum/many + 0.5)
		return (sum - float32(n)*many) / float32(max(n, 1)), n >= least
	}
	for y := rim; y < f.h-rim; y++ {
		for k := y*f.w + rim; k < (y+1)*f.w-rim; k++ {
			var one, other float32
			for _, d := range at {
				one += ridge[k+d]
				other += ridge[k-d]
			}
			a, ok1 := mean(one)
			b, ok2 := mean(other)
			if ok1 && ok2 && a+b > best[k] {
				best[k], worse[k] = a+b, min(a, b)
			}
		}
	}
}

// peaks returns the highest places, apart from one another.
func (f *flat) peaks(score *plane) (out []candidate) {
	var all []int
	for y := 1; y < f.h-1; y++ {
		for k := y*f.w + 1; k < (y+1)*f.w-1; k++ {
			v := score.v[k]
			if v > 0.3 && v > score.v[k-1] && v >= score.v[k+1] && v > score.v[k-f.w] && v >= score.v[k+f.w] {
				all = append(all, k)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b int) int { return cmp.Compare(score.v[b], score.v[a]) })
	apart := candidatesApart * f.perStep * perInch / f.perStep
	var places [][2]float64
	for _, k := range all {
		x, y := float64(k%f.w)+0.5, float64(k/f.w)+0.5
		if slices.ContainsFunc(places, func(p [2]float64) bool { return math.Hypot(p[0]-x, p[1]-y) < apart }) {
			continue
		}
		places = append(places, [2]float64{x, y})
		s, t := f.place(x, y)
		out = append(out, candidate{s, t, float64(score.v[k])})
		if len(out) == mostCandidates {
			break
		}
	}
	return out
}
