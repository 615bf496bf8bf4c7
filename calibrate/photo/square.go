// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"image"
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Square is a square of light as a photo shows it on the mat, in inches of the
// mat's own grid. Bottom and left are those of the photo.
type Square struct {
	Bottom, Right, Top, Left float64
	Rising, Falling          float64 // diagonals, from the lower left corner and from the lower right one
	Sigma                    float64 // of each length: one standard deviation
}

// finest is as exactly as a length is ever read in a photo, in inches.
const finest = 0.005

// Reading returns the square as one of that size that was measured.
func (s *Square) Reading(side float64, u geometry.Unit) calibrate.SquareReading {
	return calibrate.SquareReading{
		Nominal: side, Width: s.Bottom, Height: s.Left, Diagonal1: s.Rising, Diagonal2: s.Falling,
		Purpose: calibrate.ForProjector, Reading: max(finest, 3*s.Sigma), Unit: u,
	}
}

const (
	mostResized   = 0.045 // of a side: so far from its size a square is looked for
	searchStep    = 5     // pixels of the flat picture, from size to size
	besideSide    = 3     // pixels: a side is looked for so far beside its place
	litOver       = 3.0   // times the ground's unevenness
	leastLit      = 0.7   // of a side
	clearOfCorner = 0.2   // in
	leastOnSide   = 25    // profiles
	narrowSide    = 0.06  // in: a profile that reaches no farther tells nothing
)

// ReadSquare measures the square of light with sides about that long, in inches.
// The error is a *[Refusal].
func ReadSquare(im *image.Gray, side float64, o Options) (*Square, error) {
	if o.Step == 0 {
		o.Step = 1
	}
	r, f, refused := flatten(im, o)
	if refused != nil {
		return nil, refused
	}
	corners, ok := f.square(side)
	if !ok {
		return nil, refuse(NoSquare, "no square of light with sides of %.4g in is seen on the mat's lines; show the frame with the check square, nothing lying on it, dim the lights a little, and take the photo from above; or the mat has other lines than --grid says", side)
	}
	s, refused := r.measure(corners)
	if refused != nil {
		return nil, refused
	}
	return s, nil
}

// square returns the corners of the square that is lit best, in inches along the
// lines: upper left, lower left, lower right, upper right.
func (f *flat) square(side float64) (corners [4][2]float64, ok bool) {
	e := f.overGround()
	level, upright := f.litRuns(e, f.w), f.litRuns(e, 1)
	long := side * perInch
	most := int(mostResized * long)
	best := leastLit
	for dw := -most / searchStep * searchStep; dw <= most; dw += searchStep {
		for dh := -most / searchStep * searchStep; dh <= most; dh += searchStep {
			w, h := int(math.Round(long))+dw, int(math.Round(long))+dh
			for y := 1; y+h < f.h; y += 2 {
				for x := 1; x+w < f.w; x += 2 {
					lit := upright.part(x, y, y+h)
					if lit <= best {
						continue
					}
					lit = min(lit, upright.part(x+w, y, y+h), level.part(y, x, x+w), level.part(y+h, x, x+w))
					if lit > best {
						best, ok = lit, true
						corners = [4][2]float64{{float64(x), float64(y)}, {float64(x), float64(y + h)}, {float64(x + w), float64(y + h)}, {float64(x + w), float64(y)}}
					}
				}
			}
		}
	}
	if !ok {
		return corners, false
	}
	corners = f.settled(e, corners)
	for i, c := range corners {
		s, t := f.place(c[0]+0.5, c[1]+0.5)
		corners[i] = [2]float64{s * f.perStep / perInch, t * f.perStep / perInch}
	}
	return corners, true
}

// runs count along lines of a picture: how many places are seen before each, and
// how many of those are lit.
type runs struct {
	seen, lit []int32
	long      int
}

// litRuns counts along rows where across is a row, along columns where it is 1;
// a place is lit when one within besideSide across is.
func (f *flat) litRuns(e *plane, across int) runs {
	lines, long, along := f.h, f.w, 1
	if across == 1 {
		lines, long, along = f.w, f.h, f.w
	}
	out := runs{make([]int32, lines*(long+1)), make([]int32, lines*(long+1)), long + 1}
	beside := int(math.Round(besideArm * perInch))
	shines := make([]bool, len(e.v))
	for l := beside; l < lines-beside; l++ {
		for k := range long {
			i := l*across + k*along
			shines[i] = f.seen[i] && e.v[i]-max(e.v[i-beside*across], e.v[i+beside*across]) > litOver
		}
	}
	for l := range lines {
		for k := range long {
			var seen, lit int32
			for d := max(-besideSide, -l); d <= min(besideSide, lines-1-l); d++ {
				i := (l+d)*across + k*along
				if f.seen[i] {
					seen = 1
				}
				if shines[i] {
					lit = 1
					break
				}
			}
			at := l*(long+1) + k
			out.seen[at+1], out.lit[at+1] = out.seen[at]+seen, out.lit[at]+lit
		}
	}
	return out
}

// part returns which part of a line is lit from one place to another.
func (r *runs) part(line, from, to int) float64 {
	from, to = line*r.long+from, line*r.long+to
	seen := r.seen[to] - r.seen[from]
	if int(seen) < (to-from)/3 {
		return 0
	}
	return float64(r.lit[to]-r.lit[from]) / float64(seen)
}

