// SPDX-License-Identifier: Apache-2.0

package scene

import "math"

// A Projector shows a picture of Width times Height pixels.
type Projector struct {
	Width, Height int
	H             [9]float64 // pixels, after the lens, to the mat
	K1, K2        float64
	ShiftV        float64 // of the lens's middle, over half the diagonal
	Light, Leak   float64 // of white and of black, of the room's light
	Strokes       []Stroke
	Pixel         func(u, v float64) float64 // what is shown instead of strokes; nil for those
}

// A Stroke of light goes from A to B, in pixels, or round A when it has a
// Radius.
type Stroke struct {
	A, B   [2]float64
	Radius float64
	Width  float64
}

// shines returns how much of a stretch of length size about a pixel is lit.
func (s *Stroke) shines(u, v, size float64) float64 {
	du, dv := u-s.A[0], v-s.A[1]
	if s.Radius > 0 {
		return cover(math.Sqrt(du*du+dv*dv)-s.Radius, s.Width, size)
	}
	lu, lv := s.B[0]-s.A[0], s.B[1]-s.A[1]
	long := math.Sqrt(lu*lu + lv*lv)
	return min(cover((du*lv-dv*lu)/long, s.Width, size), cover((du*lu+dv*lv)/long-long/2, long, size))
}

// within reports whether any of it may lie within reach of a place.
func (s *Stroke) within(u, v, reach float64) bool {
	lu, lv := s.B[0]-s.A[0], s.B[1]-s.A[1]
	t := min(max(((u-s.A[0])*lu+(v-s.A[1])*lv)/max(lu*lu+lv*lv, 1e-9), 0), 1)
	d := math.Hypot(u-s.A[0]-t*lu, v-s.A[1]-t*lv)
	return math.Abs(d-s.Radius) < reach+s.Width/2
}

// ToMat returns where a pixel of the projector lands.
func (p *Projector) ToMat(u, v float64) (x, y float64) {
	cx, cy := float64(p.Width)/2, float64(p.Height)/2
	r := math.Hypot(cx, cy)
	dx, dy := (u-cx)/r, (v-cy)/r-p.ShiftV
	d := dx*dx + dy*dy
	g := 1 + p.K1*d + p.K2*d*d
	u, v = cx+dx*g*r, cy+(dy*g+p.ShiftV)*r
	w := p.H[6]*u + p.H[7]*v + p.H[8]
	return (p.H[0]*u + p.H[1]*v + p.H[2]) / w, (p.H[3]*u + p.H[4]*v + p.H[5]) / w
}

// Outline returns the strokes of a closed line on the mat, as wide as said in
// pixels: what the projector must show for it.
func (p *Projector) Outline(corners [][2]float64, width float64) (out []Stroke) {
	const parts = 16 // a lens bends lines
	b := p.beam()
	for i, from := range corners {
		to := corners[(i+1)%len(corners)]
		at := func(k int) [2]float64 {
			t := float64(k) / parts
			u, v, _ := b.meets(from[0]+t*(to[0]-from[0]), from[1]+t*(to[1]-from[1]))
			return [2]float64{u, v}
		}
		for k := range parts {
			out = append(out, Stroke{A: at(k), B: at(k + 1), Width: width})
		}
	}
	return out
}

// A beam is the projector, ready for rays.
type beam struct {
	p      *Projector
	inv    [9]float64 // the mat to pixels after the lens
	cu, cv float64    // the lens's middle
	series [4]float64
	across int
	cells  []cell
}

// A cell is a part of the picture, as the strokes that are seen in it.
type cell struct {
	strokes []*Stroke
	busy    bool // there may be more in it: the picture's end
}

const (
	cellSize = 16.0 // pixels
	cellRoom = 5.0  // that cells reach into one another: more than from ray to ray
)

