// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"

	"lozenge/geometry"
)

// A promise says how far off a map is, place by place. Three things make a
// reading differ from the model: the hand, what the model can't follow (a
// field over the mat, see [misfitSizes]), and a lens of which something is
// believed. How large the first two are is not known: each pair of sizes is
// weighed by how well it explains the readings (the marginal likelihood with
// the homography left free: Patterson and Thompson, Biometrika 58, 1971), and
// the error at a place is that of generalised least squares with the field
// (universal kriging) under the mixture of the best pairs.
type promise struct {
	screen Screen
	fit    fit // the map, in inches from the middle of all
	foot   geometry.Point
	height float64
	seen   []slantedPlace // of the observations
	rows   blas64.General // derivatives by all parameters, two rows an observation
	parts  []supposition
	sigma  float64        // of a reading, per axis: root of the mean square
	eye    float64        // of a nudge, on the normalised screen
	size   float64        // of the misfit: root of the mean square, in
	uneven float64        // how likely it is that the misfit has a pattern
	mean   blas64.General // the covariance of the readings under the mean sizes

	plain *blas64.Triangular // of the parameters' covariance where that is all that is known
	moved *motion            // what was seen since, or nil
}

// A supposition is a size of each thing that is not known.
type supposition struct {
	weight           float64 // how likely; all add up to 1
	sigma, eye, size float64
	chol             blas64.Triangular // of the observations' covariance
	rows             blas64.General    // the derivatives by H, whitened
	free             blas64.Triangular // Cholesky factor of their normal matrix
	shift            []float64         // of the eight numbers of H
	pull             []float64         // the inverse of the covariance times what is left
}

// The believed sizes of errors of reading: a hand errs by about the step in
// which it writes, the eye that moves a cross by half a pixel.
const (
	readingOverStep = 1.06
	readingSpread   = 0.35 // standard deviation of the logarithm
	unknownStep     = 1.0 / 40
	unknownSpread   = 0.5
	eyeSpread       = 0.5
	mostParts       = 6    // twice as many where crosses were moved too
	leastPart       = 0.02 // of the best one's weight
	usualSize       = 0.03 // in: of the misfit, to begin with
	// settledMove is the square of the step, in standard deviations, at which the
	// map has settled, and nearEnough that at which the sizes can be weighed.
	settledMove = 1e-15
	nearEnough  = 1e-9
	// costRounding is by how much of itself the cost may seem to rise by
	// rounding: along the valley of a lens that bends little it hardly falls.
	costRounding = 1e-12
	// roughSteps is after how many steps all second derivatives are worth their
	// while, and curvatureStep how far apart, in standard deviations, gradients
	// are for these.
	roughSteps    = 0
	curvatureStep = 1e-5
)

// hand returns what is believed of the error of readings: its middle, in
// inches, and the spread of its logarithm; and of the misfit. Readings in whole 1/64 in, 1/32 in
// or half millimetres tell the step; those that bring errors of their own,
// crosses in a photo, are believed.
func hand(readings []Reading) (middle, spread float64, misfit []misfitSize) {
	square, own := 0.0, 0
	for _, r := range readings {
		if r.Sigma > 0 {
			square, own = square+r.Sigma*r.Sigma, own+1
		}
	}
	if own > 0 && own == len(readings) {
		return math.Sqrt(square / float64(own)), readingSpread, fineSizes
	}
	for _, step := range []float64{1.0 / 16, 1.0 / 32, 1.0 / 64, 0.1 / geometry.CentimetresPerInch, 0.05 / geometry.CentimetresPerInch} {
		whole := func(v float64) bool { return math.Abs(v/step-math.Round(v/step)) < 1e-4 }
		if !slices.ContainsFunc(readings, func(r Reading) bool { return !whole(r.X) || !whole(r.Y) }) {
			return readingOverStep * min(step, 1.0/32), readingSpread, misfitSizes
		}
	}
	return unknownStep, unknownSpread, misfitSizes
}

// ownErrors gives the observations, which begin with those of the readings, the
// errors that the readings bring, in parts of the usual one.
func ownErrors(obs []observation, readings []Reading, middle float64) {
	for i, r := range readings {
		if r.Sigma > 0 {
			obs[i].rough = r.Sigma / middle
		}
	}
}

