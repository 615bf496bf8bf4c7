// SPDX-License-Identifier: Apache-2.0

// Package scene draws photos of a cutting mat with a projector's crosses on it,
// ray by ray, for tests: what the camera really saw is known to the last digit.
// It shares no code with what reads photos.
package scene

import (
	"image"
	"math"
	"math/rand/v2"
	"slices"
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

	Said Said
}

// Said is what she says of the scene, true or not.
type Said struct {
	Step          float64 // between printed lines
	Fine          bool    // lines half way between count as well
	Width, Height int     // of the projector's picture
	Wide          float64 // how wide it is on the mat; 0: nothing
}

// A Thing is a convex piece of fabric or a ruler, its corners counter-clockwise.
type Thing struct {
	Corners [][2]float64
	Shade   float64
	Stripes float64 // how wide; 0 for none
}

// Photo draws the scene.
func (s *Scene) Photo() *image.Gray {
	light := make([]float32, s.Width*s.Height)
	c, b := s.eye(), s.Projector.beam()
	var rows sync.WaitGroup
	for part := range 2 {
		rows.Go(func() { s.draw(light, c, b, part*s.Height/2, (part+1)*s.Height/2) })
	}
	rows.Wait()
	if s.Blur > 0 {
		blur(light, s.Width, s.Height, s.Blur)
	}
	rng := rand.New(rand.NewPCG(s.Seed, 7))
	out := image.NewGray(image.Rect(0, 0, s.Width, s.Height))
	shade := s.shades()
	for i, v := range light {
		at := min(math.Sqrt(max(float64(v)/s.Exposure, 0))*shadeSteps, float64(len(shade)-2))
		k := int(at)
		grey := shade[k] + (at-float64(k))*(shade[k+1]-shade[k]) + s.Noise*rng.NormFloat64()
		out.Pix[i] = uint8(min(max(grey+.5, 0), 255))
	}
	return out
}

const shadeSteps = 1024 // of the root of the light up to what is 1

// shades returns what the camera makes of light, by its root: up to 4 times what
// is 1.
func (s *Scene) shades() []float64 {
	gamma := s.Gamma
	if gamma == 0 {
		gamma = 2.2
	}
	out := make([]float64, 2*shadeSteps+2)
	for i := range out {
		out[i] = 255 * math.Pow(float64(i)/shadeSteps, 2/gamma)
	}
	return out
}

// draw fills in rows of the photo, n times n rays a pixel where there is
// anything to see.
func (s *Scene) draw(light []float32, c *eye, b *beam, from, to int) {
	const n = 2
	var size, pixels float64 // from ray to ray, in inches and in pixels of the projector
	for y := from; y < to; y++ {
		for x := range s.Width {
			mx, my := c.toMat(float64(x)+.5, float64(y)+.5)
			if x%32 == 0 {
				ax, ay := c.toMat(float64(x)+1.5, float64(y)+.5)
				size = math.Hypot(ax-mx, ay-my) / n
				au, av, _ := b.meets(mx, my)
				bu, bv, _ := b.meets(ax, ay)
				pixels = math.Hypot(bu-au, bv-av) / n
			}
			sum, to := 0.0, &light[y*s.Width+x]
			if s.even(mx, my, n*size, b) {
				*to = float32(s.light(mx, my, size, pixels, b))
				continue
			}
			for j := range n {
				for i := range n {
					mx, my := c.toMat(float64(x)+(float64(i)+.5)/n, float64(y)+(float64(j)+.5)/n)
					sum += s.light(mx, my, size, pixels, b)
				}
			}
			*to = float32(sum / (n * n))
		}
	}
}

// even reports whether light is the same within reach of a place, nearly.
func (s *Scene) even(x, y, reach float64, b *beam) bool {
	if _, _, c := b.meets(x, y); c != nil && (c.busy || c.strokes != nil) {
		return false
	}
	return s.Mat.plain(x, y, reach) && !slices.ContainsFunc(s.Things, func(t Thing) bool { return t.within(x, y, reach) })
}

func (s *Scene) light(x, y, size, pixels float64, b *beam) float64 {
	back := 0.0
	under := true
	for i := len(s.Things) - 1; i >= 0 && under; i-- {
		if shade, ok := s.Things[i].at(x, y); ok {
			back, under = shade, false
		}
	}
	if under {
		back = s.Mat.reflects(x, y, size)
	}
	room := 1 - s.Shade*(x/s.Mat.Width+y/s.Mat.Height)/2
	out := back * (room + b.light(x, y, pixels))
	if s.Glare > 0 {
		d := ((x-s.GlareX)*(x-s.GlareX) + (y-s.GlareY)*(y-s.GlareY)) / (s.Glare * s.Glare)
		out += 2 * math.Exp(-d*d)
	}
	return out
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

// within reports whether it may lie within reach of a place.
func (t *Thing) within(x, y, reach float64) bool {
	lo, hi := t.Corners[0], t.Corners[0]
	for _, p := range t.Corners[1:] {
		lo, hi = [2]float64{min(lo[0], p[0]), min(lo[1], p[1])}, [2]float64{max(hi[0], p[0]), max(hi[1], p[1])}
	}
	return x > lo[0]-reach && x < hi[0]+reach && y > lo[1]-reach && y < hi[1]+reach
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
