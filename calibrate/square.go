// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"fmt"
	"math"

	"lozenge/geometry"
)

// Purpose is what a measured square is to stand for.
type Purpose int

// The purposes.
const (
	ForPrint Purpose = iota
	ForProjector
	ForCutter
)

// String returns print, projector or cutter.
func (p Purpose) String() string { return [...]string{"print", "projector", "cutter"}[p] }

// ParsePurpose undoes String.
func ParsePurpose(text string) (Purpose, error) {
	for _, p := range []Purpose{ForPrint, ForProjector, ForCutter} {
		if text == p.String() {
			return p, nil
		}
	}
	return 0, fmt.Errorf("%q is nothing a square is measured for; write print, projector or cutter", text)
}

// tolerance returns by how much the square may be off over its size, in
// inches.
func (p Purpose) tolerance() float64 {
	if p == ForProjector {
		return 1.0 / 32
	}
	return 1.0 / 64
}

// Off is the verdict on a square that was measured well and is not true.
const Off Verdict = "off"

// SquareReading is what was measured on a square, in inches.
type SquareReading struct {
	Nominal       float64 // the size that it should have
	Width, Height float64 // from the bottom-left corner along the bottom and up the left side
	Diagonal1     float64 // from the bottom-left corner
	Diagonal2     float64 // from the bottom-right corner
	Purpose       Purpose
	Reading       float64       // how exactly each length is read; 0 means 1/32
	Unit          geometry.Unit // in which the advice is written
}

// SquareResult is what four lengths say about a square. Numbers that can't be
// known are NaN; what can be computed stands beside every verdict.
type SquareResult struct {
	ScaleX, ScaleY float64 // measured over nominal
	SkewDegrees    float64 // positive when the bottom-left corner is less than 90 degrees
	// Closure tells whether the four lengths belong together: the root of the
	// mean square of the diagonals less that of the sides, as one parallelogram
	// has them equal, in inches.
	Closure      float64
	ClosureLimit float64 // three standard deviations of it
	Resolution   float64 // the least error of scale that the reading can show, as a part of 1
	Tolerance    float64 // by how much a side or a corner may be off, in inches
	// Percent is what to print or cut at instead of 100, NaN when nothing is
	// off or no single figure sets it right.
	Percent float64
	Verdict Verdict // ok, off, suspect or rejected
	Advice  []string
}

// slack keeps a square that is off by exactly the tolerance within it.
const slack = 1e-9

// Square judges a measured square: closure says whether the readings belong
// together, scale and skew whether it is true to what the purpose needs.
func Square(r SquareReading) SquareResult {
	if r.Reading == 0 {
		r.Reading = believedSigma
	}
	nan := math.NaN()
	w, h, d1, d2, l := r.Width, r.Height, r.Diagonal1, r.Diagonal2, r.Nominal
	out := SquareResult{
		ScaleX: w / l, ScaleY: h / l,
		SkewDegrees:  math.Asin((d1*d1-d2*d2)/(4*w*h)) * 180 / math.Pi,
		Closure:      math.Sqrt((d1*d1+d2*d2)/2) - math.Hypot(w, h),
		ClosureLimit: 3 * math.Sqrt(1.5) * r.Reading,
		Resolution:   r.Reading / l,
		Tolerance:    math.Max(r.Purpose.tolerance(), r.Reading),
		Percent:      nan,
		Verdict:      OK,
	}
	for _, v := range []*float64{&out.ScaleX, &out.ScaleY, &out.SkewDegrees, &out.Closure, &out.Resolution} {
		if !finite(*v) {
			*v = nan
		}
	}
	if why := impossible(r); why != "" {
		out.Verdict = Rejected
		out.Advice = []string{why + "; measure again"}
		return out
	}
	switch {
	case math.Abs(out.Closure) > out.ClosureLimit:
		out.Verdict = Suspect
		out.Advice = append(out.Advice, fmt.Sprintf("the four lengths don't belong to one square (closure %.3f in, more than %.3f): one of them is misread, or opposite sides differ as in a keystone; measure all four again, and the other two sides as well",
			out.Closure, out.ClosureLimit))
	case math.Abs(w-l) > out.Tolerance+slack || math.Abs(h-l) > out.Tolerance+slack || math.Abs(l*math.Sin(out.SkewDegrees*math.Pi/180)) > out.Tolerance+slack:
		out.Verdict = Off
		out.advise(r)
	default:
		out.Advice = append(out.Advice, "the square is true as far as the reading shows")
	}
	out.Advice = append(out.Advice, out.resolutionNote(r))
	return out
}