// deviates are the places, in standard deviations, at which a size that is not
// known is looked at.
var deviates = []float64{-2, -1.2, -0.4, 0.4, 1.2, 2}

// promised fits the whole lens to the observations, and finds what the map is
// worth. False means that the readings fix no such map.
func promised(s Screen, start fit, obs []observation, readings []Reading, b *workbench) (*promise, bool) {
	middle, spread, misfit := hand(readings)
	if n := start.nudged.n; n > 0 {
		misfit = sizesMoved(min(1, float64(n)/float64(max(1, len(readings)))))
	}
	ownErrors(obs, readings, middle)
	f := start
	f.cov = nil // is for the fit by which slips are judged
	f.lens = wholeLens(s, start.lens.values[0])
	f.nudged.believe(s)
	f.nudged.pull = middle / f.nudged.eye
	p := &promise{screen: s, fit: f, sigma: middle, eye: f.nudged.eye, size: usualSize}
	if !p.settle(obs, nearEnough) || !p.weigh(obs, middle, spread, misfit) || !p.settle(obs, settledMove) || !p.prepare(obs) {
		return nil, false
	}
	var g row
	b.equations(&p.fit, obs, &g) // the residuals
	return p, true
}

// linear fills in places, derivatives and what is left, at the fit as it
// stands.
func (p *promise) linear(obs []observation) (left []float64) {
	p.foot, p.height = p.fit.hanging(p.screen)
	n := len(obs)
	if len(p.seen) != n { // else both are filled anew
		p.seen, p.rows = make([]slantedPlace, n), square(2*n, p.fit.params())
	}
	left = make([]float64, 2*n)
	for i, o := range obs {
		var jx, jy row
		x, y := p.fit.rows(o.px, o.py, &jx, &jy)
		left[2*i], left[2*i+1] = o.x-x, o.y-y
		copy(p.rows.Data[2*i*p.rows.Stride:], jx[:])
		copy(p.rows.Data[(2*i+1)*p.rows.Stride:], jy[:])
		p.seen[i] = p.slanted(x, y)
	}
	return left
}

// A spot is a covariance of the two coordinates of one place: xx, xy, yy.
type spot [3]float64

// apart returns, for each observation, the covariance of a reading of variance
// 1 and that which a nudge of variance 1 on the normalised screen has on the
// mat.
func (p *promise) apart(obs []observation) (read, eye []spot) {
	read, eye = make([]spot, len(obs)), make([]spot, len(obs))
	for i, o := range obs {
		switch {
		case o.nudged:
			a, b, c, d := p.fit.slope(o.px, o.py)
			eye[i] = spot{a*a + b*b, a*c + b*d, c*c + d*d}
		case o.rough > 0:
			read[i] = spot{o.rough * o.rough, 0, o.rough * o.rough}
		default:
			read[i] = spot{1, 0, 1}
		}
	}
	return read, eye
}

// addSpots adds the covariances of single observations, so many times, to one of all.
func addSpots(v blas64.General, spots []spot, times float64) {
	for i, c := range spots {
		at := 2*i*v.Stride + 2*i
		v.Data[at] += times * c[0]
		v.Data[at+1] += times * c[1]
		v.Data[at+v.Stride] += times * c[1]
		v.Data[at+v.Stride+1] += times * c[2]
	}
}

func (p *promise) slanted(x, y float64) slantedPlace {
	at := geometry.Point{X: x, Y: y}
	return slantedPlace{at, at.Sub(p.foot).Mul(1 / p.height)}
}

// field returns the covariance of the field between places, for a height of 1
// in.
func field(a, b []slantedPlace) blas64.General {
	k := square(2*len(a), 2*len(b))
	for i, p := range a {
		for j, q := range b {
			at := 2*i*k.Stride + 2*j
			k.Data[at], k.Data[at+1], k.Data[at+k.Stride], k.Data[at+k.Stride+1] = p.together(q)
		}
	}
	return k
}

// byLens returns the covariance that the lens makes between places with the
// derivatives given.
func (p *promise) byLens(a, b blas64.General) blas64.General {
	scaled := square(a.Rows, lensParams)
	for i := range a.Rows {
		for k, sd := range p.fit.lens.believed {
			scaled.Data[i*lensParams+k] = a.Data[i*a.Stride+8+k] * sd * sd
		}
	}
	out := square(a.Rows, b.Rows)
	blas64.Gemm(blas.NoTrans, blas.Trans, 1, scaled, columns(b, 8, lensParams), 0, out)
	return out
}