func (p *Projector) beam() *beam {
	m := p.H
	b := &beam{p: p, inv: [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}}
	b.undo()
	b.across = int(float64(p.Width)/cellSize) + 1
	down := int(float64(p.Height)/cellSize) + 1
	strokes := p.Strokes
	if p.Pixel != nil {
		strokes = nil
	}
	for j := range down {
		for i := range b.across {
			u, v := (float64(i)+.5)*cellSize, (float64(j)+.5)*cellSize
			reach := cellSize/2 + cellRoom
			c := cell{busy: p.Pixel != nil || min(u, v, float64(p.Width)-u, float64(p.Height)-v) < reach}
			for k := range strokes {
				if strokes[k].within(u, v, reach*math.Sqrt2) {
					c.strokes = append(c.strokes, &strokes[k])
				}
			}
			b.cells = append(b.cells, c)
		}
	}
	return b
}

// meets returns which pixel shines on a place of the mat, and its cell: nil far
// outside the picture.
func (b *beam) meets(x, y float64) (u, v float64, c *cell) {
	w := 1 / (b.inv[6]*x + b.inv[7]*y + b.inv[8])
	u, v = b.undone((b.inv[0]*x+b.inv[1]*y+b.inv[2])*w, (b.inv[3]*x+b.inv[4]*y+b.inv[5])*w)
	if u < -cellRoom || v < -cellRoom || u >= float64(b.p.Width)+cellRoom || v >= float64(b.p.Height)+cellRoom {
		return u, v, nil
	}
	i := int(min(max(u, 0), float64(b.p.Width)-1) / cellSize)
	j := int(min(max(v, 0), float64(b.p.Height)-1) / cellSize)
	return u, v, &b.cells[j*b.across+i]
}

// light returns what shines on a place of the mat; size is how far it is to the
// next ray, in pixels of the projector.
func (b *beam) light(x, y, size float64) float64 {
	u, v, c := b.meets(x, y)
	if c == nil || u < 0 || v < 0 || u >= float64(b.p.Width) || v >= float64(b.p.Height) {
		return 0
	}
	lit := 0.0
	if b.p.Pixel != nil {
		lit = b.p.Pixel(u, v)
	}
	for _, s := range c.strokes {
		lit = max(lit, s.shines(u, v, size))
	}
	return b.p.Leak + b.p.Light*lit
}

// undo works out what undone needs: a lens of a few parts in a hundred, undone by
// the series of Drap and Lefèvre (An exact formula for calculating inverse radial
// lens distortions, Sensors 16, 2016), to a ten-thousandth of a pixel.
func (b *beam) undo() {
	p := b.p
	b.cu, b.cv = float64(p.Width)/2, float64(p.Height)/2
	r2 := b.cu*b.cu + b.cv*b.cv
	b.cv += p.ShiftV * math.Sqrt(r2)
	k1, k2 := p.K1, p.K2
	b.series = [4]float64{-k1 / r2, (3*k1*k1 - k2) / (r2 * r2), (8*k1*k2 - 12*k1*k1*k1) / (r2 * r2 * r2), (55*k1*k1*(k1*k1-k2) + 5*k2*k2) / (r2 * r2 * r2 * r2)}
}

// undone takes a pixel back through the projector's lens.
func (b *beam) undone(u, v float64) (float64, float64) {
	u, v = u-b.cu, v-b.cv
	d := u*u + v*v
	g := 1 + d*(b.series[0]+d*(b.series[1]+d*(b.series[2]+d*b.series[3])))
	return b.cu + u*g, b.cv + v*g
}

// Shown returns the homography of a projector whose picture is across inches
// wide about (x, y), turned by turn degrees, with keystone: how much narrower
// it gets towards the top and the left.
func Shown(width, height int, x, y, across, turn, keyV, keyU float64) [9]float64 {
	k := across / float64(width)
	sin, cos := math.Sincos(turn * math.Pi / 180)
	w, h := float64(width), float64(height)
	// p = (u - w/2, h/2 - v) k; x = R p / (1 + a pu + b pv)
	a, b := keyU/w, -keyV/h
	// numerator before the turn
	num := [2][3]float64{{k, 0, -k * w / 2}, {0, -k, k * h / 2}}
	den := [3]float64{a, b, 1 - a*w/2 - b*h/2}
	var out [9]float64
	for c := range 3 {
		out[c] = cos*num[0][c] - sin*num[1][c] + x*den[c]
		out[3+c] = sin*num[0][c] + cos*num[1][c] + y*den[c]
		out[6+c] = den[c]
	}
	return out
}
