// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Mats mark eighths of an inch, or millimetres, beside some of their lines: that
// tells inches from centimetres, which nothing else in a photo does.
const (
	ticksBeside   = 0.06 // steps from the line's middle: ticks reach further
	ticksPerStep  = 48   // samples
	leastTickLine = 7    // steps: shorter stretches tell nothing
	ticksStand    = 5.0  // times what their neighbours are: they are there
)

// ticks returns how much marks stand out that part a step in eighths, and in
// tenths, beside the line that shows them best: the amplitude of that many
// waves a step over that of neighbouring numbers.
func (r *ruling) ticks() (eighths, tenths float64) {
	for axis := range 2 {
		for line := r.from[axis]; line <= r.to[axis]; line++ {
			for _, side := range [2]float64{-1, 1} {
				a, ok := r.waves(axis, float64(line)+side*ticksBeside)
				if !ok {
					continue
				}
				others := math.Max((a[6]+a[7]+a[9]+a[11]+a[13])/5, 0.05)
				eighths = max(eighths, a[8]/others)
				tenths = max(tenths, a[10]/others)
			}
		}
	}
	return eighths, tenths
}

// judgeGrid checks that the mat's lines are as far apart as was said. A picture
// that would be large enough to be one on a mat in centimetres is believed only
// where eighths are seen.
func (r *ruling) judgeGrid(m *camera, s calibrate.Screen) *Refusal {
	const inch, centimetre = 1, 1 / geometry.CentimetresPerInch
	if r.step != inch && r.step != centimetre {
		return nil
	}
	eighths, tenths := r.ticks()
	xu, xv, yu, yv := m.slope(float64(s.Width)/2, float64(s.Height)/2)
	wide := math.Sqrt(math.Abs(xu*yv-xv*yu)) * float64(s.Width) // in
	switch {
	case r.step == inch && tenths > ticksStand && tenths > eighths:
		return refuse(WrongGrid, "marks beside the mat's lines part them in tenths: these are centimetres; say so with --grid 1cm")
	case r.step == centimetre && eighths > ticksStand && eighths > tenths:
		return refuse(WrongGrid, "marks beside the mat's lines part them in eighths: these are inches; say so with --grid 1in")
	case r.step == inch && wide*centimetre > leastScale*1920 && eighths <= ticksStand:
		return refuse(WrongGrid, "with lines 1 in apart the picture would be %.0f in wide, and no eighths are seen beside them: if the mat has centimetres, say so with --grid 1cm; if inches, take the photo from nearer", wide)
	}
	return nil
}

// waves returns the amplitudes of 0 to 13 waves a step beside a line, in shades.
// What lies near lines that cross is left out.
func (r *ruling) waves(axis int, value float64) (amplitude [14]float64, ok bool) {
	var re, im [14]float64
	other := 1 - axis
	n, taken := (r.to[other]-r.from[other])*ticksPerStep, 0
	light := make([]float64, 0, n)
	at := make([]float64, 0, n)
	for k := range n {
		along := float64(r.from[other]) + float64(k)/ticksPerStep
		near := math.Abs(along - math.Round(along))
		if near < 0.07 || r.halves && 0.5-near < 0.05 {
			continue
		}
		s, t := value, along
		if axis == 1 {
			s, t = along, value
		}
		x, y, ok := r.camera.back(s, t)
		if !ok || !r.full.holds(x, y, 2) {
			continue
		}
		light = append(light, float64(r.full.at(x, y)))
		at = append(at, along)
		taken++
	}
	if taken < leastTickLine*ticksPerStep*8/10 {
		return amplitude, false
	}
	// The ground is taken off step by step.
	for from := 0; from < taken; {
		to, mean := from, 0.0
		for ; to < taken && math.Floor(at[to]) == math.Floor(at[from]); to++ {
			mean += light[to]
		}
		mean /= float64(to - from)
		for k := from; k < to; k++ {
			v := max(min(light[k]-mean, 20), -20)
			for w := range amplitude {
				sin, cos := math.Sincos(2 * math.Pi * float64(w) * at[k])
				re[w] += v * cos
				im[w] += v * sin
			}
		}
		from = to
	}
	for w := range amplitude {
		amplitude[w] = math.Hypot(re[w], im[w]) / float64(taken)
	}
	return amplitude, true
}
