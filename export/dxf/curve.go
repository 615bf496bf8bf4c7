// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"errors"
	"math"

	"lozenge/export/trace"
	"lozenge/geometry"
)

// Curves become points so close that nobody can cut the difference: an arc has
// one for every 1/256 of a turn, and its middle is always one.
const (
	perTurn  = 256
	perArc   = 8  // at least
	perSpan  = 32 // of a spline, between two knots
	mostKnot = 1 << 12
)

// keeper keeps the points of a file, and counts those of curves, which are more
// than the file says.
type keeper struct {
	trace.Store
	curved int
}

var errBeyond = errors.New("a curve goes beyond all numbers")

// put appends the points of a curve from one number to another.
func (c *keeper) put(to []geometry.Point, from, n int, on func(i int) geometry.Point) ([]geometry.Point, error) {
	if c.curved += n; c.curved > trace.MaxPoints {
		return nil, trace.ErrTooMuch
	}
	for i := from; i <= n; i++ {
		p := on(i)
		if sum := p.X + p.Y; math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, errBeyond
		}
		to = append(to, p)
	}
	return to, nil
}

// around returns the angle that an arc goes on for: the whole turn where it ends
// as it begins.
func around(sweep float64) float64 {
	const turn = 2 * math.Pi
	if sweep = math.Mod(math.Mod(sweep, turn)+turn, turn); sweep < 1e-12 || sweep > turn-1e-12 {
		return turn
	}
	return sweep
}

// steps returns into how many straight lines an arc of an angle is taken apart.
func steps(sweep float64) int {
	return max(perArc, 2*int(math.Ceil(math.Abs(sweep)/(2*math.Pi)*perTurn/2)))
}

// bulges returns the points of a polyline with those of its arcs; bulge[i], the
// tangent of a quarter of the angle, is that of the side from point i on.
func (c *keeper) bulges(points []geometry.Point, bulge []float64, closed bool) (out []geometry.Point, err error) {
	n := len(points)
	for i, a := range points {
		out = append(out, a)
		b := points[(i+1)%n]
		if i >= len(bulge) || bulge[i] == 0 || a == b || i == n-1 && !closed {
			continue
		}
		quarter := math.Atan(bulge[i]) // positive runs counter-clockwise, right of the chord
		chord := b.Sub(a)
		mid := a.Add(chord.Mul(0.5))
		away := chord.Len() / 2 / math.Tan(2*quarter)
		centre := mid.Add(geometry.Point{X: -chord.Y, Y: chord.X}.Mul(away / chord.Len()))
		n := steps(4 * quarter)
		from := a.Sub(centre)
		out, err = c.put(out, 1, n-1, func(k int) geometry.Point {
			sin, cos := math.Sincos(4 * quarter * float64(k) / float64(n))
			return centre.Add(geometry.Point{X: float64(cos*from.X) - float64(sin*from.Y), Y: float64(sin*from.X) + float64(cos*from.Y)})
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// ellipse returns the points of an ellipse round a centre, the axes being two
// vectors, from one parameter on; a whole turn is closed.
func (c *keeper) ellipse(centre, major, minor geometry.Point, from, sweep float64) (out []geometry.Point, closed bool, err error) {
	closed = math.Abs(sweep) > 2*math.Pi-1e-9
	n := steps(sweep)
	last := n
	if closed {
		last--
	}
	out, err = c.put(nil, 0, last, func(k int) geometry.Point {
		sin, cos := math.Sincos(from + sweep*float64(k)/float64(n))
		return centre.Add(major.Mul(cos)).Add(minor.Mul(sin))
	})
	return out, closed, err
}

// spline is a B-spline as the file says it: knots, one degree and one more for
// each end beyond the control points, and weights, all 1 where there are none.
type spline struct {
	degree  int
	knots   []float64
	weights []float64
	control []geometry.Point
}

// points returns those of the spline (de Boor's method).
func (s *spline) points(c *keeper) (out []geometry.Point, ok bool, err error) {
	p, n := s.degree, len(s.control)
	if p < 1 || p > 11 || n <= p || n > mostKnot || len(s.knots) != n+p+1 || len(s.weights) != 0 && len(s.weights) != n {
		return nil, false, nil
	}
	for i := 1; i < len(s.knots); i++ {
		if s.knots[i] < s.knots[i-1] {
			return nil, false, nil
		}
	}
	for span := p; span < n; span++ {
		a, b := s.knots[span], s.knots[span+1]
		if a == b {
			continue
		}
		from := 1
		if len(out) == 0 {
			from = 0
		}
		out, err = c.put(out, from, perSpan, func(k int) geometry.Point {
			return s.at(span, a+(b-a)*float64(k)/perSpan)
		})
		if err != nil {
			return nil, false, err
		}
	}
	return out, len(out) > 1, nil
}

func (s *spline) at(span int, t float64) geometry.Point {
	p := s.degree
	var x, y, w [12]float64
	for j := 0; j <= p; j++ {
		i := span - p + j
		w[j] = 1
		if len(s.weights) > 0 {
			w[j] = s.weights[i]
		}
		x[j], y[j] = s.control[i].X*w[j], s.control[i].Y*w[j]
	}
	for r := 1; r <= p; r++ {
		for j := p; j >= r; j-- {
			i := span - p + j
			a := (t - s.knots[i]) / (s.knots[i+p-r+1] - s.knots[i])
			x[j] = (1-a)*x[j-1] + a*x[j]
			y[j] = (1-a)*y[j-1] + a*y[j]
			w[j] = (1-a)*w[j-1] + a*w[j]
		}
	}
	return geometry.Point{X: x[p] / w[p], Y: y[p] / w[p]}
}
