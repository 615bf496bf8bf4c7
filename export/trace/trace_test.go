// SPDX-License-Identifier: Apache-2.0

package trace_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/trace"
	"lozenge/geometry"
)

func coordinate(t *rapid.T, name string) float64 { return rapid.Float64Range(-20, 20).Draw(t, name) }

func point(t *rapid.T, name string) geometry.Point {
	return geometry.Point{X: coordinate(t, name+" x"), Y: coordinate(t, name+" y")}
}

// distance from a point to a line of points.
func distance(p geometry.Point, line []geometry.Point) float64 {
	least := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, d := line[i-1], line[i].Sub(line[i-1])
		t := 0.0
		if l := d.Dot(d); l > 0 {
			t = min(max(p.Sub(a).Dot(d)/l, 0), 1)
		}
		least = min(least, p.Sub(a.Add(d.Mul(t))).Len())
	}
	return least
}

// Every point of a Bézier curve, by the definition of Bernstein, lies within
// Fine of the straight pieces, whatever the matrix.
func TestCurvesStayFine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c, d := point(t, "a"), point(t, "b"), point(t, "c"), point(t, "d")
		m := trace.Rotate(geometry.Angle(rapid.Float64Range(0, 360).Draw(t, "turn"))).After(trace.Scale(rapid.Float64Range(.1, 2).Draw(t, "sx"), rapid.Float64Range(-2, -.1).Draw(t, "sy")))
		pen := trace.Pen{M: m, Store: &trace.Store{}}
		pen.Move(a)
		pen.Cubic(b, c, d)
		subs, err := pen.Done()
		if err != nil {
			t.Fatal(err)
		}
		for i := range 101 {
			s := float64(i) / 100
			u := 1 - s
			p := a.Mul(u * u * u).Add(b.Mul(3 * u * u * s)).Add(c.Mul(3 * u * s * s)).Add(d.Mul(s * s * s))
			if off := distance(m.Apply(p), subs[0].Points); off > 1.01*trace.Fine {
				t.Fatalf("at %v it is off by %v, %d points", s, off, len(subs[0].Points))
			}
		}
	})
}

// An arc begins and ends where it should, and every point of it lies on the
// ellipse: as far from one focus as from the other, together 2a.
func TestArcsLieOnTheirEllipse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := point(t, "from"), point(t, "to")
		rx, ry := rapid.Float64Range(.5, 30).Draw(t, "rx"), rapid.Float64Range(.5, 30).Draw(t, "ry")
		turn := geometry.Angle(rapid.Float64Range(-180, 180).Draw(t, "turn"))
		large, sweep := rapid.Bool().Draw(t, "large"), rapid.Bool().Draw(t, "sweep")
		if from.Sub(to).Len() < 0.01 {
			t.Skip("no arc")
		}
		pen := trace.Pen{M: trace.Identity(), Store: &trace.Store{}}
		pen.Move(from)
		pen.Arc(rx, ry, turn, large, sweep, to)
		subs, err := pen.Done()
		if err != nil {
			t.Fatal(err)
		}
		g := subs[0].Points
		if g[0] != from || g[len(g)-1] != to {
			t.Fatalf("from %v to %v, want %v to %v", g[0], g[len(g)-1], from, to)
		}
		// In coordinates in which the ellipse is a circle of radius 1 (or
		// larger, where it had to grow), all points lie as far from the
		// middle of that circle: the circle through three of them.
		sin, cos := turn.SinCos()
		round := make([]geometry.Point, len(g))
		for i, p := range g {
			round[i] = geometry.Point{X: (cos*p.X + sin*p.Y) / rx, Y: (cos*p.Y - sin*p.X) / ry}
		}
		if len(round) < 8 {
			t.Skip("too short")
		}
		a, b, c := round[0], round[len(round)/2], round[len(round)-1]
		ab, ac := b.Sub(a), c.Sub(a)
		k := 2 * ab.Cross(ac)
		if math.Abs(k) < 1e-3 {
			t.Skip("too flat")
		}
		mid := a.Add(geometry.Point{
			X: (ac.Y*ab.Dot(ab) - ab.Y*ac.Dot(ac)) / k,
			Y: (ab.X*ac.Dot(ac) - ac.X*ab.Dot(ab)) / k,
		})
		r := a.Sub(mid).Len()
		for i, p := range round {
			if math.Abs(p.Sub(mid).Len()-r) > 1e-6*r {
				t.Fatalf("point %d lies at %v, not %v", i, p.Sub(mid).Len(), r)
			}
		}
		if r < 1-1e-6 {
			t.Fatalf("the radius shrank to %v", r)
		}
		// sweep: angles grow; large: more than half the way round.
		if turned := ab.Cross(ac) > 0; turned != sweep {
			t.Fatalf("it turns the other way")
		}
		if chord := c.Sub(a).Len(); r > 1+1e-6 && math.Abs(chord-2*r) > 1e-6*r {
			t.Fatalf("a radius that was too small grew to %v for a chord of %v", r, chord)
		}
		if r <= 1+1e-6 {
			beyond := mid.Sub(a).Cross(ac) > 0
			if sweep == large != beyond && math.Abs(mid.Sub(a).Cross(ac)) > 1e-6 {
				t.Fatalf("large %v, sweep %v: the middle lies on the wrong side", large, sweep)
			}
		}
	})
}

func TestMatrices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (m trace.Matrix) {
			for i := range m {
				m[i] = coordinate(t, name)
			}
			return m
		}
		a, b, p := draw("a"), draw("b"), point(t, "p")
		if d := a.After(b).Apply(p).Sub(a.Apply(b.Apply(p))).Len(); d > 1e-9 {
			t.Fatalf("off by %v", d)
		}
		if d := a.After(b).Det() - a.Det()*b.Det(); math.Abs(d) > 1e-6 {
			t.Fatalf("determinants: off by %v", d)
		}
	})
}

func TestLimits(t *testing.T) {
	pen := trace.Pen{M: trace.Identity(), Store: &trace.Store{}}
	pen.Line(geometry.Point{X: 1})
	if !errors.Is(pen.Err(), trace.ErrNoStart) {
		t.Error(pen.Err())
	}
	pen = trace.Pen{M: trace.Identity(), Store: &trace.Store{}}
	pen.Move(geometry.Point{X: math.NaN()})
	if !errors.Is(pen.Err(), trace.ErrTooFar) {
		t.Error(pen.Err())
	}
	pen = trace.Pen{M: trace.Identity(), Store: &trace.Store{}}
	for i := range trace.MaxPoints + 1 {
		pen.Move(geometry.Point{X: float64(i & 7)})
	}
	if !errors.Is(pen.Err(), trace.ErrTooMuch) {
		t.Error(pen.Err())
	}
}
