// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"lozenge/geometry"
)

// A motion is what a few crosses tell, seen again, of what moved since the
// calibration: the mat, or the projector after a bump. While its lens stays as
// it is, a projector moves in six ways, and what it lights up moves on the mat
// by six fields: two shifts, a turn, a size and two tilts (the ray through a
// pixel turned and shifted, cut with the mat's plane, to the first order).
type motion struct {
	before *promise
	at     []geometry.Point // the crosses, on the normalised screen
	off    []float64        // by which each lies off where the map has it, in
	noise  blas64.General   // covariance of off, for the eye alone
	taken  way              // is in the map already
}

// ways is in how many ways a projector moves.
const ways = 6

// A way is shifts, in inches, then turn, size and tilts, all in inches at a
// slant of 1.
type way [ways]float64

// motions are what may have happened, as standard deviations: in inches, and
// as angles or parts of 1 the others. Nothing; a touch; a bump; a mat that slid, a
// little and more; a knock.
// Common sense, no source.
var motions = []struct{ believed, shift, turn, size, tilt float64 }{
	{0.35, 0, 0, 0, 0},
	{0.15, 0.02, 0.0005, 0.0002, 0.0004},
	{0.2, 0.25, 0.005, 0.002, 0.004},
	{0.1, 0.15, 0.001, 0, 0},
	{0.1, 0.5, 0.01, 0, 0},
	{0.1, 2, 0.03, 0.01, 0.03},
}

// fields returns by how much each way moves a place.
func (p slantedPlace) fields() (x, y way) {
	s := p.slant
	return way{1, 0, -s.Y, s.X, s.X * s.Y, 1 + s.X*s.X}, way{0, 1, s.X, s.Y, 1 + s.Y*s.Y, s.X * s.Y}
}

// carry returns where a place goes.
func (w way) carry(p slantedPlace, height float64) geometry.Point {
	s := p.slant
	// As a homography, so that lines stay straight.
	down := 1 - (w[4]*s.Y+w[5]*s.X)/height
	foot := p.at.Sub(s.Mul(height))
	return geometry.Point{
		X: foot.X + (s.X*height+w[0]-w[2]*s.Y+w[3]*s.X+w[5])/down,
		Y: foot.Y + (s.Y*height+w[1]+w[2]*s.X+w[3]*s.Y+w[4])/down,
	}
}

// carried returns the fit after a motion about a foot and a height.
func (f *fit) carried(w way, foot geometry.Point, height float64) fit {
	d := [3][3]float64{
		{1 + w[3]/height, -w[2] / height, w[0] + w[5]},
		{w[2] / height, 1 + w[3]/height, w[1] + w[4]},
		{-w[5] / (height * height), -w[4] / (height * height), 1},
	}
	h := [3][3]float64{{f.h[0], f.h[1], f.h[2]}, {f.h[3], f.h[4], f.h[5]}, {f.h[6], f.h[7], 1}}
	var n [9]float64
	for c := range 3 {
		// About the foot, and back.
		x, y, z := h[0][c]-foot.X*h[2][c], h[1][c]-foot.Y*h[2][c], h[2][c]
		for r := range 3 {
			n[3*r+c] = d[r][0]*x + d[r][1]*y + d[r][2]*z
		}
		n[c] += foot.X * n[6+c]
		n[3+c] += foot.Y * n[6+c]
	}
	out := *f
	for i := range out.h {
		out.h[i] = n[i] / n[8]
	}
	return out
}

// A case is one supposition about the errors together with one motion.
type motionCase struct {
	part   int // of those seen
	weight float64
	spread way               // standard deviations of the ways
	chol   blas64.Triangular // of the crosses' covariance
	across blas64.General    // covariance of the crosses with all places, then the crosses
	pull   []float64         // the inverse of the covariance times what is off
	misfit float64           // what is off, squared, in standard deviations
}

// look is [promise.look] after the motion.
func (m *motion) look(at []geometry.Point) placesSeen {
	seen, cases := m.cases(at)
	n := len(at)
	out := placesSeen{places: seen.places[:n], rows: firstRows(seen.rows, 2*n)}
	for _, c := range cases {
		e := seen.parts[c.part]
		told := clone(columns(c.across, 0, 2*n))
		mean := make([]float64, 2*n)
		copy(mean, e.mean)
		blas64.Gemv(blas.Trans, 1, told, vector(c.pull), 1, vector(mean))
		blas64.Trsm(blas.Left, blas.NoTrans, 1, c.chol, told)
		open := square(ways, 2*n)
		for i, p := range out.places {
			x, y := p.fields()
			for k, sd := range c.spread {
				open.Data[k*2*n+2*i], open.Data[k*2*n+2*i+1] = sd*x[k], sd*y[k]
			}
			to := m.taken.carry(p, m.before.height)
			mean[2*i] -= to.X - p.at.X
			mean[2*i+1] -= to.Y - p.at.Y
		}
		out.parts = append(out.parts, errorsSeen{
			weight: c.weight, size: e.size, mean: mean,
			known: below(columns(e.known, 0, 2*n), told), open: below(columns(e.open, 0, 2*n), open),
		})
	}
	return out
}

