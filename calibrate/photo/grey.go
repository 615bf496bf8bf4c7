// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"image"
	"math"

	"gonum.org/v1/gonum/stat"

	"slices"
)

// A plane is a picture in shades of grey, row by row. Places are in pixels,
// whole numbers lie between pixels: the middle of the first pixel is
// (0.5, 0.5).
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) *plane { return &plane{w, h, make([]float32, w*h)} }

// grey returns the shades of a picture. A lens makes no picture of which one
// colour says less than all three.
func grey(im *image.Gray) *plane {
	b := im.Bounds()
	p := newPlane(b.Dx(), b.Dy())
	for y := range p.h {
		row := im.Pix[y*im.Stride : y*im.Stride+p.w]
		to := p.v[y*p.w : (y+1)*p.w]
		for x, v := range row {
			to[x] = float32(v)
		}
	}
	return p
}

// at returns the shade at a place, between pixels by bilinear interpolation.
// Beyond the rim it is that of the rim.
func (p *plane) at(x, y float64) float32 {
	x, y = min(max(x-0.5, 0), float64(p.w-1)-1e-6), min(max(y-0.5, 0), float64(p.h-1)-1e-6)
	i, j := int(x), int(y)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	k := j*p.w + i
	a := p.v[k] + fx*(p.v[k+1]-p.v[k])
	b := p.v[k+p.w] + fx*(p.v[k+p.w+1]-p.v[k+p.w])
	return a + fy*(b-a)
}

// holds reports whether a place lies inside, at least margin from the rim.
func (p *plane) holds(x, y, margin float64) bool {
	return x >= margin && y >= margin && x <= float64(p.w)-margin && y <= float64(p.h)-margin
}

// shrunk returns the picture made smaller to about long pixels along its longer
// side by means over whole blocks, and by how much; never larger.
func (p *plane) shrunk(long int) (*plane, float64) {
	n := max(1, int(math.Round(float64(max(p.w, p.h))/float64(long))))
	if n == 1 {
		return p, 1
	}
	out := newPlane(p.w/n, p.h/n)
	for y := range out.h {
		for j := range n {
			row := p.v[(y*n+j)*p.w:]
			to := out.v[y*out.w : (y+1)*out.w]
			for x := range to {
				for _, v := range row[x*n : x*n+n] {
					to[x] += v
				}
			}
		}
	}
	for i := range out.v {
		out.v[i] /= float32(n * n)
	}
	return out, float64(n)
}

// smooth returns means over squares of 2 r + 1 pixels.
func (p *plane) smooth(r int) *plane {
	across, out := newPlane(p.w, p.h), newPlane(p.w, p.h)
	running(p.v, across.v, p.w, p.h, p.w, 1, r)
	running(across.v, out.v, p.h, p.w, 1, p.w, r)
	return out
}

// running puts means of 2 r + 1 neighbours along lines of n numbers.
func running(from, to []float32, n, lines, line, step, r int) {
	for l := range lines {
		at := l * line
		sum, count := 0.0, 0
		for k := range min(r, n) {
			sum += float64(from[at+k*step])
			count++
		}
		for k := range n {
			if k+r < n {
				sum += float64(from[at+(k+r)*step])
				count++
			}
			if k-r-1 >= 0 {
				sum -= float64(from[at+(k-r-1)*step])
				count--
			}
			to[at+k*step] = float32(sum / float64(count))
		}
	}
}

// evened returns what is left without the ground, over its local root of the
// mean square: lines stand out alike in light and in shade.
func (p *plane) evened(r int) *plane {
	ground := p.smooth(r)
	out := newPlane(p.w, p.h)
	square := newPlane(p.w, p.h)
	for i, v := range p.v {
		out.v[i] = v - ground.v[i]
		square.v[i] = out.v[i] * out.v[i]
	}
	rms := square.smooth(2 * r)
	for i := range out.v {
		out.v[i] /= float32(math.Sqrt(float64(rms.v[i])) + 1) // a step of 8 bits at least
	}
	return out
}

// quantile returns a quantile of the values, which it puts in order.
func quantile(part float64, values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return stat.Quantile(part, stat.Empirical, values, nil)
}
