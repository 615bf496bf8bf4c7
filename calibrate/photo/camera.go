// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A camera takes places of the photo, in pixels, to the mat's lines: the third
// line from the first is at 3. With c the middle of the photo, R half its
// diagonal and d = ((x, y) - c) / R - e,
//
//	q = e + d (1 + k1 |d|² + k2 |d|⁴ + k3 |d|⁶),   (s, t) = H(q)
//
// Straight lines are straight before the lens (Brown, Close-range camera
// calibration, Photogrammetric Engineering 37, 1971): a plane with straight
// lines takes the lens out.
type camera struct {
	cx, cy, radius float64
	p              [13]float64 // H by rows without its last number, which is 1; k1, k2, k3; e
}

const (
	atK     = 8
	atE     = 11
	cameraN = 13
)

func newCamera(w, h int) camera {
	c := camera{cx: float64(w) / 2, cy: float64(h) / 2}
	c.radius = math.Hypot(c.cx, c.cy)
	return c
}

// bend takes a normalised place through the lens.
func (c *camera) bend(px, py float64) (qx, qy float64) {
	dx, dy := px-c.p[atE], py-c.p[atE+1]
	r := dx*dx + dy*dy
	g := 1 + r*(c.p[atK]+r*(c.p[atK+1]+r*c.p[atK+2]))
	return c.p[atE] + dx*g, c.p[atE+1] + dy*g
}

// at returns where a place of the photo lies among the lines.
func (c *camera) at(x, y float64) (s, t float64) {
	qx, qy := c.bend((x-c.cx)/c.radius, (y-c.cy)/c.radius)
	w := c.p[6]*qx + c.p[7]*qy + 1
	return (c.p[0]*qx + c.p[1]*qy + c.p[2]) / w, (c.p[3]*qx + c.p[4]*qy + c.p[5]) / w
}