// weigh finds how likely each supposition is, and keeps the best.
func (p *promise) weigh(obs []observation, middle, spread float64, misfit []misfitSize) bool {
	left := p.linear(obs)
	read, eye := p.apart(obs)
	p.withoutLens(left)
	n := len(left)
	rest := n - 8
	// What is left without what H can explain: Q2 of its derivatives' QR.
	var qr mat.QR
	h := mat.NewDense(n, 8, nil)
	for i := range n {
		h.SetRow(i, p.rows.Data[i*p.rows.Stride:i*p.rows.Stride+8])
	}
	if !finite(h.RawMatrix().Data...) {
		return false
	}
	qr.Factorize(h)
	var q mat.Dense
	qr.QTo(&q)
	q2 := columns(q.RawMatrix(), 8, rest)
	project := func(m blas64.General) blas64.General {
		half, out := square(n, rest), square(rest, rest)
		blas64.Gemm(blas.NoTrans, blas.NoTrans, 1, m, q2, 0, half)
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, q2, half, 0, out)
		return out
	}
	z := make([]float64, rest)
	blas64.Gemv(blas.Trans, 1, q2, vector(left), 0, vector(z))
	byField, byLens := project(field(p.seen, p.seen)), project(p.byLens(p.rows, p.rows))
	ofSpots := func(spots []spot) blas64.General {
		v := square(n, n)
		addSpots(v, spots, 1)
		return project(v)
	}
	byHand, byEye := ofSpots(read), square(rest, rest)
	eyes := []float64{0}
	if p.fit.nudged.n > 0 {
		byEye, eyes = ofSpots(eye), []float64{-1.2, 0, 1.2}
	}
	hands := deviates
	if p.fit.n == 0 {
		hands = []float64{0}
	}
	v, y := square(rest, rest), make([]float64, rest)
	best := math.Inf(-1)
	for _, a := range hands {
		for _, e := range eyes {
			for _, m := range misfit {
				s := supposition{
					sigma: middle * math.Exp(a*spread), size: m.size,
					eye: p.fit.nudged.eye * math.Exp(e*eyeSpread),
				}
				for i := range rest { // the lower half
					for j := i * rest; j <= i*rest+i; j++ {
						v.Data[j] = s.sigma*s.sigma*byHand.Data[j] + s.eye*s.eye*byEye.Data[j] + s.size*s.size*byField.Data[j] + byLens.Data[j]
					}
				}
				t, ok := lapack64.Potrf(blas64.Symmetric{N: rest, Stride: rest, Data: v.Data, Uplo: blas.Lower})
				if !ok {
					return false
				}
				copy(y, z)
				blas64.Trsv(blas.NoTrans, t, vector(y))
				log := math.Log(m.believed) - (a*a+e*e)/2 - blas64.Dot(vector(y), vector(y))/2
				for i := range rest {
					log -= math.Log(v.Data[i*rest+i])
				}
				s.weight = log
				best = max(best, log)
				p.parts = append(p.parts, s)
			}
		}
	}
	if !finite(best) {
		return false
	}
	p.keepBest(best)
	return true
}

// keepBest turns logarithms into weights, takes the means of the sizes and
// keeps the best suppositions.
func (p *promise) keepBest(best float64) {
	all := 0.0
	p.sigma, p.eye, p.size = 0, 0, 0
	for i := range p.parts {
		p.parts[i].weight = math.Exp(p.parts[i].weight - best)
		all += p.parts[i].weight
	}
	for i := range p.parts {
		s := &p.parts[i]
		s.weight /= all
		p.sigma += s.weight * s.sigma * s.sigma
		p.eye += s.weight * s.eye * s.eye
		p.size += s.weight * s.size * s.size
		if s.size >= patternSize {
			p.uneven += s.weight
		}
	}
	p.sigma, p.eye, p.size = math.Sqrt(p.sigma), math.Sqrt(p.eye), math.Sqrt(p.size)
	slices.SortStableFunc(p.parts, func(a, b supposition) int { return cmp.Compare(b.weight, a.weight) })
	most := mostParts
	if p.fit.nudged.n > 0 {
		most *= 2
	}
	kept, sum := 0, 0.0
	for kept < len(p.parts) && kept < most && p.parts[kept].weight >= leastPart*p.parts[0].weight {
		sum += p.parts[kept].weight
		kept++
	}
	p.parts = p.parts[:kept]
	for i := range p.parts {
		p.parts[i].weight /= sum
	}
}

