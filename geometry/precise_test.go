// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"lozenge/geometry"
)

// The outlines once more, from their definition instead of the formulas for
// their vertices, in 200-bit arithmetic: a piece is what lies within a seam
// allowance of the finished sides, within the tip trims, and on the strip
// set. The half-planes are intersected one after another.

const bits = 200

func num(v float64) *big.Float                 { return new(big.Float).SetPrec(bits).SetFloat64(v) }
func add(a, b *big.Float) *big.Float           { return new(big.Float).SetPrec(bits).Add(a, b) }
func sub(a, b *big.Float) *big.Float           { return new(big.Float).SetPrec(bits).Sub(a, b) }
func mul(a, b *big.Float) *big.Float           { return new(big.Float).SetPrec(bits).Mul(a, b) }
func quo(a, b *big.Float) *big.Float           { return new(big.Float).SetPrec(bits).Quo(a, b) }
func dot(ax, ay, bx, by *big.Float) *big.Float { return add(mul(ax, bx), mul(ay, by)) }

// pi by Machin's formula of 1706: 16 arctan(1/5) - 4 arctan(1/239).
func pi() *big.Float {
	arctan := func(n float64) *big.Float {
		x := quo(num(1), num(n))
		sum, power := num(0), x
		for k := 1.0; k < 2*bits; k += 2 {
			term := quo(power, num(k))
			if int(k)%4 == 1 {
				sum = add(sum, term)
			} else {
				sum = sub(sum, term)
			}
			power = mul(power, mul(x, x))
		}
		return sum
	}
	return sub(mul(num(16), arctan(5)), mul(num(4), arctan(239)))
}

// sinCos sums the power series of e^(ix).
func sinCos(degrees *big.Float) (sin, cos *big.Float) {
	x := quo(mul(degrees, pi()), num(180))
	sin, cos = num(0), num(0)
	term := num(1)
	for k := 0; k < 120; k++ {
		t := term
		if k%4 >= 2 {
			t = sub(num(0), term)
		}
		if k%2 == 0 {
			cos = add(cos, t)
		} else {
			sin = add(sin, t)
		}
		term = quo(mul(term, x), num(float64(k+1)))
	}
	return sin, cos
}

type bigPoint struct{ x, y *big.Float }

// halfPlane holds the points p with p.(nx, ny) <= c.
type halfPlane struct{ nx, ny, c *big.Float }

func (h halfPlane) over(p bigPoint) *big.Float { return sub(dot(p.x, p.y, h.nx, h.ny), h.c) }

func intersect(planes []halfPlane) []bigPoint {
	huge := num(1e6)
	low := sub(num(0), huge)
	g := []bigPoint{{low, low}, {huge, low}, {huge, huge}, {low, huge}}
	for _, h := range planes {
		var out []bigPoint
		for i, p := range g {
			q := g[(i+1)%len(g)]
			dp, dq := h.over(p), h.over(q)
			if dp.Sign() <= 0 {
				out = append(out, p)
			}
			if dp.Sign()*dq.Sign() < 0 {
				k := quo(dp, sub(dp, dq))
				out = append(out, bigPoint{add(p.x, mul(k, sub(q.x, p.x))), add(p.y, mul(k, sub(q.y, p.y)))})
			}
		}
		g = out
	}
	return g
}