// impossible says why no square can have these lengths, or returns "".
func impossible(r SquareReading) string {
	for _, v := range []struct {
		name string
		v    float64
	}{{"the size", r.Nominal}, {"the width", r.Width}, {"the height", r.Height}, {"the first diagonal", r.Diagonal1}, {"the second diagonal", r.Diagonal2}, {"the reading", r.Reading}} {
		if !(v.v > 0) || math.IsInf(v.v, 0) {
			return v.name + " is not a length above 0"
		}
	}
	for i, d := range []float64{r.Diagonal1, r.Diagonal2} {
		if d <= math.Abs(r.Width-r.Height) || d >= r.Width+r.Height {
			return fmt.Sprintf("impossible: the %s diagonal, %s, does not reach between sides of %s and %s",
				[]string{"first", "second"}[i], length(d, r.Unit), length(r.Width, r.Unit), length(r.Height, r.Unit))
		}
	}
	return ""
}

// advise says what to do about a square that is off.
func (s *SquareResult) advise(r SquareReading) {
	l := r.Nominal
	mean := (s.ScaleX + s.ScaleY) / 2
	one := math.Abs(s.ScaleX/mean-1)*l <= s.Tolerance+slack && math.Abs(s.ScaleY/mean-1)*l <= s.Tolerance+slack
	wide := math.Abs(r.Width-l) > s.Tolerance+slack || math.Abs(r.Height-l) > s.Tolerance+slack
	say := func(format string, args ...any) { s.Advice = append(s.Advice, fmt.Sprintf(format, args...)) }
	if wide {
		switch {
		case r.Purpose == ForProjector:
			say("the square is %s wide and %s high of its size: the projector moved, or zoom is not 100 %%; put both back, or calibrate again", percent(s.ScaleX), percent(s.ScaleY))
		case one:
			s.Percent = 100 / mean
			figure := percent(1 / mean)
			where := "into the print dialog as its scale"
			if r.Purpose == ForCutter {
				where = "into the cutter's program as the scale of the drawing"
			}
			say("the square came out at %s: type %s %s (where it says something else than 100 %% now, that times %.4f), and measure the square again", percent(mean), figure, where, 1/mean)
		case r.Purpose == ForCutter:
			say("the square came out at %s across and %s up: no single scale sets it right; adjust the cutter's two directions by %s and %s, and measure the square again", percent(s.ScaleX), percent(s.ScaleY), percent(1/s.ScaleX), percent(1/s.ScaleY))
		default:
			say("the square came out at %s across and %s up: no single scale in the print dialog sets it right; print at 100 %% with fit to page switched off, and on another printer if it stays", percent(s.ScaleX), percent(s.ScaleY))
		}
	}
	if lean := math.Abs(l * math.Sin(s.SkewDegrees*math.Pi/180)); lean > s.Tolerance+slack {
		what := map[Purpose]string{
			ForPrint:     "the sheet went in askew; print again",
			ForProjector: "calibrate again",
			ForCutter:    "the mat or the sheet lies askew, or the cutter is out of square; load it again",
		}[r.Purpose]
		say("the bottom-left corner is %.2f degrees: a corner of the square stands %s out of square: %s", 90-s.SkewDegrees, length(lean, r.Unit), what)
	}
}

func (s *SquareResult) resolutionNote(r SquareReading) string {
	read, shown := length(r.Reading, r.Unit), fmt.Sprintf("%.1f", s.Resolution*100)
	if r.Reading < 1./64 { // no ruler is read so exactly
		read, shown = fmt.Sprintf("%.3f %s", r.Unit.FromInches(r.Reading), r.Unit), fmt.Sprintf("%.2f", s.Resolution*100)
	}
	note := fmt.Sprintf("a square of %s read to %s cannot show an error below %s %%", length(r.Nominal, r.Unit), read, shown)
	// From 12 in or 30 cm on a square shows what matters.
	if good := r.Unit.Inches(r.Unit.Of(12, 30)); r.Nominal < good {
		note += fmt.Sprintf("; one of %s shows %.1f %%", length(good, r.Unit), r.Reading/good*100)
	}
	return note
}