// settled moves each half of each side to where it shines most, and returns where
// the sides meet then.
func (f *flat) settled(e *plane, c [4][2]float64) [4][2]float64 {
	var sides [4]diagonal
	for k := range sides {
		a, b := c[k], c[(k+1)%4]
		nx, ny := b[1]-a[1], a[0]-b[0]
		long := math.Hypot(nx, ny)
		nx, ny = nx/long, ny/long
		var ends [2][2]float64
		for half := range ends {
			from := 0.08 + 0.46*float64(half)
			best := math.Inf(-1)
			for off := -besideSide - 1.0; off <= besideSide+1; off += 0.5 {
				sum := 0.0
				for t := from; t < from+0.38; t += 1 / long {
					x, y := a[0]+t*(b[0]-a[0])+off*nx, a[1]+t*(b[1]-a[1])+off*ny
					sum += float64(e.at(x+0.5, y+0.5))
				}
				if sum > best {
					best = sum
					t := from + 0.19
					ends[half] = [2]float64{a[0] + t*(b[0]-a[0]) + off*nx, a[1] + t*(b[1]-a[1]) + off*ny}
				}
			}
		}
		nx, ny = ends[1][1]-ends[0][1], ends[0][0]-ends[1][0]
		sides[k] = diagonal{nx: nx, ny: ny, d: nx*ends[0][0] + ny*ends[0][1]}
	}
	return meeting(sides, c)
}

// meeting returns where each side meets the one before.
func meeting(sides [4]diagonal, or [4][2]float64) (out [4][2]float64) {
	for k := range out {
		x, y, ok := sides[(k+3)%4].meets(sides[k])
		if !ok {
			return or
		}
		out[k] = [2]float64{x, y}
	}
	return out
}

// measure reads the four sides by profiles in the photo.
func (r *ruling) measure(c [4][2]float64) (*Square, *Refusal) {
	var sides [4]diagonal
	for range 2 {
		for k := range sides {
			var ok bool
			if sides[k], ok = r.side(c[k], c[(k+1)%4]); !ok {
				return nil, refuse(NoSquare, "one side of the square can't be read in the photo: it lies beside a printed line of the mat, under something, or is too faint; dim the lights a little and come nearer; the page at the table and the frames of 'lozenge mat' show it clear of the lines where there is room")
			}
		}
		c = meeting(sides, c)
	}
	var marked []cross
	for _, p := range c {
		marked = append(marked, cross{x: p[0], y: p[1]})
	}
	if refused := r.judgeLines(marked); refused != nil {
		return nil, refused
	}
	// The corner at the lower left of the photo comes first. The lines are not
	// mirrored, so the others follow round.
	first, most := 0, math.Inf(-1)
	for k, p := range c {
		x, y, _ := r.camera.back(p[0]/r.step, p[1]/r.step)
		if y-x > most {
			first, most = k, y-x
		}
	}
	at := func(k int) geometry.Point { p := c[(first+k)%4]; return geometry.Point{X: p[0], Y: p[1]} }
	long := func(a, b int) float64 { return math.Hypot(at(a).X-at(b).X, at(a).Y-at(b).Y) }
	s := &Square{Bottom: long(0, 1), Right: long(1, 2), Top: long(2, 3), Left: long(3, 0), Rising: long(0, 2), Falling: long(1, 3)}
	for k, d := range sides {
		s.Sigma = max(s.Sigma, math.Sqrt2*math.Hypot(math.Sqrt(d.variance), r.floor(c[k][0], c[k][1])))
	}
	return s, nil
}

// side reads one side from corner to corner, in inches along the lines.
func (r *ruling) side(a, b [2]float64) (diagonal, bool) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	long := math.Hypot(dx, dy)
	dx, dy = dx/long, dy/long
	clear, half := r.clearance()
	along, across := 0, 1
	if math.Abs(dy) > math.Abs(dx) {
		along, across = 1, 0
	}
	off := func(v, line float64) float64 { return math.Abs(v/r.step-line-math.Round(v/r.step-line)) * r.step }
	var points []armPoint
	for at := clearOfCorner; at < long-clearOfCorner; at += 0.02 {
		p := [2]float64{a[0] + at*dx, a[1] + at*dy}
		if off(p[along], 0) < clear || r.halves && off(p[along], 0.5) < half {
			continue
		}
		// The printed line beside must stay outside the profile.
		reach := min(armWindow, off(p[across], 0)-0.03)
		if r.halves {
			reach = min(reach, off(p[across], 0.5)-0.025)
		}
		u, v, ok1 := r.camera.back(p[0]/r.step, p[1]/r.step)
		u2, v2, ok2 := r.camera.back((p[0]+0.02*dx)/r.step, (p[1]+0.02*dy)/r.step)
		length := math.Hypot(u2-u, v2-v) // photo pixels in 0.02 in
		if reach < narrowSide || !ok1 || !ok2 || length < 1e-3 {
			continue
		}
		l := look{x: u, y: v, nx: -(v2 - v) / length, ny: (u2 - u) / length, sign: 1, reach: max(reach*length/0.02, 3), strip: 1}
		if g, ok := r.full.ridge(l); ok {
			s, t := r.camera.at(u+g.off*l.nx, v+g.off*l.ny)
			points = append(points, armPoint{x: s * r.step, y: t * r.step})
		}
	}
	if len(points) < leastOnSide {
		return diagonal{}, false
	}
	return straight(points, (a[0]+b[0])/2, (a[1]+b[1])/2, dx, dy)
}
