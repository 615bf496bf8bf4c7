// SPDX-License-Identifier: Apache-2.0

// Package scene draws photos of a cutting mat with a projector's crosses on it,
// ray by ray, for tests: what the camera really saw is known to the last digit.
// It shares no code with what reads photos.
package scene

import (
	"image"
	"math"
	"math/rand/v2"
	"sync"
)

// A Scene says how the photo is taken and of what. Lengths are in inches, on
// the mat, y up.
type Scene struct {
	Width, Height int // of the photo, in pixels
	// Camera: the mat's place in the middle of the photo, how far off the lens
	// is, how many inches of the mat its width sees there, how far it is tilted
	// about the photo's two axes and turned about its own, in degrees.
	LookX, LookY, Distance, Across float64
	TiltX, TiltY, Turn             float64
	K1, K2                         float64 // of the lens, over half the diagonal, before it: r' = r (1 + k1 r² + k2 r⁴)
	CentreX, CentreY               float64 // of the lens, off the photo's middle, over half the diagonal
	Blur                           float64 // standard deviation, in pixels
	Noise                          float64 // standard deviation, in shades
	Gamma                          float64 // of the camera; 2.2
	Exposure                       float64 // what is 1 in the photo

	Mat       Mat
	Projector Projector
	Things    []Thing // that lie on the mat
	GlareX    float64
	GlareY    float64
	Glare     float64 // its radius; 0 for none
	Shade     float64 // how much darker the light is from one corner to the other
	Seed      uint64
}

// A Mat is a cutting mat with its lower left corner at 0, 0.
type Mat struct {
	Width, Height float64
	Step          float64 // between whole lines: 1, or 1/2.54
	Line          float64 // how wide they are
	Ground, Ink   float64 // how much light they send back
	Half          float64 // how strong lines half way between are, of the whole ones; 0 for none
	Ticks         int     // parts of a step that are marked along the edges and every sixth line
	Digits        bool
	Guides        bool    // lines at 45 and 60 degrees, as quilters' mats have them
	Wave          float64 // how far the printed lines are off, as waves
	Fold          float64 // beyond FoldAt everything is drawn so much nearer: slope
	FoldAt        float64
	SplitAt       float64 // beyond it another mat lies, turned by Split, in degrees
	Split         float64
}

// A Projector shows a picture of Width times Height pixels.
type Projector struct {
	Width, Height int
	H             [9]float64 // pixels, after the lens, to the mat
	K1, K2        float64
	ShiftV        float64 // of the lens's middle, over half the diagonal
	Light, Leak   float64 // of white and of black, of the room's light
	Pixel         func(u, v float64) float64
}

