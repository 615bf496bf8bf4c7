// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"

	"lozenge/calibrate"
)

// A turn takes inches along the lines, the second axis downwards, to the mat as
// it is told: x = xs s + xt t + x0, y = ys s + yt t + y0.
type turn struct{ xs, xt, x0, ys, yt, y0 float64 }

func (t turn) mat(s, u float64) (x, y float64) {
	return t.xs*s + t.xt*u + t.x0, t.ys*s + t.yt*u + t.y0
}

// lines undoes mat.
func (t turn) lines(x, y float64) (s, u float64) {
	x, y = x-t.x0, y-t.y0
	return t.xs*x + t.ys*y, t.xt*x + t.yt*y
}

// judge checks what was found and puts it into the mat's own axes.
func (a *arms) judge(crosses []cross, targets []calibrate.Target, o Options) (*Found, *Refusal) {
	r := a.ruling
	m, marks, ok := screenMap(o.Screen, crosses)
	if !ok {
		return nil, refuse(Loose, "the crosses lie where no projector puts them; show them full screen, touch nothing and take the photo again")
	}
	square, peak := 0.0, 0.0
	for k := 0; k < len(marks); k += 2 {
		x, y := m.at(marks[k].x, marks[k].y)
		square += ((x-marks[k].value)*(x-marks[k].value) + (y-marks[k+1].value)*(y-marks[k+1].value)) / float64(len(crosses))
		peak += crosses[k/2].peak / float64(len(crosses))
	}
	if math.Sqrt(square) > mostOff {
		return nil, refuse(Loose, "the crosses lie %.2f in off where one projector would put them all; the mat does not lie flat, or the picture was changed while the photo was taken: lay it flat and take the photo again", math.Sqrt(square))
	}
	corner, ok := a.first(&m, targets, o.Crosses, peak)
	switch {
	case !ok:
		return nil, refuse(NoRing, "which cross is the first can't be told: no ring is seen about just one of the corner crosses; show the sheet of 'lozenge calibrate target --for photo' and take the photo so that all four corners are in it, free of fabric and glare")
	case corner == 1 || corner == 3:
		return nil, refuse(Mirrored, "the picture on the mat, or the photo, is a mirror image; turn rear projection off in the projector's menu, take the photo with the phone's main camera, and take it again")
	case corner == 2:
		n := len(targets) - 1
		for i := range crosses {
			crosses[i].target = targets[n-indexOf(crosses[i].target, targets)]
		}
		if m, _, ok = screenMap(o.Screen, crosses); !ok {
			return nil, refuse(Loose, "the crosses lie where no projector puts them; take the photo again")
		}
	}
	if lean := sheared(&m, crosses); math.Abs(lean) > mostSheared {
		return nil, refuse(Stretched, "the crosses' arms cross at %.0f degrees where the picture has a right angle: the sheet was made for another size of picture than %v, or is shown stretched; make it for the size that you tell, and show it over the whole screen", 90-2*math.Abs(lean)*180/math.Pi, o.Screen)
	}
	if refused := r.judgeLines(crosses); refused != nil {
		return nil, refused
	}
	if refused := r.judgeGrid(&m, o); refused != nil {
		return nil, refused
	}
	return a.found(crosses, &m, targets)
}

// sheared returns how far the arms of all crosses lean towards each other, in
// radians, from where a picture puts them whose crosses stand where these do.
func sheared(m *camera, crosses []cross) float64 {
	sum := 0.0
	for _, c := range crosses {
		xu, xv, yu, yv := m.slope(c.target.U, c.target.V)
		for k, n := range c.normal {
			sign := 1 - 2*float64(k)
			x, y := xu+sign*xv, yu+sign*yv // along the arm
			off := math.Asin((n[0]*x + n[1]*y) / math.Hypot(x, y))
			if n[0]*y < n[1]*x { // the normal looks the other way
				off = -off
			}
			sum += sign * off / 2
		}
	}
	return sum / float64(len(crosses))
}

func indexOf(t calibrate.Target, targets []calibrate.Target) int {
	for i := range targets {
		if targets[i].Point == t.Point {
			return i
		}
	}
	return 0
}

// mostSheared is half of 1.5 degrees: another size of picture leans them by 3
// degrees and more, and arms are read far better.
const mostSheared = 0.75 * math.Pi / 180

const (
	partSize  = 3.0 // in: parts of the mat that are looked at by themselves
	partMarks = 12
)

// judgeLines checks that lines are seen where crosses are, and that they are
// straight in every part of the mat.
func (r *ruling) judgeLines(crosses []cross) *Refusal {
	if part := r.seen(crosses); part < leastSeen {
		return refuse(Unfit, "only %.0f of 100 places on the mat's lines fit the others: clear the mat, lay one mat flat under all crosses, and take the photo again", 100*part)
	}
	if worst := r.bent(); worst > mostBent {
		return refuse(Unfit, "in one part of the mat the lines are %.3f in off the others; the mat does not lie flat, or there are two: lay one mat flat and take the photo again", worst)
	}
	return nil
}