// covariance returns that of the observations for some sizes, without the
// lens.
func covariance(read, eye []spot, byField blas64.General, sigma, eyes, size float64) blas64.General {
	v := clone(byField)
	blas64.Scal(size*size, vector(v.Data))
	addSpots(v, read, sigma*sigma)
	addSpots(v, eye, eyes*eyes)
	return v
}

// withoutLens makes what is left that of a lens that bends nothing, to the
// first order.
func (p *promise) withoutLens(left []float64) {
	blas64.Gemv(blas.NoTrans, 1, columns(p.rows, 8, lensParams), vector(slices.Clone(p.fit.lens.values[:])), 1, vector(left))
}

// settle finds the map: generalised least squares under the mean sizes, with
// what is believed of the lens, by Newton's iteration, damped where it has to
// be, until the square of an undamped step is below so much.
func (p *promise) settle(obs []observation, enough float64) bool {
	left := p.linear(obs)
	read, eye := p.apart(obs)
	p.mean = covariance(read, eye, field(p.seen, p.seen), p.sigma, p.eye, p.size)
	chol, ok := lapack64.Potrf(blas64.Symmetric{N: p.mean.Rows, Stride: p.mean.Stride, Data: slices.Clone(p.mean.Data), Uplo: blas.Lower})
	if !ok {
		return false
	}
	cost, damping := p.whiten(left, chol), 0.0
	var a blas64.General
	var g, diagonal []float64
	fresh := false
	for step := range mostSteps {
		if !fresh {
			a, g, diagonal = p.newton(left, chol)
			if step >= roughSteps {
				p.curve(a, obs, left, chol, diagonal)
			}
			fresh = true
		}
		kept := p.fit
		moved, ok := p.step(a, g, diagonal, damping)
		if ok {
			left = p.linear(obs)
			next := p.whiten(left, chol)
			if small := moved < enough; finite(next) && (next <= cost*(1+costRounding) || small) {
				if small && damping == 0 {
					return true
				}
				cost, damping, fresh = next, damping/10, false
				if damping < 1e-6 || small { // what damping makes small says nothing
					damping = 0
				}
				continue
			}
		}
		p.fit = kept
		damping = max(10*damping, 1e-3)
	}
	return false
}

// whiten makes what is left that of observations of variance 1, and returns
// the cost: its squares and the terms of what is believed.
func (p *promise) whiten(left []float64, chol blas64.Triangular) (cost float64) {
	blas64.Trsv(blas.NoTrans, chol, vector(left))
	cost = blas64.Dot(vector(left), vector(left))
	for k, sd := range p.fit.lens.believed {
		cost += p.fit.lens.values[k] * p.fit.lens.values[k] / (sd * sd)
	}
	return cost
}

// newton returns the matrix and the right side of a step without second
// derivatives, and the matrix's diagonal.
func (p *promise) newton(left []float64, chol blas64.Triangular) (a blas64.General, g, diagonal []float64) {
	blas64.Trsm(blas.Left, blas.NoTrans, 1, chol, p.rows)
	n := p.fit.params()
	a, g = square(n, n), make([]float64, n)
	blas64.Gemm(blas.Trans, blas.NoTrans, 1, p.rows, p.rows, 0, a)
	blas64.Gemv(blas.Trans, 1, p.rows, vector(left), 0, vector(g))
	for k, sd := range p.fit.lens.believed {
		a.Data[(8+k)*n+8+k] += 1 / (sd * sd)
		g[8+k] -= p.fit.lens.values[k] / (sd * sd)
	}
	for i := range n {
		diagonal = append(diagonal, a.Data[i*n+i])
	}
	return a, g, diagonal
}

