// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// What is believed about a reading before any is seen: someone who reads to
// 1/32 in errs by about that much in each direction, a belief worth 8 degrees
// of freedom. It keeps the estimate sane when few readings are left over.
const (
	believedSigma   = 1.0 / 32 // in, per axis
	believedDegrees = 8
)

// An observation is a place on the normalised screen and one on the mat, in
// inches from the middle of all, that belong together: a target and its
// reading, which is off on the mat, or a cross that was moved onto a crossing,
// which is off on the screen.
type observation struct {
	px, py, x, y float64
	nudged       bool
	// rough is its error over that of the others, where each has its own; 0 is 1.
	rough float64
}

// A fit is the model with its parameters: H = (h0 h1 h2; h3 h4 h5; h6 h7 1)
// acting on q, so that w is 1 in the middle of the screen.
type fit struct {
	h       [8]float64
	lens    lens
	n       int     // readings
	rss     float64 // sum of their squared residuals, in²
	nudged  nudged
	weight  float64 // of what is believed of the lens: sigma, or 0
	cov     []float64
	settled bool // the iteration ended at a minimum
}

// params returns the number of parameters.
func (f *fit) params() int { return 8 + f.lens.free }

// A row holds the derivatives of x, or of y, by the parameters: the eight of H
// and then those of the lens.
type row [8 + lensParams]float64

// degrees returns the degrees of freedom left, which is 0 for four readings.
func (f *fit) degrees() int { return 2*(f.n+f.nudged.n) - f.params() }

// believed returns the degrees of freedom with which the variance of a
// reading is known, belief and all.
func (f *fit) believed() float64 {
	if f.nudged.n == 0 {
		return float64(believedDegrees + f.degrees())
	}
	return believedDegrees + float64(2*f.n) - f.nudged.byReadings
}

// variance returns the moderated variance of a reading, per axis: residuals
// and belief together.
func (f *fit) variance() float64 {
	return (believedDegrees*believedSigma*believedSigma + f.rss) / f.believed()
}

// rms returns the root mean square distance between reading and fit, NaN
// where there is no reading.
func (f *fit) rms() float64 { return math.Sqrt(f.rss / float64(f.n)) }

// at returns where the model puts a place of the normalised screen, and w.
func (f *fit) at(px, py float64) (x, y, w float64) {
	qx, qy := f.lens.bend(px, py)
	h := &f.h
	w = h[6]*qx + h[7]*qy + 1
	return (h[0]*qx + h[1]*qy + h[2]) / w, (h[3]*qx + h[4]*qy + h[5]) / w, w
}

// rows returns where the model puts a place, and the derivatives of x and y
// by the parameters.
func (f *fit) rows(px, py float64, jx, jy *row) (x, y float64) {
	h := &f.h
	var bent [2][lensParams]float64
	qx, qy := f.lens.rows(px, py, &bent)
	w := 1 / (h[6]*qx + h[7]*qy + 1)
	x = (h[0]*qx + h[1]*qy + h[2]) * w
	y = (h[3]*qx + h[4]*qy + h[5]) * w
	a, b := qx*w, qy*w
	*jx = row{a, b, w, 0, 0, 0, -x * a, -x * b}
	*jy = row{0, 0, 0, a, b, w, -y * a, -y * b}
	for i := range f.lens.free {
		jx[8+i] = ((h[0]-x*h[6])*bent[0][i] + (h[1]-x*h[7])*bent[1][i]) * w
		jy[8+i] = ((h[3]-y*h[6])*bent[0][i] + (h[4]-y*h[7])*bent[1][i]) * w
	}
	return x, y
}

// spread returns the variance of the place on the mat (x and y together) for
// readings of variance 1.
func (f *fit) spread(px, py float64) float64 {
	var jx, jy row
	f.rows(px, py, &jx, &jy)
	return quadratic(f.cov, &jx, f.params()) + quadratic(f.cov, &jy, f.params())
}

// quadratic returns j' C j for the n x n matrix C.
func quadratic(c []float64, j *row, n int) float64 {
	sum := 0.0
	for r := range n {
		row := 0.0
		for s, v := range c[r*n : r*n+n] {
			row += v * j[s]
		}
		sum += row * j[r]
	}
	return sum
}

// A workbench holds the matrices that the fits of one Solve share.
type workbench struct {
	systems [1 + lensParams]system // of 8 parameters and more
	rest    []observation
	exact   exactness
}

// An exactness says how the iteration ends: when a step moves the targets by
// less than step altogether, in inches, and when the weights of what is
// believed change by less than that part.
type exactness struct{ step, weight float64 }

// A map is found far below the 1e-7 in that anyone could ask for and far above
// rounding; what the others say of one reading left out to 1e-6 in or so.
var (
	ofMap     = exactness{1e-11, 1e-8}
	ofLeftOut = exactness{1e-8, 1e-4}
)

// A system is the linear equations of one step. gonum's lapack64 is used
// rather than mat.Cholesky, which estimates the condition each time and so
// takes three times as long.
type system struct {
	normal blas64.Symmetric // the upper half
	step   blas64.General   // one column
}

func newWorkbench() *workbench {
	b := &workbench{exact: ofMap}
	for i := range b.systems {
		n := 8 + i
		b.systems[i] = system{
			blas64.Symmetric{N: n, Stride: n, Data: make([]float64, n*n), Uplo: blas.Upper},
			blas64.General{Rows: n, Cols: 1, Stride: 1, Data: make([]float64, n)},
		}
	}
	return b
}

// stiff reports whether a triangle of a Cholesky factorisation is that of a
// matrix singular to working precision.
func stiff(t blas64.Triangular) bool {
	least, most := math.Inf(1), 0.0
	for i := range t.N {
		d := t.Data[i*t.Stride+i]
		least, most = min(least, d), max(most, d)
	}
	return !(least > most*1e-9)
}