// back undoes at. False where the lens folds over or behind the camera.
func (c *camera) back(s, t float64) (x, y float64, ok bool) {
	// (h0 - s h6) qx + (h1 - s h7) qy = s - h2, and so on.
	a, b := c.p[0]-s*c.p[6], c.p[1]-s*c.p[7]
	d, e := c.p[3]-t*c.p[6], c.p[4]-t*c.p[7]
	det := a*e - b*d
	qx, qy := ((s-c.p[2])*e-b*(t-c.p[5]))/det, (a*(t-c.p[5])-d*(s-c.p[2]))/det
	if !(c.p[6]*qx+c.p[7]*qy+1 > 0) {
		return 0, 0, false
	}
	dx, dy := qx-c.p[atE], qy-c.p[atE+1]
	want := math.Hypot(dx, dy)
	r := want
	for range 20 {
		r2 := r * r
		g := r * (1 + r2*(c.p[atK]+r2*(c.p[atK+1]+r2*c.p[atK+2])))
		slope := 1 + r2*(3*c.p[atK]+r2*(5*c.p[atK+1]+r2*7*c.p[atK+2]))
		if !(slope > 0.1) {
			return 0, 0, false
		}
		step := (g - want) / slope
		r -= step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	if !(r >= 0 && r < 3) {
		return 0, 0, false
	}
	k := 1.0
	if want > 1e-12 {
		k = r / want
	}
	return c.cx + c.radius*(c.p[atE]+dx*k), c.cy + c.radius*(c.p[atE+1]+dy*k), true
}

// slope returns the derivatives of at: ds/dx, ds/dy, dt/dx, dt/dy, per pixel.
func (c *camera) slope(x, y float64) (sx, sy, tx, ty float64) {
	const h = 0.5
	s1, t1 := c.at(x+h, y)
	s0, t0 := c.at(x-h, y)
	s3, t3 := c.at(x, y+h)
	s2, t2 := c.at(x, y-h)
	return (s1 - s0) / (2 * h), (s3 - s2) / (2 * h), (t1 - t0) / (2 * h), (t3 - t2) / (2 * h)
}

// A mark is a place of the photo on a line of the mat: s = value of axis 0, t =
// value of axis 1.
type mark struct {
	x, y   float64 // photo
	axis   int
	value  float64
	area   float64 // of its profile: width times contrast
	along  float64 // where on its line
	off    float64 // pixels, after a fit
	weight float64 // after a fit
}

// believedLens holds the lens where marks leave it open: a phone's bends lines
// by a few parts in a hundred, seldom ten.
var believedLens = [5]float64{0.15, 0.15, 0.1, 0.03, 0.03}

// row fills in what a mark says: how far off it is, in pixels, and its
// derivatives.
func (c *camera) row(m *mark, j *[cameraN]float64) (off float64) {
	px, py := (m.x-c.cx)/c.radius, (m.y-c.cy)/c.radius
	dx, dy := px-c.p[atE], py-c.p[atE+1]
	r := dx*dx + dy*dy
	g := 1 + r*(c.p[atK]+r*(c.p[atK+1]+r*c.p[atK+2]))
	gr := 2 * (c.p[atK] + r*(2*c.p[atK+1]+r*3*c.p[atK+2])) // dg/dr over |d|
	qx, qy := c.p[atE]+dx*g, c.p[atE+1]+dy*g
	w := c.p[6]*qx + c.p[7]*qy + 1
	h := c.p[3*m.axis : 3*m.axis+3]
	s := (h[0]*qx + h[1]*qy + h[2]) / w
	*j = [cameraN]float64{}
	j[3*m.axis], j[3*m.axis+1], j[3*m.axis+2] = qx/w, qy/w, 1/w
	j[6], j[7] = -s*qx/w, -s*qy/w
	sqx, sqy := (h[0]-s*c.p[6])/w, (h[1]-s*c.p[7])/w
	radial := sqx*dx + sqy*dy
	j[atK], j[atK+1], j[atK+2] = radial*r, radial*r*r, radial*r*r*r
	// q = e + (p - e) g(|p - e|)
	j[atE] = sqx*(1-g) - radial*gr*dx
	j[atE+1] = sqy*(1-g) - radial*gr*dy
	// d s / d p, for the length of a pixel.
	gx, gy := sqx*g+radial*gr*dx, sqy*g+radial*gr*dy
	k := c.radius / math.Hypot(gx, gy)
	for i := range j {
		j[i] *= k
	}
	return (s - m.value) * k
}

// straighten fits the camera to the marks by Gauss and Newton with Tukey's
// weights; free is how many parameters are, 8 for H alone. It returns the
// spread of what is left, in pixels (1.48 times the median of sizes).
func (c *camera) straighten(marks []mark, free int) (spread float64, ok bool) {
	var j [cameraN]float64
	sizes := make([]float64, len(marks))
	spread = math.NaN()
	for range 12 {
		for i := range marks {
			marks[i].off = c.row(&marks[i], &j)
			sizes[i] = math.Abs(marks[i].off)
		}
		spread = max(1.4826*quantile(0.5, sizes), 0.02)
		if math.IsNaN(spread) || math.IsInf(spread, 0) {
			return spread, false
		}
		a, g := c.equations(marks, free, spread)
		var chol mat.Cholesky
		var step mat.VecDense
		if !chol.Factorize(a) || chol.SolveVecTo(&step, g) != nil {
			return spread, false
		}
		moved := 0.0
		for k := range free {
			c.p[k] += step.AtVec(k)
			moved = max(moved, math.Abs(step.AtVec(k)))
		}
		if moved < 1e-9 {
			break
		}
	}
	for i := range marks {
		marks[i].off = c.row(&marks[i], &j)
	}
	return spread, true
}

// equations returns the normal equations of the weighted marks, with what is
// believed of the lens.
func (c *camera) equations(marks []mark, free int, spread float64) (*mat.SymDense, *mat.VecDense) {
	var j [cameraN]float64
	a, g := mat.NewSymDense(free, nil), mat.NewVecDense(free, nil)
	for i := range marks {
		m := &marks[i]
		u := m.off / (4.685 * spread)
		m.weight = 0
		if math.Abs(u) >= 1 {
			continue
		}
		m.weight = (1 - u*u) * (1 - u*u)
		off := c.row(m, &j)
		for r := range free {
			g.SetVec(r, g.AtVec(r)-m.weight*j[r]*off)
			for k := r; k < free; k++ {
				a.SetSym(r, k, a.At(r, k)+m.weight*j[r]*j[k])
			}
		}
	}
	for k := atK; k < free; k++ {
		believed := 1 / (believedLens[k-atK] * believedLens[k-atK]) // of marks off by a pixel
		a.SetSym(k, k, a.At(k, k)+believed*spread*spread)
		g.SetVec(k, g.AtVec(k)-believed*spread*spread*c.p[k])
	}
	return a, g
}

// through returns the homography that takes places to places (at least four),
// by the direct linear transformation with both sides shifted and scaled
// (Hartley, PAMI 19, 1997); its last number is 1.
func through(from, to [][2]float64) (h [9]float64, ok bool) {
	if len(from) < 4 {
		return h, false
	}
	fx, fy, fs := levelled(from)
	tx, ty, ts := levelled(to)
	a := mat.NewDense(max(2*len(from), 9), 9, nil)
	for i := range from {
		u, v := (from[i][0]-fx)*fs, (from[i][1]-fy)*fs
		x, y := (to[i][0]-tx)*ts, (to[i][1]-ty)*ts
		a.SetRow(2*i, []float64{u, v, 1, 0, 0, 0, -x * u, -x * v, -x})
		a.SetRow(2*i+1, []float64{0, 0, 0, u, v, 1, -y * u, -y * v, -y})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThinV) {
		return h, false
	}
	var v mat.Dense
	svd.VTo(&v)
	n := mat.Col(nil, 8, &v)
	for r := range 3 {
		l := n[3*r : 3*r+3]
		l[0], l[1], l[2] = l[0]*fs, l[1]*fs, l[2]-(l[0]*fx+l[1]*fy)*fs
	}
	for k := range 3 {
		h[k] = n[k]/ts + tx*n[6+k]
		h[3+k] = n[3+k]/ts + ty*n[6+k]
		h[6+k] = n[6+k]
	}
	if math.Abs(h[8]) < 1e-12 {
		return h, false
	}
	last := h[8]
	for k := range h {
		h[k] /= last
	}
	return h, true
}

// levelled returns the middle of places and one over their mean distance from
// it.
func levelled(places [][2]float64) (mx, my, scale float64) {
	n := float64(len(places))
	for _, p := range places {
		mx, my = mx+p[0]/n, my+p[1]/n
	}
	mean := 0.0
	for _, p := range places {
		mean += math.Hypot(p[0]-mx, p[1]-my) / n
	}
	return mx, my, math.Sqrt2 / max(mean, 1e-12)
}

// mapped takes a place through a homography.
func mapped(h *[9]float64, x, y float64) (u, v float64) {
	w := h[6]*x + h[7]*y + h[8]
	return (h[0]*x + h[1]*y + h[2]) / w, (h[3]*x + h[4]*y + h[5]) / w
}