// curve adds second derivatives to the matrix of a step, by differences of the
// first: where a lens bends little its middle has hardly a first one. left is
// whitened.
func (p *promise) curve(a blas64.General, obs []observation, left []float64, chol blas64.Triangular, diagonal []float64) {
	pull := slices.Clone(left)
	blas64.Trsv(blas.Trans, chol, vector(pull))
	n := len(diagonal)
	here := p.fit.pulled(obs, pull)
	for i := range n {
		step := curvatureStep / math.Sqrt(diagonal[i])
		f := p.fit
		f.add(i, step)
		there := f.pulled(obs, pull)
		for j := range n {
			a.Data[j*n+i] -= (there[j] - here[j]) / step
		}
	}
}

// pulled returns the derivatives by the parameters of where the observations
// are, each times the pull on it, summed.
func (f *fit) pulled(obs []observation, pull []float64) (sum row) {
	var jx, jy row
	for i, o := range obs {
		f.rows(o.px, o.py, &jx, &jy)
		for k := range f.params() {
			sum[k] += jx[k]*pull[2*i] + jy[k]*pull[2*i+1]
		}
	}
	return sum
}

// add adds to a parameter.
func (f *fit) add(i int, d float64) {
	if i < 8 {
		f.h[i] += d
	} else {
		f.lens.values[i-8] += d
	}
}

// step changes the fit, and returns the square of the step in standard
// deviations.
func (p *promise) step(a blas64.General, g, diagonal []float64, damping float64) (moved float64, ok bool) {
	n := len(g)
	damped, d := slices.Clone(a.Data), slices.Clone(g)
	for i := range n {
		damped[i*n+i] += damping * diagonal[i]
	}
	t, ok := lapack64.Potrf(blas64.Symmetric{N: n, Stride: n, Data: damped, Uplo: blas.Lower})
	if !ok {
		return 0, false
	}
	lapack64.Potrs(t, blas64.General{Rows: n, Cols: 1, Stride: 1, Data: d})
	for i, d := range d {
		moved += d * d * diagonal[i]
		p.fit.add(i, d)
	}
	return moved, true
}

// prepare makes the suppositions ready for [promise.look].
func (p *promise) prepare(obs []observation) bool {
	left := p.linear(obs)
	read, eye := p.apart(obs)
	p.withoutLens(left)
	byField, byLens := field(p.seen, p.seen), p.byLens(p.rows, p.rows)
	for i := range p.parts {
		s := &p.parts[i]
		v := covariance(read, eye, byField, s.sigma, s.eye, s.size)
		for j := range v.Data {
			v.Data[j] += byLens.Data[j]
		}
		var ok bool
		if s.chol, ok = lapack64.Potrf(blas64.Symmetric{N: v.Rows, Stride: v.Stride, Data: v.Data, Uplo: blas.Lower}); !ok {
			return false
		}
		s.rows = clone(columns(p.rows, 0, 8))
		blas64.Trsm(blas.Left, blas.NoTrans, 1, s.chol, s.rows)
		s.pull = slices.Clone(left)
		blas64.Trsv(blas.NoTrans, s.chol, vector(s.pull))
		normal := square(8, 8)
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, s.rows, s.rows, 0, normal)
		if s.free, ok = lapack64.Potrf(blas64.Symmetric{N: 8, Stride: 8, Data: normal.Data, Uplo: blas.Lower}); !ok {
			return false
		}
		s.shift = make([]float64, 8)
		blas64.Gemv(blas.Trans, 1, s.rows, vector(s.pull), 0, vector(s.shift))
		lapack64.Potrs(s.free, blas64.General{Rows: 8, Cols: 1, Stride: 1, Data: s.shift})
		blas64.Gemv(blas.NoTrans, -1, s.rows, vector(s.shift), 1, vector(s.pull))
		blas64.Trsv(blas.Trans, s.chol, vector(s.pull))
	}
	return true
}

// placesSeen are places with the errors there.
type placesSeen struct {
	places []slantedPlace
	rows   blas64.General // derivatives by all parameters
	parts  []errorsSeen
}

// errorsSeen are the errors at some places under one supposition: what is
// expected and, as factors, the covariance C + D D' - B' B.
type errorsSeen struct {
	weight, size float64
	mean         []float64
	known        blas64.General // B: what the readings say, whitened; a column a coordinate
	open         blas64.General // D': what H leaves open; a column a coordinate
}