// equations fills the normal matrix and the right side of one step, and
// returns the cost: squared residuals and the term of the prior.
func (b *workbench) equations(f *fit, obs []observation, g *row) (a blas64.Symmetric, cost float64) {
	n := f.params()
	a = b.systems[n-8].normal
	const most = 8 + lensParams
	var m [most * most]float64
	*g = row{}
	var jx, jy row
	f.rss, f.nudged.rss = 0, 0
	for _, o := range obs {
		rx, ry := f.equation(o, &jx, &jy)
		if o.nudged {
			f.nudged.rss += rx*rx + ry*ry
		} else {
			f.rss += rx*rx + ry*ry
		}
		a, b := jx[:n], jy[:n]
		b = b[:len(a)]
		for i, x := range a {
			y, row := b[i], m[i*most:][:len(a)]
			g[i] += x*rx + y*ry
			for j := i; j < len(a); j++ {
				row[j] += x*a[j] + y*b[j]
			}
		}
	}
	cost = f.rss + f.nudged.rss
	for k := range f.lens.free {
		i, v := 8+k, f.lens.values[k]
		w := f.weight / f.lens.believed[k]
		m[i*most+i] += w * w
		g[i] -= w * w * v
		cost += w * w * v * v
	}
	for i := range n {
		copy(a.Data[i*n+i:i*n+n], m[i*most+i:i*most+n])
	}
	return a, cost
}

const mostSteps = 60

// minimise runs Levenberg and Marquardt's iteration from f's parameters. It
// begins undamped, for the start is close as a rule, and takes most steps at
// most. f.settled tells whether a minimum was reached; the covariance is left to [workbench.covariance].
func (b *workbench) minimise(f *fit, obs []observation, most int) {
	f.count(obs)
	f.settled = false
	n := f.params()
	y := &b.systems[n-8]
	var g row
	a, cost := b.equations(f, obs, &g)
	damping := 0.0
	for range most {
		if math.IsNaN(cost) || math.IsInf(cost, 0) {
			return
		}
		var diagonal row
		for i := range n {
			diagonal[i] = a.Data[i*n+i]
			a.Data[i*n+i] *= 1 + damping
		}
		t, ok := lapack64.Potrf(a)
		if !ok {
			if damping > 1e6 {
				return
			}
			damping = max(10*damping, 1e-6)
			a, cost = b.equations(f, obs, &g)
			continue
		}
		copy(y.step.Data, g[:n])
		lapack64.Potrs(t, y.step)
		next := *f
		moved := 0.0
		for i := range n {
			d := y.step.Data[i]
			moved += d * d * diagonal[i]
			next.add(i, d)
		}
		var nextG row
		nextA, nextCost := b.equations(&next, obs, &nextG)
		small := moved < b.exact.step*b.exact.step
		if nextCost <= cost || small && nextCost <= cost*(1+1e-9)+1e-24 {
			*f, a, cost, g = next, nextA, nextCost, nextG
			damping = damping / 10
			if damping < 1e-9 {
				damping = 0
			}
			if small {
				f.settled = true
				return
			}
			continue
		}
		if small || damping > 1e9 { // no smaller by rounding alone
			f.settled = small
			a, _ = b.equations(f, obs, &g)
			return
		}
		damping = max(10*damping, 1e-4)
		a, cost = b.equations(f, obs, &g)
	}
}

// weigh minimises with the prior on k1 weighed by the variance that the fit
// itself finds, to a fixed point.
func (b *workbench) weigh(f *fit, obs []observation, prior bool) {
	if f.count(obs); f.nudged.n > 0 {
		b.weighBoth(f, obs, prior)
		return
	}
	b.weighAsBelieved(f, obs, prior, believedDegrees)
}

// covariance fills f.cov, for readings of variance 1; false means that the
// readings don't fix the parameters.
func (b *workbench) covariance(f *fit, obs []observation) bool {
	var g row
	a, cost := b.equations(f, obs, &g)
	if !finite(cost) {
		return false
	}
	t, ok := lapack64.Potrf(a)
	if !ok || stiff(t) {
		return false
	}
	inverse, ok := lapack64.Potri(t)
	if !ok {
		return false
	}
	n := f.params()
	f.cov = make([]float64, n*n)
	for i := range n {
		for j := i; j < n; j++ {
			f.cov[i*n+j], f.cov[j*n+i] = inverse.Data[i*n+j], inverse.Data[i*n+j]
		}
	}
	return true
}

// lensShows returns the smallest singular value of the derivatives with k1
// over the largest, every column scaled to length 1. Near 0 the lens can't be
// told from a tilt: four corners and the middle, say.
func (f *fit) lensShows(obs []observation) float64 {
	if 2*len(obs) < 9 {
		return 0
	}
	with := *f
	with.lens.free = 1
	m := mat.NewDense(2*len(obs), 9, nil)
	var jx, jy, norm row
	for i, o := range obs {
		with.equation(o, &jx, &jy)
		m.SetRow(2*i, jx[:9])
		m.SetRow(2*i+1, jy[:9])
		for j := range norm {
			norm[j] += jx[j]*jx[j] + jy[j]*jy[j]
		}
	}
	m.Apply(func(_, j int, v float64) float64 {
		if norm[j] == 0 {
			return 0
		}
		return v / math.Sqrt(norm[j])
	}, m)
	var svd mat.SVD
	if !finite(m.RawMatrix().Data...) || !svd.Factorize(m, mat.SVDNone) {
		return 0
	}
	s := svd.Values(nil)
	return s[8] / s[0]
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
