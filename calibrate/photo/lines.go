// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"
)

// A ruling is the mat's printed lines as the photo shows them.
type ruling struct {
	full   *plane
	small  *plane // the same, so many times smaller
	shrink float64
	camera camera
	sign   float64
	from   [2]int // the first line of each axis that is looked for
	to     [2]int
	step   float64 // inches from line to line
	halves bool    // weaker lines lie half way between
	marks  []mark
	spread float64 // pixels
	tried  int
}

const (
	marksWanted  = 9000.0
	clearOfCross = 0.12  // in, of lines that cross
	clearOfFine  = 0.075 // in, of those a centimetre apart
	clearOfHalf  = 0.07  // in, of weaker lines half way between
)

// clearance is how far from whole and from half lines, in inches, what is read
// must lie.
func (r *ruling) clearance() (whole, half float64) {
	if r.step < 0.45 {
		return clearOfFine, clearOfHalf
	}
	return clearOfCross, clearOfHalf
}

// marksOn looks for the printed lines of one axis at from + 0, 1, 2...
// plus shift, every so many steps, within reach (steps to each side).
func (r *ruling) marksOn(axis int, shift, every, reach float64) (out []mark, tried int) {
	other := 1 - axis
	clear, clearOfHalves := r.clearance()
	for line := r.from[axis]; line <= r.to[axis]; line++ {
		value := float64(line) + shift
		for along := float64(r.from[other]) - 0.5 + every/2; along < float64(r.to[other])+0.5; along += every {
			if math.Abs(along-math.Round(along))*r.step < clear {
				continue
			}
			if half := along - math.Floor(along) - 0.5; (r.halves || shift != 0) && math.Abs(half)*r.step < clearOfHalves {
				continue
			}
			l, perPixel, ok := r.lookAt(axis, value, along, reach)
			if !ok {
				continue
			}
			tried++
			if g, ok := r.full.ridge(l); ok {
				out = append(out, mark{x: l.x + g.off*l.nx, y: l.y + g.off*l.ny, axis: axis, value: value, area: g.area * perPixel, along: along})
			}
		}
	}
	return out, tried
}

// lookAt returns the profile across a line at one of its places.
func (r *ruling) lookAt(axis int, value, along, reach float64) (l look, perPixel float64, ok bool) {
	s, t := value, along
	if axis == 1 {
		s, t = along, value
	}
	x, y, ok := r.camera.back(s, t)
	if !ok || !r.full.holds(x, y, 4) {
		return l, 0, false
	}
	sx, sy, tx, ty := r.camera.slope(x, y)
	gx, gy, lx, ly := sx, sy, tx, ty
	if axis == 1 {
		gx, gy, lx, ly = tx, ty, sx, sy
	}
	perPixel = math.Hypot(gx, gy)
	pixels := max(reach/perPixel, 3)
	l = look{x: x, y: y, nx: gx / perPixel, ny: gy / perPixel, reach: pixels, sign: r.sign}
	l.strip = min(max(0.05/r.step/math.Hypot(lx, ly), 1), 6)
	return l, perPixel, r.full.holds(x, y, pixels+l.strip+2)
}

// every returns the distance, in steps, between marks on a line for about so
// many in all.
func (r *ruling) every(wanted float64) float64 {
	a, b := float64(r.to[0]-r.from[0]+1), float64(r.to[1]-r.from[1]+1)
	return min(max(2*a*b/wanted, 0.06), 0.37) // not whole steps: those all lie on lines
}

// trace looks for all lines, in a window that narrows from pass to pass, and
// fits the camera.
func (r *ruling) trace() bool {
	for pass, window := range []float64{0.2, 0.13, 0.09} {
		reach := min(window/r.step, 0.3)
		every := r.every(marksWanted)
		if pass == 0 {
			every = r.every(marksWanted / 3)
		}
		a, n := r.marksOn(0, 0, every, reach)
		b, m := r.marksOn(1, 0, every, reach)
		r.marks, r.tried = append(a, b...), n+m
		if len(r.marks) < 60 {
			return false
		}
		var ok bool
		if r.spread, ok = r.camera.straighten(r.marks, cameraN); !ok {
			return false
		}
	}
	return true
}

// medianArea returns the usual strength of lines of one axis: of all, of those
// with even numbers and of those with odd ones.
func medianArea(marks []mark) (all, even, odd float64) {
	var sizes [3][]float64
	for _, m := range marks {
		sizes[0] = append(sizes[0], m.area)
		k := 1 + int(math.Abs(math.Mod(math.Floor(m.value), 2)))
		sizes[k] = append(sizes[k], m.area)
	}
	return quantile(0.5, sizes[0]), quantile(0.5, sizes[1]), quantile(0.5, sizes[2])
}

const (
	otherKind = 0.82 // even lines this much weaker than odd ones are another kind
	sameKind  = 0.75 // lines half way between as strong as that are the same kind
	someKind  = 0.12 // and as strong as that are there at all
	seenPart  = 0.5  // of places where a line must be seen to be there
)

// wholeLines makes the steps those from whole line to whole line: what was
// followed may have been the half lines too, or every second line only. fine
// asks for the finest lines that run all over the mat.
func (r *ruling) wholeLines(fine bool) {
	every := r.every(marksWanted / 4)
	for axis := range 2 {
		for range 2 {
			on, n := r.marksOn(axis, 0, every, 0.2)
			all, even, odd := medianArea(on)
			between, m := r.marksOn(axis, 0.5, every, 0.2)
			half, _, _ := medianArea(between)
			seen := float64(len(between)) > seenPart*float64(m) && m > 20
			least := sameKind
			if fine {
				least = someKind
			}
			switch {
			case n == 0:
				return
			case seen && half > least*all:
				r.rescale(axis, 2, 0)
				continue
			case !fine && min(even, odd) < otherKind*max(even, odd):
				offset := 0.0
				if odd > even {
					offset = 1
				}
				r.rescale(axis, 0.5, offset)
				r.halves = true
				continue
			case seen && half > someKind*all:
				r.halves = true
			}
			break
		}
	}
}

// rescale numbers the lines of one axis anew: (number - offset) times factor.
func (r *ruling) rescale(axis int, factor, offset float64) {
	h := r.camera.p[3*axis : 3*axis+3]
	h[0], h[1] = factor*(h[0]-offset*r.camera.p[6]), factor*(h[1]-offset*r.camera.p[7])
	h[2] = factor * (h[2] - offset)
	r.from[axis] = int(math.Floor((float64(r.from[axis]) - offset) * factor))
	r.to[axis] = int(math.Ceil((float64(r.to[axis]) - offset) * factor))
}
