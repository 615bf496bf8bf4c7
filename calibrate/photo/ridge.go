// SPDX-License-Identifier: Apache-2.0

package photo

import "math"

// A ridge is a line of the photo as a profile across it sees it.
type ridge struct {
	off   float64 // pixels, from where it was looked for
	peak  float64 // shades over the ground
	area  float64 // shades times pixels
	noise float64 // shades, of the ground
	floor float64 // shades, of the ground where the line is
}

const (
	centroidFrom = 0.35 // of the peak: below, what lies beside a line pulls at it
	leastPeak    = 3.0  // shades
	leastOver    = 3.0  // times the noise
)

// A look says where a profile is taken and how.
type look struct {
	x, y   float64 // pixels
	nx, ny float64 // across the line, of length 1
	reach  float64 // to both sides, pixels
	strip  float64 // half of how much of the line is averaged, pixels
	sign   float64 // 1 for a light line
}

// ridge takes the profile. The slope of the ground is taken off first.
func (p *plane) ridge(l look) (ridge, bool) {
	step := max(min(1, l.reach/8), 0.4)
	n := int(math.Ceil(l.reach / step))
	if n > 100 || !p.holds(l.x, l.y, l.reach+l.strip+1) {
		return ridge{}, false
	}
	var room [201]float64
	v := room[:2*n+1]
	strips := int(l.strip)
	for s := -strips; s <= strips; s++ {
		x, y := l.x-float64(s)*l.ny, l.y+float64(s)*l.nx
		for k := range v {
			t := float64(k-n) * step
			v[k] += float64(p.at(x+t*l.nx, y+t*l.ny))
		}
	}
	for k := range v {
		v[k] *= l.sign / float64(2*strips+1)
	}
	end := max(len(v)/5, 2)
	low, high := 0.0, 0.0
	for k := range end {
		low += v[k] / float64(end)
		high += v[len(v)-1-k] / float64(end)
	}
	slope := (high - low) / float64(len(v)-end)
	from := low - slope*float64(end-1)/2
	peak, noise := 0, 0.0
	for k := range v {
		v[k] -= from + slope*float64(k)
		if v[k] > v[peak] {
			peak = k
		}
	}
	for k := range end {
		noise += v[k]*v[k] + v[len(v)-1-k]*v[len(v)-1-k]
	}
	r := ridge{peak: v[peak], noise: math.Sqrt(noise / float64(2*end)), floor: from + slope*float64(peak)}
	if r.peak < leastPeak || r.peak < leastOver*r.noise {
		return r, false
	}
	sum, weight := 0.0, 0.0
	base := centroidFrom * r.peak
	lo, hi := peak, peak
	for lo > 0 && v[lo-1] > base {
		lo--
	}
	for hi < len(v)-1 && v[hi+1] > base {
		hi++
	}
	if lo == 0 || hi == len(v)-1 {
		return r, false
	}
	// The flanks down to the base are cut where they cross it: else the middle
	// would jump from sample to sample.
	for k := lo - 1; k <= hi+1; k++ {
		w := v[k] - base
		at := float64(k-n) * step
		if w <= 0 {
			continue
		}
		sum, weight = sum+w*at, weight+w
		r.area += v[k] * step
	}
	r.off = sum / weight
	return r, true
}