// seen returns which part of the places looked at on lines, between the crosses,
// shows a line that fits.
func (r *ruling) seen(crosses []cross) float64 {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range crosses {
		for k, v := range [2]float64{c.x / r.step, c.y / r.step} {
			lo[k], hi[k] = min(lo[k], v), max(hi[k], v)
		}
	}
	inner := *r
	for k := range 2 {
		inner.from[k], inner.to[k] = int(math.Floor(lo[k])), int(math.Ceil(hi[k]))
	}
	fit, tried := 0, 0
	var j [cameraN]float64
	for axis := range 2 {
		marks, n := inner.marksOn(axis, 0, inner.every(marksWanted/6), min(0.09/r.step, 0.3))
		tried += n
		for i := range marks {
			if math.Abs(r.camera.row(&marks[i], &j)) < 4.685*max(r.spread, 0.1) {
				fit++
			}
		}
	}
	return float64(fit) / float64(max(tried, 1))
}

// bent returns the largest mean, in inches, of what is left of lines in any
// part of the mat.
func (r *ruling) bent() float64 {
	type part struct{ axis, s, t int }
	sum, count := map[part]float64{}, map[part]float64{}
	for i := range r.marks {
		m := &r.marks[i]
		s, t := r.camera.at(m.x, m.y)
		off := (s - m.value) * r.step
		if m.axis == 1 {
			off = (t - m.value) * r.step
		}
		if math.Abs(off) > 0.09 {
			continue
		}
		k := part{m.axis, int(math.Floor(s * r.step / partSize)), int(math.Floor(t * r.step / partSize))}
		sum[k] += off
		count[k]++
	}
	worst := 0.0
	for k, n := range count {
		if n >= partMarks {
			worst = max(worst, math.Abs(sum[k])/n)
		}
	}
	return worst
}

// found turns the axes so that x runs nearest to the picture's own right, y up.
func (a *arms) found(crosses []cross, m *camera, targets []calibrate.Target) (*Found, *Refusal) {
	r := a.ruling
	xu, _, yu, _ := m.slope(float64(a.screen.Width)/2, float64(a.screen.Height)/2)
	var t turn
	if math.Abs(xu) > math.Abs(yu) {
		t.xs, t.yt = math.Copysign(1, xu), -math.Copysign(1, xu)
	} else {
		t.xt, t.ys = math.Copysign(1, yu), math.Copysign(1, yu)
	}
	x0, y0 := math.Inf(1), math.Inf(1)
	for _, c := range crosses {
		x, y := t.mat(c.x, c.y)
		x0, y0 = min(x0, x), min(y0, y)
	}
	t.x0, t.y0 = -math.Floor(x0/r.step)*r.step, -math.Floor(y0/r.step)*r.step
	f := &Found{Screen: a.screen, Spread: r.spread, Seen: r.seen(crosses), K1: r.camera.p[atK], K2: r.camera.p[atK+1], Step: r.step, ruling: r, turn: t}
	var sigmas []float64
	for _, target := range targets {
		missing := true
		for _, c := range crosses {
			if c.target.Point != target.Point {
				continue
			}
			missing = false
			k := Cross{Point: target.Point, U: target.U, V: target.V, Sigma: math.Hypot(c.sigma, r.floor(c.x, c.y))}
			k.X, k.Y = t.mat(c.x, c.y)
			k.Photo.X, k.Photo.Y, _ = r.camera.back(c.x/r.step, c.y/r.step)
			f.Crosses = append(f.Crosses, k)
			sigmas = append(sigmas, k.Sigma)
		}
		if missing {
			f.Missing = append(f.Missing, target.Point)
		}
	}
	if worst := quantile(0.5, sigmas); worst > mostSigma {
		return nil, refuse(Unsharp, "the crosses can be read to %.3f in only: the photo is blurred, noisy or too small; turn up the lights, hold still, come nearer, send it as the phone took it", worst)
	}
	return f, nil
}

// floor is what a cross may be off, in inches, however well its arms are read:
// a twentieth of a pixel of lens and lines.
func (r *ruling) floor(x, y float64) float64 {
	px, py, ok := r.camera.back(x/r.step, y/r.step)
	if !ok {
		return 0
	}
	sx, sy, tx, ty := r.camera.slope(px, py)
	return math.Hypot(0.0003, (0.015+r.spread/6)*r.step*math.Sqrt((sx*sx+sy*sy+tx*tx+ty*ty)/2))
}