// look finds the errors at places of the normalised screen.
func (p *promise) look(at []geometry.Point) placesSeen {
	if p.moved != nil {
		return p.moved.look(at)
	}
	n := 2 * len(at)
	out := placesSeen{rows: square(n, p.fit.params())}
	for i, q := range at {
		var jx, jy row
		x, y := p.fit.rows(q.X, q.Y, &jx, &jy)
		copy(out.rows.Data[2*i*out.rows.Stride:], jx[:])
		copy(out.rows.Data[(2*i+1)*out.rows.Stride:], jy[:])
		out.places = append(out.places, p.slanted(x, y))
	}
	if p.plain != nil {
		out.parts = []errorsSeen{p.plainly(out.rows)}
		out.rows = square(n, 8+lensParams) // no lens is open any more
		return out
	}
	byField, byLens := field(p.seen, out.places), p.byLens(p.rows, out.rows)
	byH := columns(out.rows, 0, 8)
	for _, s := range p.parts {
		e := errorsSeen{weight: s.weight, size: s.size, mean: make([]float64, n), known: square(len(s.pull), n), open: square(8, n)}
		for i := range e.known.Data {
			e.known.Data[i] = s.size*s.size*byField.Data[i] + byLens.Data[i]
		}
		blas64.Gemv(blas.Trans, 1, e.known, vector(s.pull), 0, vector(e.mean))
		blas64.Gemv(blas.NoTrans, 1, byH, vector(s.shift), 1, vector(e.mean))
		blas64.Gemv(blas.NoTrans, -1, columns(out.rows, 8, lensParams), vector(slices.Clone(p.fit.lens.values[:])), 1, vector(e.mean))
		blas64.Trsm(blas.Left, blas.NoTrans, 1, s.chol, e.known)
		for i := range 8 {
			for j := range n {
				e.open.Data[i*n+j] = byH.Data[j*byH.Stride+i]
			}
		}
		blas64.Gemm(blas.Trans, blas.NoTrans, -1, s.rows, e.known, 1, e.open)
		blas64.Trsm(blas.Left, blas.NoTrans, 1, s.free, e.open)
		out.parts = append(out.parts, e)
	}
	return out
}

// plainly returns the errors of a covariance alone.
func (p *promise) plainly(rows blas64.General) errorsSeen {
	e := errorsSeen{weight: 1, mean: make([]float64, rows.Rows), known: square(0, rows.Rows), open: square(p.plain.N, rows.Rows)}
	for i := range rows.Rows {
		for k := range p.plain.N {
			e.open.Data[k*rows.Rows+i] = rows.Data[i*rows.Stride+k]
		}
	}
	blas64.Trmm(blas.Left, blas.Trans, 1, *p.plain, e.open)
	return e
}

// A squaredError is the distribution of a squared distance, near enough: mean
// times chi² of so many degrees over these (Satterthwaite 1946), whose cube root
// is nearly normal (Wilson and Hilferty, Proceedings of the National Academy of
// Sciences 17, 1931).
type squaredError struct{ weight, middle, spread float64 }

func newSquaredError(weight, mean, degrees float64) squaredError {
	root, v := math.Cbrt(mean), 2/(9*degrees)
	return squaredError{weight, root * (1 - v), root * math.Sqrt(2*v)}
}

// squared returns the distributions of the squared errors, one for each
// supposition and, within these, each place.
func (s *placesSeen) squared(p *promise) (out []squaredError) {
	for k := range s.parts {
		e := &s.parts[k]
		own := make([][3]float64, len(s.places)) // covariances xx, xy, yy
		for i, at := range s.places {
			xx, xy, _, yy := at.together(at)
			own[i] = [3]float64{e.size * e.size * xx, e.size * e.size * xy, e.size * e.size * yy}
			x, y := s.rows.Data[2*i*s.rows.Stride+8:], s.rows.Data[(2*i+1)*s.rows.Stride+8:]
			for k, sd := range p.fit.lens.believed {
				addSquares(&own[i], x[k], y[k], sd*sd)
			}
		}
		for _, m := range []struct {
			blas64.General
			sign float64
		}{{e.known, -1}, {e.open, 1}} {
			for r := range m.Rows {
				row := m.Data[r*m.Stride:]
				for i := range own {
					addSquares(&own[i], row[2*i], row[2*i+1], m.sign)
				}
			}
		}
		for i, c := range own {
			x, y := e.mean[2*i], e.mean[2*i+1]
			mean := c[0] + c[2] + x*x + y*y
			half := c[0]*c[0] + 2*c[1]*c[1] + c[2]*c[2] + 2*(x*x*c[0]+2*x*y*c[1]+y*y*c[2]) // half the variance
			out = append(out, newSquaredError(e.weight, mean, mean*mean/half))
		}
	}
	return out
}

