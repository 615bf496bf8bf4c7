// SPDX-License-Identifier: Apache-2.0

package calibrate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/stat/distuv"
)

// pairStandsOut says so when two readings together stand out from all others
// though neither does alone: each hides behind what the other does to the map.
// The squares that go with two readings left out are those of the linear model
// at the fit (Cook and Weisberg, Residuals and Influence in Regression, 1982).
func (c *session) pairStandsOut() bool {
	obs := c.used(-1)
	n := len(obs)
	degrees := c.fit.degrees() - 4
	if !c.names() || degrees < 1 || c.fit.cov == nil {
		return false
	}
	left, rest := c.fit.residuals(obs)
	best, first, second := 0.0, 0, 0
	var block [16]float64
	var r [4]float64
	for i := range n {
		for j := i + 1; j < n; j++ {
			at := [4]int{2 * i, 2*i + 1, 2 * j, 2*j + 1}
			for a, k := range at {
				r[a] = left[k]
				for b, l := range at {
					block[4*a+b] = rest.Data[k*2*n+l]
				}
			}
			// What the others hardly fix says nothing about the two.
			t, ok := lapack64.Potrf(blas64.Symmetric{N: 4, Stride: 4, Data: block[:], Uplo: blas.Lower})
			least := min(block[0], block[5], block[10], block[15])
			if !ok || least*least < 1/(unknownGrowth*unknownGrowth*unknownGrowth) {
				continue
			}
			blas64.Trsv(blas.NoTrans, t, vector(r[:]))
			if t := blas64.Dot(vector(r[:]), vector(r[:])); t > best {
				best, first, second = t, i, j
			}
		}
	}
	believed := float64(c.belief())
	nu := believed + float64(degrees)
	f := best / 4 / ((believed*believedSigma*believedSigma + max(0, c.fit.rss+c.fit.nudged.rss-best)) / nu)
	pairs := float64(n*(n-1)) / 2
	if !(f > (distuv.F{D1: 4, D2: nu}).Quantile(1-alarmRate/pairs)) {
		return false
	}
	points := c.pointsInUse()
	two := []int{points[first], points[second]}
	slices.Sort(two)
	c.say(Inconsistent, Suspect, "inconsistent: %s stand out from all others together; read all crosses again, these first", Crosses(slices.Compact(two)))
	return true
}

// residuals returns what is left of the observations and, in the lower half, the
// matrix that makes that of what was off: 1 - J C J'.
func (f *fit) residuals(obs []observation) (left []float64, rest blas64.General) {
	n, p := 2*len(obs), f.params()
	rows, by := make([]row, n), make([]row, n)
	left, rest = make([]float64, n), square(n, n)
	for i, o := range obs {
		left[2*i], left[2*i+1] = f.equation(o, &rows[2*i], &rows[2*i+1])
	}
	for i := range rows { // C J'
		for k := range p {
			for l, v := range f.cov[k*p : k*p+p] {
				by[i][k] += v * rows[i][l]
			}
		}
	}
	for i := range rows {
		rest.Data[i*n+i] = 1
		for j := range i + 1 {
			for k := range p {
				rest.Data[i*n+j] -= rows[i][k] * by[j][k]
			}
		}
	}
	return left, rest
}

// pointsInUse returns the number of the target of each observation in use.
func (c *session) pointsInUse() (points []int) {
	for i := range c.obs {
		if !c.suspect[i] {
			points = append(points, c.targets[c.of[i]].Point)
		}
	}
	return points
}

// mostOff returns the two targets whose readings are most off.
func (c *session) mostOff() []int {
	var far []float64
	for _, o := range c.used(-1) {
		var jx, jy row
		far = append(far, math.Hypot(c.fit.equation(o, &jx, &jy)))
	}
	points := c.pointsInUse()
	order := make([]int, len(far))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(far[b], far[a]) })
	two := []int{points[order[0]]}
	for _, i := range order {
		if points[i] != two[0] {
			two = append(two, points[i])
			break
		}
	}
	slices.Sort(two)
	return two
}

// loneLead is by how much leaving out one target must be better than leaving
// out any other.
const loneLead = 0.5

// findLone is for a set that no map fits, or that folds the picture over or
// turns it, though no cross was moved: it is solved again without each target. If it fits without one and
// with no other left out, that target's readings are to blame.
func (c *session) findLone() bool {
	if len(c.nudges) > 0 || !c.names() || c.allowed() < 1 {
		return false
	}
	before, kept := c.solution, slices.Clone(c.suspect)
	leave := func(t int) {
		copy(c.suspect, kept)
		for i, of := range c.of {
			if of == t {
				c.suspect[i] = true
			}
		}
	}
	best, first, second := -1, math.Inf(1), math.Inf(1)
	for t := range c.targets {
		leave(t)
		off := math.Inf(1)
		if c.solve() && !c.fails() {
			off = c.fit.rms()
		}
		if off < first {
			best, first, second = t, off, first
		} else if off < second {
			second = off
		}
	}
	if best >= 0 && first < loneLead*second {
		leave(best)
		if c.solve() && c.fit.rss/(looseSigma*looseSigma) <= (distuv.ChiSquared{K: float64(max(1, c.fit.degrees()))}).Quantile(fewTargetsChance) {
			if _, alarm := c.leaveEachOut(); !alarm {
				return true
			}
		}
	}
	copy(c.suspect, kept)
	c.solution = before
	return false
}

// fails reports whether the fit is of no use, whatever the readings' errors.
func (c *session) fails() bool {
	targets, read, _ := c.read()
	_, turned := turnedOver(c.screen, targets, read)
	return turned || c.fit.folds(c.screen) || !c.fit.lens.shows()
}