// A Thing is a convex piece of fabric or a ruler, its corners counter-clockwise.
type Thing struct {
	Corners [][2]float64
	Shade   float64
	Stripes float64 // how wide; 0 for none
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

// toScreen undoes ToMat.
func (p *Projector) toScreen(inv *[9]float64, x, y float64) (u, v float64) {
	w := inv[6]*x + inv[7]*y + inv[8]
	u, v = (inv[0]*x+inv[1]*y+inv[2])/w, (inv[3]*x+inv[4]*y+inv[5])/w
	cx, cy := float64(p.Width)/2, float64(p.Height)/2
	r := math.Hypot(cx, cy)
	qx, qy := (u-cx)/r, (v-cy)/r-p.ShiftV
	dx, dy := qx, qy
	for range 4 {
		d := dx*dx + dy*dy
		g := 1 + p.K1*d + p.K2*d*d
		dx, dy = qx/g, qy/g
	}
	return cx + dx*r, cy + (dy+p.ShiftV)*r
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

func inverse(m [9]float64) (out [9]float64) {
	out = [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	return out
}

// camera is what a ray needs.
type camera struct {
	s      *Scene
	axes   [3][3]float64 // right, down, forward
	eye    [3]float64
	focal  float64 // in half diagonals
	radius float64
}

func (s *Scene) camera() camera {
	c := camera{s: s}
	c.radius = math.Hypot(float64(s.Width), float64(s.Height)) / 2
	c.focal = s.Distance / s.Across * float64(s.Width) / c.radius
	ax, ay, az := s.TiltX*math.Pi/180, s.TiltY*math.Pi/180, s.Turn*math.Pi/180
	c.axes = [3][3]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}
	for i := range c.axes {
		c.axes[i] = turned(turned(turned(c.axes[i], 0, ax), 1, ay), 2, az)
	}
	f := c.axes[2]
	// The middle of the photo sees (LookX, LookY), Distance away.
	c.eye = [3]float64{s.LookX - f[0]*s.Distance, s.LookY - f[1]*s.Distance, -f[2] * s.Distance}
	return c
}

func turned(v [3]float64, axis int, angle float64) [3]float64 {
	sin, cos := math.Sincos(angle)
	i, j := (axis+1)%3, (axis+2)%3
	v[i], v[j] = cos*v[i]-sin*v[j], sin*v[i]+cos*v[j]
	return v
}

// ToMat returns where the mat is seen at a place of the photo, whole numbers
// between pixels.
func (s *Scene) ToMat(x, y float64) (mx, my float64) {
	c := s.camera()
	return c.toMat(x, y)
}

func (c *camera) toMat(x, y float64) (mx, my float64) {
	s := c.s
	dx, dy := (x-float64(s.Width)/2)/c.radius-s.CentreX, (y-float64(s.Height)/2)/c.radius-s.CentreY
	r := math.Hypot(dx, dy)
	want, q := r, r
	for range 6 {
		q2 := q * q
		g := q * (1 + q2*(s.K1+q2*s.K2))
		step := (g - want) / (1 + q2*(3*s.K1+q2*5*s.K2))
		q -= step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	if r > 0 {
		dx, dy = dx*q/r, dy*q/r
	}
	dx, dy = dx+s.CentreX, dy+s.CentreY
	var ray [3]float64
	for k := range ray {
		ray[k] = c.axes[0][k]*dx + c.axes[1][k]*dy + c.axes[2][k]*c.focal
	}
	t := -c.eye[2] / ray[2]
	return c.eye[0] + t*ray[0], c.eye[1] + t*ray[1]
}

// Photo draws the scene.
func (s *Scene) Photo() *image.Gray {
	light := make([]float32, s.Width*s.Height)
	c := s.camera()
	inv := inverse(s.Projector.H)
	var rows sync.WaitGroup
	for part := range 2 {
		rows.Go(func() { c.draw(light, &inv, part*s.Height/2, (part+1)*s.Height/2) })
	}
	rows.Wait()
	if s.Blur > 0 {
		blur(light, s.Width, s.Height, s.Blur)
	}
	rng := rand.New(rand.NewPCG(s.Seed, 7))
	out := image.NewGray(image.Rect(0, 0, s.Width, s.Height))
	gamma := s.Gamma
	if gamma == 0 {
		gamma = 2.2
	}
	for i, v := range light {
		shade := 255*math.Pow(math.Max(float64(v)/s.Exposure, 0), 1/gamma) + s.Noise*rng.NormFloat64()
		out.Pix[i] = uint8(math.Min(math.Max(shade+.5, 0), 255))
	}
	return out
}

// draw fills in rows of the photo, n times n rays a pixel.
func (c *camera) draw(light []float32, inv *[9]float64, from, to int) {
	const n = 2
	s := c.s
	for y := from; y < to; y++ {
		size := 0.0
		for x := range s.Width {
			sum := 0.0
			if x%32 == 0 {
				ax, ay := c.toMat(float64(x), float64(y)+.5)
				bx, by := c.toMat(float64(x)+1, float64(y)+.5)
				size = math.Hypot(bx-ax, by-ay) / n
			}
			for j := range n {
				for i := range n {
					f := (float64(i) + .5) / n
					mx, my := c.toMat(float64(x)+f, float64(y)+(float64(j)+.5)/n)
					sum += s.light(mx, my, size, inv)
				}
			}
			light[y*s.Width+x] = float32(sum / (n * n))
		}
	}
}

func (s *Scene) light(x, y, size float64, inv *[9]float64) float64 {
	back := s.Mat.reflects(x, y, size)
	for i := range s.Things {
		if shade, ok := s.Things[i].at(x, y); ok {
			back = shade
		}
	}
	room := 1 - s.Shade*(x/s.Mat.Width+y/s.Mat.Height)/2
	p := &s.Projector
	u, v := p.toScreen(inv, x, y)
	if u >= 0 && v >= 0 && u < float64(p.Width) && v < float64(p.Height) && p.Pixel != nil {
		room += p.Leak + p.Light*p.Pixel(u, v)
	}
	out := back * room
	if s.Glare > 0 {
		d := math.Hypot(x-s.GlareX, y-s.GlareY) / s.Glare
		out += 2 * math.Exp(-d*d*d*d)
	}
	return out
}

// cover returns how much of a stretch of length size about d lies in a line of
// width w about 0.
func cover(d, w, size float64) float64 {
	return math.Min(math.Max((w/2-math.Abs(d))/size+.5, 0), 1)
}

// near returns the distance to the nearest multiple of step, and which.
func near(v, step float64) (float64, int) {
	n := math.Round(v / step)
	return v - n*step, int(n)
}

func (m *Mat) reflects(x, y, size float64) float64 {
	if m.Split != 0 && x > m.SplitAt {
		sin, cos := math.Sincos(m.Split * math.Pi / 180)
		x, y = m.SplitAt+cos*(x-m.SplitAt)-sin*(y-m.Height/2), m.Height/2+sin*(x-m.SplitAt)+cos*(y-m.Height/2)
	}
	if m.Fold != 0 && x > m.FoldAt {
		// The part stands up: its lines are seen where the rays meet it.
		d := x - m.FoldAt
		x = m.FoldAt + d*(1-m.Fold)
		y += m.Fold * d * (y - m.Height/2) / 30
	}
	if x < -.5 || y < -.5 || x > m.Width+.5 || y > m.Height+.5 {
		// the table: wood with a grain
		return .22 + .05*math.Sin(3*y+math.Sin(x)) + .03*math.Sin(17*y+2*math.Sin(.7*x))
	}
	if m.Wave > 0 {
		x, y = x+m.Wave*math.Sin(y*.5+x*.2+1), y+m.Wave*math.Sin(x*.45-y*.3)
	}
	ink := 0.0
	if x > -m.Line && y > -m.Line && x < m.Width+m.Line && y < m.Height+m.Line {
		dx, _ := near(x, m.Step)
		dy, _ := near(y, m.Step)
		ink = math.Max(cover(dx, m.Line, size), cover(dy, m.Line, size))
		if m.Half > 0 {
			hx, _ := near(x+m.Step/2, m.Step)
			hy, _ := near(y+m.Step/2, m.Step)
			ink = math.Max(ink, math.Max(cover(hx, m.Line*m.Half, size), cover(hy, m.Line*m.Half, size)))
		}
		if m.Guides {
			ink = math.Max(ink, m.guide(x, y, size))
		}
		if m.Ticks > 1 {
			ink = math.Max(ink, m.tick(x, y, size))
		}
	}
	if m.Digits {
		ink = math.Max(ink, m.digit(x, y))
	}
	return m.Ground + (m.Ink-m.Ground)*ink
}

// guide draws long slanting lines.
func (m *Mat) guide(x, y, size float64) float64 {
	out := 0.0
	for _, g := range [...][2]float64{{45, .1}, {45, .4}, {135, .6}, {135, .9}, {60, .2}, {60, .5}, {120, .5}, {120, .8}} {
		sin, cos := math.Sincos(g[0] * math.Pi / 180)
		d := (x-g[1]*m.Width)*sin - y*cos
		out = math.Max(out, cover(d, m.Line*.8, size))
	}
	return out
}

// tick draws the marks between lines, across every sixth line.
func (m *Mat) tick(x, y, size float64) float64 {
	part := m.Step / float64(m.Ticks)
	out := 0.0
	for _, p := range [2][2]float64{{x, y}, {y, x}} {
		d, n := near(p[1], 6*m.Step)
		_ = n
		long := .1 * m.Step
		if math.Abs(d) < long {
			t, _ := near(p[0], part)
			out = math.Max(out, cover(t, m.Line*.6, size))
		}
	}
	return out
}

// digit draws numbers beside every line along two edges, as seven bars.
func (m *Mat) digit(x, y float64) float64 {
	for _, p := range [2][2]float64{{x, y}, {y, x}} {
		along, n := near(p[0], m.Step)
		up := p[1] - .12*m.Step
		if n <= 0 || up < 0 || up > .4*m.Step {
			continue
		}
		along -= .08 * m.Step
		size := .2 * m.Step
		for k, d := range []int{n / 10, n % 10} {
			if k == 0 && d == 0 {
				continue
			}
			a := along/size - 1.25*float64(k)
			b := up / size
			if a < 0 || a > 1 || b < 0 || b > 2 {
				continue
			}
			if bars(d, a, b) {
				return 1
			}
		}
	}
	return 0
}

// bars are a digit one wide and two high.
func bars(d int, a, b float64) bool {
	const w = .2
	on := [10]uint8{0x77, 0x24, 0x5d, 0x6d, 0x2e, 0x6b, 0x7b, 0x25, 0x7f, 0x6f}[d]
	return on&1 != 0 && b > 2-w || on&2 != 0 && a < w && b > 1 || on&4 != 0 && a > 1-w && b > 1 ||
		on&8 != 0 && math.Abs(b-1) < w/2 || on&16 != 0 && a < w && b < 1 || on&32 != 0 && a > 1-w && b < 1 || on&64 != 0 && b < w
}

func (t *Thing) at(x, y float64) (float64, bool) {
	for i, p := range t.Corners {
		q := t.Corners[(i+1)%len(t.Corners)]
		if (q[0]-p[0])*(y-p[1])-(q[1]-p[1])*(x-p[0]) < 0 {
			return 0, false
		}
	}
	if t.Stripes > 0 && math.Mod(math.Abs(x+.6*y), 2*t.Stripes) < t.Stripes {
		return t.Shade * .6, true
	}
	return t.Shade, true
}

func blur(v []float32, w, h int, sd float64) {
	r := int(math.Ceil(3 * sd))
	k := make([]float32, 2*r+1)
	sum := float32(0)
	for i := range k {
		k[i] = float32(math.Exp(-float64((i-r)*(i-r)) / (2 * sd * sd)))
		sum += k[i]
	}
	for i := range k {
		k[i] /= sum
	}
	tmp := make([]float32, len(v))
	for y := range h {
		for x := range w {
			s := float32(0)
			for i, f := range k {
				s += f * v[y*w+min(max(x+i-r, 0), w-1)]
			}
			tmp[y*w+x] = s
		}
	}
	for y := range h {
		for i := range w {
			v[y*w+i] = 0
		}
		for i, f := range k {
			row := tmp[min(max(y+i-r, 0), h-1)*w:]
			to := v[y*w : y*w+w]
			for x := range to {
				to[x] += f * row[x]
			}
		}
	}
}