// addSquares adds the squares and the product of x and y, so many times.
func addSquares(c *[3]float64, x, y, times float64) {
	c[0] += times * x * x
	c[1] += times * x * y
	c[2] += times * y * y
}

// exceeds returns how often the cube root of a squared error is above q.
func (e squaredError) exceeds(q float64) float64 { return math.Erfc((q-e.middle)/e.spread) / 2 }

// bound undoes exceeds, for the inverse of the error function at 1 less twice the part.
func (e squaredError) bound(inverse float64) float64 { return max(0, e.middle+e.spread*inverse) }

// exceeded returns the distance that is exceeded in part of all cases, over
// the distributions given: between the least and the most of each by itself, by
// the rule of false position, which halves the side that stays (Dowell and
// Jarratt, BIT 11, 1971).
func exceeded(all []squaredError, part float64) float64 {
	total, low, high, mean := 0.0, math.Inf(1), 0.0, 0.0
	inverse := math.Erfinv(1 - 2*part)
	for _, e := range all {
		total += e.weight
		b := e.bound(inverse)
		low, high, mean = min(low, b), max(high, b), mean+e.weight*b
	}
	over := func(q float64) float64 {
		sum := -part * total
		for _, e := range all {
			sum += e.weight * e.exceeds(q)
		}
		return sum
	}
	distance := func(q float64) float64 { return math.Pow(q, 1.5) }
	atLow, atHigh := over(low), over(high)
	before := 0.0
	for mid := mean / total; atLow > 0 && atHigh < 0 && high-low > 1e-6*high; mid = low + (high-low)*atLow/(atLow-atHigh) {
		v := over(mid)
		if math.Abs(v) <= 1e-5*total {
			return distance(mid)
		}
		if v > 0 {
			low, atLow = mid, v
			if before > 0 {
				atHigh /= 2
			}
		} else {
			high, atHigh = mid, v
			if before < 0 {
				atLow /= 2
			}
		}
		before = v
	}
	return distance((low + high) / 2)
}

// locals returns the local 95 % errors at places of the normalised screen.
func (p *promise) locals(at []geometry.Point) []float64 {
	seen := p.look(at)
	all, out := seen.squared(p), make([]float64, len(at))
	here := make([]squaredError, len(seen.parts))
	for i := range out {
		for k := range here {
			here[k] = all[k*len(at)+i]
		}
		out[i] = exceeded(here, 0.05)
	}
	return out
}

// spotColumns and spotRows are those of the places that stand for the area, and
// mostCorners is how many of its corners are looked at besides.
const (
	spotColumns, spotRows = 7, 5
	mostCorners           = 16
)

// samples is of how many set-ups the worst place is looked for.
const samples = 300

// normals are random numbers for the samples, the same every time: a row a
// coordinate, a column a sample.
var normals = sync.OnceValue(func() blas64.General {
	r := rand.New(rand.NewPCG(1, 2))
	z := square(2*(spotColumns*spotRows+mostCorners), samples)
	for i := range z.Data {
		z.Data[i] = r.NormFloat64()
	}
	return z
})