// definedOutline returns the outline of a right-leaning piece.
func definedOutline(c geometry.Cutting, shape geometry.Shape) []bigPoint {
	sin, cos := sinCos(num(float64(c.Angle)))
	a, w := num(c.Seam), num(c.Width)
	h := sub(w, mul(num(2), a))
	s := quo(h, sin)
	run := mul(s, cos)
	top := add(a, h)
	corners := []bigPoint{{num(0), a}, {s, a}, {add(s, run), top}, {run, top}}
	switch shape {
	case geometry.LowerTriangle:
		corners = []bigPoint{corners[0], corners[1], corners[3]}
	case geometry.UpperTriangle:
		corners = corners[1:]
	}
	// e = a tan(angle/2) = a (1 - cos)/sin.
	e := mul(a, quo(sub(num(1), cos), sin))
	unit := func(p, q bigPoint) (x, y *big.Float) {
		dx, dy := sub(q.x, p.x), sub(q.y, p.y)
		l := new(big.Float).SetPrec(bits).Sqrt(dot(dx, dy, dx, dy))
		return quo(dx, l), quo(dy, l)
	}
	planes := []halfPlane{
		{num(0), num(-1), num(0)}, // y >= 0
		{num(0), num(1), w},       // y <= W
	}
	n := len(corners)
	for i, p := range corners {
		q, before := corners[(i+1)%n], corners[(i+n-1)%n]
		dx, dy := unit(p, q)
		nx, ny := dy, sub(num(0), dx)
		planes = append(planes, halfPlane{nx, ny, add(dot(p.x, p.y, nx, ny), a)})
		if c.Tips == geometry.Sharp {
			continue
		}
		// Square to the bisector of the corner, through the point of the raw
		// edge that lies e past it.
		bx, by := unit(before, p)
		// Corners whose raw edges run no farther than e, to 1e-9 of the seam
		// allowance, are left: a cot(phi/2) = a (1 - u.v) / (u x v).
		past := sub(mul(a, quo(sub(num(1), dot(bx, by, dx, dy)), sub(mul(bx, dy), mul(by, dx)))), e)
		if past.Cmp(mul(a, num(1e-9))) <= 0 {
			continue
		}
		ox, oy := sub(bx, dx), sub(by, dy) // outward along the bisector
		px := sub(add(p.x, mul(a, nx)), mul(e, dx))
		py := sub(add(p.y, mul(a, ny)), mul(e, dy))
		planes = append(planes, halfPlane{ox, oy, dot(px, py, ox, oy)})
	}
	return intersect(planes)
}

func TestOutlinesFollowTheDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seam := rapid.Float64Range(0.05, 2).Draw(t, "seam")
		c := geometry.Cutting{
			Seam:  seam,
			Width: seam * rapid.Float64Range(2.05, 60).Draw(t, "width over seam"),
			Angle: geometry.Angle(rapid.OneOf(rapid.Float64Range(15, 90),
				rapid.SampledFrom([]float64{15, 30, 36, 45, 60, 60 + 1e-9, 72, 75, 80, 90 - 1e-9, 90})).Draw(t, "angle")),
			Tips: rapid.SampledFrom([]geometry.Tips{geometry.Matched, geometry.Sharp}).Draw(t, "tips"),
		}
		shape := rapid.SampledFrom(geometry.Shapes[:]).Draw(t, "shape")
		got := c.Piece(shape, geometry.Right).Outline
		want := definedOutline(c, shape)
		// Every vertex has its equal: corners that are only just cut may be
		// one vertex here and two there.
		for _, v := range got {
			if d := nearest(v, want); d > 1e-11 {
				t.Fatalf("vertex %v is %g from the nearest of the definition", v, d)
			}
		}
		for _, v := range want {
			x, _ := v.x.Float64()
			y, _ := v.y.Float64()
			d := math.Inf(1)
			for _, u := range got {
				d = min(d, u.Sub(geometry.Point{X: x, Y: y}).Len())
			}
			if d > 2e-9 { // an edge below the tolerance is left out
				t.Fatalf("vertex %v, %v of the definition is missing: nearest is %g away", x, y, d)
			}
		}
	})
}

func nearest(v geometry.Point, points []bigPoint) float64 {
	best := math.Inf(1)
	for _, p := range points {
		dx, _ := sub(num(v.X), p.x).Float64()
		dy, _ := sub(num(v.Y), p.y).Float64()
		best = min(best, math.Hypot(dx, dy))
	}
	return best
}

func TestSinCosAgainstTheSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		deg := rapid.Float64Range(-360, 360).Draw(t, "degrees")
		sin, cos := geometry.Angle(deg).SinCos()
		s, c := sinCos(num(deg))
		ds, _ := sub(num(sin), s).Float64()
		dc, _ := sub(num(cos), c).Float64()
		if math.Abs(ds) > 3e-16 || math.Abs(dc) > 3e-16 {
			t.Fatalf("sin is off by %g, cos by %g", ds, dc)
		}
	})
	for deg, want := range map[float64][2]float64{
		0: {0, 1}, 30: {0.5, math.Sqrt(3) / 2}, 60: {math.Sqrt(3) / 2, 0.5}, 90: {1, 0}, 180: {0, -1}, 270: {-1, 0}, -90: {-1, 0},
	} {
		sin, cos := geometry.Angle(deg).SinCos()
		if sin != want[0] || cos != want[1] {
			t.Errorf("%v degrees: sin %v, cos %v, want %v", deg, sin, cos, want)
		}
	}
}
