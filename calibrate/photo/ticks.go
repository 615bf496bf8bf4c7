// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"
)

// Mats mark eighths of an inch, or millimetres, beside some of their lines: that
// tells inches, half inches and centimetres apart, which nothing else in a photo
// does.
const (
	ticksBeside   = 0.06 // steps from the line's middle: ticks reach further
	ticksPerStep  = 48   // samples
	leastTickLine = 7    // steps: shorter stretches tell nothing
	ticksClear    = 1.8  // pixels that is at least: nearer, the line's own edge makes waves
	leastTicks    = 0.25 // shades: what is fainter is no mark
	ticksStand    = 5.0  // times what their neighbours are: they are there
)

// ticks returns how much marks stand out that part a step as those of each of the
// grids do, beside the line that shows them best: the amplitude of that many waves
// a step over that of neighbouring numbers.
func (r *ruling) ticks() (stand [len(grids)]float64) {
	for axis := range 2 {
		for line := r.from[axis]; line <= r.to[axis]; line++ {
			for _, side := range [2]float64{-1, 1} {
				a, ok := r.waves(axis, float64(line)+side*ticksBeside)
				if !ok {
					continue
				}
				others := max((a[5]+a[6]+a[7]+a[9]+a[11]+a[13])/6, leastTicks)
				for i := range grids {
					stand[i] = max(stand[i], a[grids[i].marks]/others)
				}
			}
		}
	}
	return stand
}

// judgeGrid checks that the mat's lines are as far apart as was said: by the marks
// beside them; where none are seen, by how wide the picture is on the mat, if she
// says so; and where she does not, no other grid may make it a likely size.
func (r *ruling) judgeGrid(m *camera, o Options) *Refusal {
	xu, xv, yu, yv := m.slope(float64(o.Screen.Width)/2, float64(o.Screen.Height)/2)
	wide := math.Sqrt(math.Abs(xu*yv-xv*yu)) * float64(o.Screen.Width) // in
	said := gridOf(r.step)
	marks, best := r.ticks(), ticksStand
	marked := -1
	for i, stand := range marks {
		if stand > best {
			marked, best = i, stand
		}
	}
	switch {
	case marked >= 0 && marked != said:
		return refuse(WrongGrid, "marks beside the mat's lines part them in %s: those lines are not %s apart; say so with --grid %s", grids[marked].parts, grids[said].name, grids[marked].name)
	case o.Wide > 0 && math.Abs(math.Log(wide/o.Wide)) > nearlyWide:
		return refuse(WrongGrid, "with lines %s apart the picture would be %.0f in wide, not %.0f: see which lines your mat has, and say so with --grid", grids[said].name, wide, o.Wide)
	case marked >= 0 || o.Wide > 0:
		return nil
	}
	for i, other := range grids {
		if would := wide * other.step / r.step; i != said && would > leastScale*1920 && would < mostScale*1920 {
			return refuse(WhichGrid, "nothing in the photo shows that the mat's lines are %s apart: the picture would be %.0f in wide, and with lines %s apart %.0f in; send the photo as the phone took it, not made smaller, so that the small marks beside the lines show", grids[said].name, wide, other.name, would)
		}
	}
	return nil
}

// nearlyWide is how far, as a logarithm, the picture may be from as wide as she
// says: half of what is between two grids, nearly.
const nearlyWide = 0.11

// waves returns the amplitudes of 0 to 13 waves a step beside a line, in shades.
// What lies near lines that cross is left out.
func (r *ruling) waves(axis int, value float64) (amplitude [14]float64, ok bool) {
	var re, im [14]float64
	other := 1 - axis
	n, taken := (r.to[other]-r.from[other])*ticksPerStep, 0
	light := make([]float64, 0, n)
	at := make([]float64, 0, n)
	clear, step := false, math.MinInt
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
		if whole := int(along); whole != step {
			step = whole
			sx, sy, tx, ty := r.camera.slope(x, y)
			across := [2]float64{math.Hypot(sx, sy), math.Hypot(tx, ty)}[axis] // steps in a pixel
			clear = ticksBeside > ticksClear*across
		}
		if !clear {
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
