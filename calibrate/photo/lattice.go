// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"cmp"
	"math"
	"slices"
)

// A seed is a place where printed lines show well: a crossing of two of them,
// and the steps to the next ones.
type seed struct {
	x, y           float64
	ax, ay, bx, by float64
	sign           float32 // 1: light lines, -1: dark ones
	score          float64
}

const (
	windowsAcross  = 5
	directions     = 90
	coarse         = 5    // one pixel of so many tells the direction
	leastSpacing   = 7    // pixels of the smaller picture
	leastApart     = 55.0 // degrees, between the two directions
	profileFill    = 0.35 // of the fullest bin
	firstPeakPart  = 0.8  // of the highest one
	leastRepeating = 0.25 // of the profile, one step on
)

// seeds looks for lines in windows over the whole picture, best first.
func seeds(p *plane) (out []seed) {
	side := float64(max(p.w, p.h)) / windowsAcross
	nx, ny := windowsAcross, max(2, int(math.Round(float64(p.h)/side)))
	if p.h > p.w {
		nx, ny = max(2, int(math.Round(float64(p.w)/side))), windowsAcross
	}
	for j := range ny {
		for i := range nx {
			x := side/2 + (float64(p.w)-side)*float64(i)/float64(nx-1)
			y := side/2 + (float64(p.h)-side)*float64(j)/float64(ny-1)
			if s, ok := seedAt(p, x, y, side/2); ok {
				out = append(out, s)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b seed) int { return cmp.Compare(b.score, a.score) })
	return out
}

// seedAt looks for lines in the disc of radius r about (x, y).
func seedAt(p *plane, x, y, r float64) (seed, bool) {
	x, y = math.Round(x), math.Round(y)
	var strength [directions]float64
	for d := range directions {
		strength[d] = profileOf(p, x, y, r, coarse, math.Pi*float64(d)/directions).strength()
	}
	first := 0
	for d := range directions {
		if strength[d] > strength[first] {
			first = d
		}
	}
	second := -1
	for d := range directions {
		apart := math.Abs(float64(d-first)) * 180 / directions
		apart = min(apart, 180-apart)
		if apart >= leastApart && (second < 0 || strength[d] > strength[second]) {
			second = d
		}
	}
	var dir, phase, step, third [2]float64
	for k, d := range []int{first, second} {
		best := profile{}
		for turn := -1.5; turn <= 1.5; turn += 0.5 {
			angle := (math.Pi*float64(d) + turn*math.Pi/2*0.5) / directions
			if q := profileOf(p, x, y, r, 1, angle); best.mean == nil || q.strength() > best.strength() {
				best, dir[k] = q, angle
			}
		}
		var ok bool
		if step[k], ok = best.spacing(); !ok {
			return seed{}, false
		}
		third[k] = best.thirdMoment()
		sign := math.Copysign(1, third[k])
		if k == 1 {
			sign = math.Copysign(1, third[0]+third[1])
		}
		phase[k] = best.phase(step[k], sign)
	}
	s := seed{sign: float32(math.Copysign(1, third[0]+third[1])), score: min(strength[first], strength[second])}
	// The lines n·(place - middle) = phase + a whole number of steps.
	n0x, n0y := -math.Sin(dir[0]), math.Cos(dir[0])
	n1x, n1y := -math.Sin(dir[1]), math.Cos(dir[1])
	det := n0x*n1y - n0y*n1x
	solve := func(c0, c1 float64) (float64, float64) {
		return (c0*n1y - n0y*c1) / det, (n0x*c1 - n1x*c0) / det
	}
	ox, oy := solve(phase[0], phase[1])
	s.x, s.y = x+ox, y+oy
	s.ax, s.ay = solve(step[0], 0)
	s.bx, s.by = solve(0, step[1])
	if s.ax*s.by-s.ay*s.bx < 0 { // turned as the photo's own axes
		s.ax, s.ay, s.bx, s.by = s.bx, s.by, s.ax, s.ay
	}
	return s, true
}

// A profile holds the means along parallel lines, one a pixel; the middle one
// goes through the window's middle.
type profile struct {
	mean, count []float64
	radius      int
}

// profileOf takes one sample of so many in each row, every second one further on
// than in the row before, so that no line is passed over.
func profileOf(p *plane, x, y, r float64, skip int, angle float64) profile {
	n := int(r)
	out := profile{make([]float64, 2*n+3), make([]float64, 2*n+3), n + 1}
	mean, count := out.mean, out.count[:len(out.mean)]
	sin, cos := math.Sincos(angle)
	step := -float64(skip) * sin
	for j := -n; j <= n; j++ {
		v := int(y) + j
		if v < 0 || v >= p.h {
			continue
		}
		wide := int(math.Sqrt(r*r - float64(j*j)))
		from, to := max(-wide, -int(x)), min(wide, p.w-1-int(x))
		from += (2*(j+n) + n - from%skip + 2*skip) % skip
		row := p.v[v*p.w:]
		// The middle of the pixel; its light goes to the two nearest bins.
		t := -(float64(from)+0.5)*sin + (float64(j)+0.5)*cos + float64(n+1)
		for i := from; i <= to; i += skip {
			k := int(t)
			f := t - float64(k)
			w := float64(row[int(x)+i])
			if uint(k+1) < uint(len(mean)) {
				mean[k] += w - f*w
				count[k] += 1 - f
				mean[k+1] += f * w
				count[k+1] += f
			}
			t += step
		}
	}
	most := slices.Max(out.count)
	for k := range out.mean {
		if out.count[k] < profileFill*most || most == 0 {
			out.mean[k], out.count[k] = 0, 0
			continue
		}
		out.mean[k] /= out.count[k]
	}
	return out
}

// strength is the variance of the means.
func (q profile) strength() float64 {
	sum, square, n := 0.0, 0.0, 0.0
	for k, v := range q.mean {
		if q.count[k] > 0 {
			sum, square, n = sum+v, square+v*v, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return square/n - sum*sum/(n*n)
}

func (q profile) thirdMoment() float64 {
	sum, n := 0.0, 0.0
	for k, v := range q.mean {
		if q.count[k] > 0 {
			sum, n = sum+v, n+1
		}
	}
	m := sum / max(n, 1)
	out := 0.0
	for k, v := range q.mean {
		if q.count[k] > 0 {
			out += (v - m) * (v - m) * (v - m)
		}
	}
	return out
}

// spacing returns after how many pixels the profile comes again: the first peak
// of its autocorrelation that is nearly as high as any.
func (q profile) spacing() (float64, bool) {
	var v []float64
	for k := range q.mean {
		if q.count[k] > 0 {
			v = append(v, q.mean[k])
		}
	}
	m := 0.0
	for _, x := range v {
		m += x / float64(len(v))
	}
	most := len(v) * 45 / 100
	if most < 2*leastSpacing {
		return 0, false
	}
	r := make([]float64, most)
	for lag := range r {
		for k := 0; k+lag < len(v); k++ {
			r[lag] += (v[k] - m) * (v[k+lag] - m)
		}
		r[lag] /= float64(len(v) - lag)
	}
	peak := func(l int) bool { return r[l] > r[l-1] && r[l] >= r[l+1] }
	high := 0.0
	for l := leastSpacing; l+1 < most; l++ {
		if peak(l) {
			high = max(high, r[l])
		}
	}
	if !(high > leastRepeating*r[0]) {
		return 0, false
	}
	for l := leastSpacing; l+1 < most; l++ {
		if peak(l) && r[l] >= firstPeakPart*high {
			bend := r[l-1] - 2*r[l] + r[l+1]
			return float64(l) + (r[l-1]-r[l+1])/(2*bend), true
		}
	}
	return 0, false
}

// phase returns where the line nearest to the middle is, in pixels from it.
func (q profile) phase(step, sign float64) float64 {
	best, at := math.Inf(-1), 0.0
	for t := -step / 2; t < step/2; t += 0.5 {
		sum, n := 0.0, 0.0
		for i := -3; i <= 3; i++ {
			k := t + float64(i)*step + float64(q.radius)
			if l := int(k); l >= 0 && l+1 < len(q.mean) && q.count[l] > 0 && q.count[l+1] > 0 {
				f := k - float64(l)
				w := 1.0 / float64(1+i*i) // the nearest count most: steps change
				sum, n = sum+w*((1-f)*q.mean[l]+f*q.mean[l+1]), n+w
			}
		}
		if n > 0 && sign*sum/n > best {
			best, at = sign*sum/n, t
		}
	}
	return at
}