// cases weighs each supposition with each motion by what the crosses say; all
// weights add up to 1.
func (m *motion) cases(at []geometry.Point) (placesSeen, []motionCase) {
	seen := m.before.look(append(append([]geometry.Point(nil), at...), m.at...))
	n, k := 2*len(at), 2*len(m.at)
	crosses := seen.places[len(at):]
	byField, byLens := field(crosses, seen.places), m.before.byLens(lastRows(seen.rows, k), seen.rows)
	ofCrosses, ofAll := fieldsAt(crosses), fieldsAt(seen.places)
	var out []motionCase
	best := math.Inf(-1)
	for i, e := range seen.parts {
		across := square(k, n+k)
		for j := range across.Data {
			across.Data[j] = e.size*e.size*byField.Data[j] + byLens.Data[j]
		}
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, columns(e.open, n, k), e.open, 1, across)
		if e.known.Rows > 0 {
			blas64.Gemm(blas.Trans, blas.NoTrans, -1, columns(e.known, n, k), e.known, 1, across)
		}
		for _, b := range motions {
			h := m.before.height
			c := motionCase{part: i, across: clone(across), spread: way{b.shift, b.shift, h * b.turn, h * b.size, h * b.tilt, h * b.tilt}}
			scaled := clone(ofCrosses)
			for r := range k {
				for j, sd := range c.spread {
					scaled.Data[r*ways+j] *= sd * sd
				}
			}
			blas64.Gemm(blas.NoTrans, blas.Trans, 1, scaled, ofAll, 1, c.across)
			v := clone(columns(c.across, n, k))
			for j := range v.Data {
				v.Data[j] += m.noise.Data[j]
			}
			var ok bool
			if c.chol, ok = lapack64.Potrf(blas64.Symmetric{N: k, Stride: k, Data: v.Data, Uplo: blas.Lower}); !ok {
				continue
			}
			c.pull = make([]float64, k)
			for j := range c.pull {
				c.pull[j] = m.off[j] - e.mean[n+j]
			}
			blas64.Trsv(blas.NoTrans, c.chol, vector(c.pull))
			c.misfit = blas64.Dot(vector(c.pull), vector(c.pull))
			c.weight = math.Log(e.weight*b.believed) - c.misfit/2
			for j := range k {
				c.weight -= math.Log(v.Data[j*k+j])
			}
			blas64.Trsv(blas.Trans, c.chol, vector(c.pull))
			best = max(best, c.weight)
			out = append(out, c)
		}
	}
	return seen, likely(out, best)
}

// likely turns logarithms into weights and keeps what matters.
func likely(cases []motionCase, best float64) (out []motionCase) {
	all := 0.0
	for _, c := range cases {
		if c.weight = math.Exp(c.weight - best); c.weight >= leastPart {
			out = append(out, c)
			all += c.weight
		}
	}
	for i := range out {
		out[i].weight /= all
	}
	return out
}

// expected returns the mean of the motion, how likely it is that anything
// moved, and how far off, in standard deviations squared, the crosses lie in
// the likeliest case.
func (m *motion) expected() (mean way, moved, misfit float64) {
	seen, cases := m.cases(nil)
	fields := fieldsAt(seen.places)
	most := 0.0
	for _, c := range cases {
		if c.spread != (way{}) {
			moved += c.weight
		}
		if c.weight > most {
			most, misfit = c.weight, c.misfit
		}
		for k, sd := range c.spread {
			for i, p := range c.pull {
				mean[k] += c.weight * sd * sd * fields.Data[i*ways+k] * p
			}
		}
	}
	return mean, moved, misfit
}

// fieldsAt returns the fields at places, a row a coordinate.
func fieldsAt(places []slantedPlace) blas64.General {
	out := square(2*len(places), ways)
	for i, p := range places {
		x, y := p.fields()
		copy(out.Data[2*i*ways:], x[:])
		copy(out.Data[(2*i+1)*ways:], y[:])
	}
	return out
}

func firstRows(m blas64.General, n int) blas64.General {
	m.Rows, m.Data = n, m.Data[:n*m.Stride]
	return m
}

func lastRows(m blas64.General, n int) blas64.General {
	m.Data = m.Data[(m.Rows-n)*m.Stride:]
	m.Rows = n
	return m
}

// below returns one matrix below the other.
func below(a, b blas64.General) blas64.General {
	out := square(a.Rows+b.Rows, b.Cols)
	copy(out.Data, clone(a).Data)
	copy(out.Data[a.Rows*b.Cols:], clone(b).Data)
	return out
}