// worstOf returns the distance within which the worst of all places lies 95
// times in 100, and at which place it is largest most often: joint samples of
// the errors at all places.
func (s *placesSeen) worstOf(p *promise) (worst float64, at int) {
	n := len(s.places)
	byField, byLens := field(s.places, s.places), p.byLens(s.rows, s.rows)
	sum, largest := make([]float64, n), make([]float64, 0, samples)
	v := blas64.Symmetric{N: 2 * n, Stride: 2 * n, Data: make([]float64, 4*n*n), Uplo: blas.Lower}
	errors := make([]float64, 2*n*samples)
	upTo := 0.0
	for k := range s.parts {
		e := &s.parts[k]
		upTo += e.weight * samples
		drawn := len(largest)
		more := int(math.Round(upTo)) - drawn
		copy(v.Data, byLens.Data)
		blas64.Axpy(e.size*e.size, vector(byField.Data), vector(v.Data))
		blas64.Syrk(blas.Trans, 1, e.open, 1, v)
		blas64.Syrk(blas.Trans, -1, e.known, 1, v)
		for i := range 2 * n {
			v.Data[i*2*n+i] *= 1 + 1e-9
		}
		t, ok := lapack64.Potrf(v)
		if !ok || more == 0 {
			continue
		}
		z := blas64.General{Rows: 2 * n, Cols: more, Stride: more, Data: errors}
		for i := range z.Rows {
			copy(z.Data[i*more:(i+1)*more], normals().Data[i*samples+drawn:])
		}
		blas64.Trmm(blas.Left, blas.NoTrans, 1, t, z)
		largest = largest[:drawn+more]
		for i := range n {
			x, y := z.Data[2*i*more:(2*i+1)*more], z.Data[(2*i+1)*more:(2*i+2)*more]
			for j := range more {
				dx, dy := x[j]+e.mean[2*i], y[j]+e.mean[2*i+1]
				d := dx*dx + dy*dy
				sum[i] += d
				largest[drawn+j] = max(largest[drawn+j], d)
			}
		}
	}
	if len(largest) == 0 {
		return math.NaN(), 0
	}
	slices.Sort(largest)
	for i, v := range sum {
		if v > sum[at]*(1+1e-9) {
			at = i
		}
	}
	return math.Sqrt(largest[len(largest)*95/100]), at
}

func square(rows, cols int) blas64.General {
	return blas64.General{Rows: rows, Cols: cols, Stride: cols, Data: make([]float64, rows*cols)}
}

func vector(v []float64) blas64.Vector { return blas64.Vector{N: len(v), Inc: 1, Data: v} }

// columns returns n columns of a matrix from one on, sharing its numbers.
func columns(m blas64.General, from, n int) blas64.General {
	return blas64.General{Rows: m.Rows, Cols: n, Stride: m.Stride, Data: m.Data[from:]}
}

func clone(m blas64.General) blas64.General {
	out := square(m.Rows, m.Cols)
	for i := range m.Rows {
		copy(out.Data[i*m.Cols:(i+1)*m.Cols], m.Data[i*m.Stride:])
	}
	return out
}

// expected returns the error to expect over the calibrated area, pooled, and
// the true worst place of 95 set-ups in 100.
func (p *promise) expected(m *Map) ExpectedError {
	at, share := m.spots()
	places := make([]geometry.Point, len(at))
	for i, q := range at {
		places[i].X, places[i].Y = m.screen.normal(q.X, q.Y)
	}
	seen := p.look(places)
	errors := seen.squared(p)
	for i := range errors {
		errors[i].weight *= share[i%len(share)]
	}
	worst, i := seen.worstOf(p)
	out := ExpectedError{Median: exceeded(errors, 0.5), P95: exceeded(errors, 0.05), Worst: worst}
	if !finite(out.Median, out.P95, out.Worst) {
		return unknownError()
	}
	out.WorstAt.X, out.WorstAt.Y = m.ToMat(at[i].X, at[i].Y)
	return out
}

// spots returns places that stand for the calibrated area, in pixels, and how
// much of it each stands for: those of a grid on its bounds (by the trapezium
// rule) and, for nothing, its corners.
func (m *Map) spots() (at []geometry.Point, share []float64) {
	box := m.area.Bounds()
	half := func(v, low, high float64) float64 {
		if v == low || v == high {
			return 0.5
		}
		return 1
	}
	lookOn(spotColumns, spotRows, box, func(q geometry.Point) {
		if inside(m.area, q) >= -geometry.Clip*1e3 { // or on the rim
			at = append(at, q)
			share = append(share, half(q.X, box.Min.X, box.Max.X)*half(q.Y, box.Min.Y, box.Max.Y))
		}
	})
	for _, q := range m.area[:min(len(m.area), mostCorners)] {
		if !slices.ContainsFunc(at, func(p geometry.Point) bool { return p.Sub(q).Len() < 1 }) {
			at, share = append(at, q), append(share, 0)
		}
	}
	return at, share
}
