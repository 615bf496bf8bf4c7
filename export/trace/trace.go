// SPDX-License-Identifier: Apache-2.0

// Package trace follows the path commands of a drawing through its
// transforms, for readers of files: curves come out as points so close that
// nobody can cut the difference, and no file makes it use memory without
// bound.
package trace

import (
	"errors"
	"math"

	"lozenge/geometry"
)

// Fine is how far, in inches, the straight pieces of a curve may lie off it.
const Fine = 1e-4

// Limits on what one file may come to.
const (
	MaxPoints = 1 << 21
	// maxReach is the largest coordinate in inches; a mile is beyond it.
	maxReach = 50_000
	maxSteps = 4096 // of one curve
)

// The reasons why a path can't be followed.
var (
	ErrTooMuch = errors.New("it draws more than two million points; that is no file to cut from")
	ErrTooFar  = errors.New("a point lies beyond all measure")
	ErrNoStart = errors.New("a path draws before it has moved to its start")
)

// Sub is one unbroken line or, when Closed, an outline whose first point is
// not repeated.
type Sub struct {
	Points []geometry.Point
	Closed bool
}

// Store keeps the points of many lines together: most have few.
type Store struct {
	used int
	rest []geometry.Point
}

// Keep copies points.
func (s *Store) Keep(points []geometry.Point) []geometry.Point {
	if len(points) > cap(s.rest)-len(s.rest) {
		s.rest = make([]geometry.Point, 0, max(len(points), 1<<12))
	}
	from := len(s.rest)
	s.rest = append(s.rest, points...)
	return s.rest[from:len(s.rest):len(s.rest)]
}

// Pen follows one path. Coordinates are given as in the file and kept in
// inches, through M. After the first error it does nothing.
type Pen struct {
	M     Matrix
	Store *Store
	Subs  []Sub

	now         []geometry.Point // of the line that is being drawn, in inches
	start, last geometry.Point   // as in the file
	open        bool             // there is a current point
	err         error
}

// Err returns the first error.
func (p *Pen) Err() error { return p.err }

// At returns the current point as in the file.
func (p *Pen) At() geometry.Point { return p.last }

// Reset begins another path, with its own matrix.
func (p *Pen) Reset(m Matrix) {
	p.M, p.Subs, p.now, p.open = m, p.Subs[:0], p.now[:0], false
	p.start, p.last = geometry.Point{}, geometry.Point{}
}

func (p *Pen) put(q geometry.Point) {
	if p.err != nil {
		return
	}
	if !(math.Abs(q.X) <= maxReach && math.Abs(q.Y) <= maxReach) {
		p.err = ErrTooFar
		return
	}
	if p.Store.used++; p.Store.used > MaxPoints {
		p.err = ErrTooMuch
		return
	}
	p.now = append(p.now, q)
}

// end puts the line that was being drawn away. A lone point is none.
func (p *Pen) end(closed bool) {
	points := p.now
	if closed {
		for len(points) > 1 && points[0] == points[len(points)-1] {
			points = points[:len(points)-1]
		}
	}
	if len(points) > 1 && p.err == nil {
		p.Subs = append(p.Subs, Sub{p.Store.Keep(points), closed})
	}
	p.now = p.now[:0]
}

// Done ends the path and returns what it drew, valid until Reset.
func (p *Pen) Done() ([]Sub, error) {
	p.end(false)
	p.open = false
	return p.Subs, p.err
}

// Begun reports whether a path has begun and is not done.
func (p *Pen) Begun() bool { return p.open }

// Move begins a new line.
func (p *Pen) Move(q geometry.Point) {
	p.end(false)
	p.start, p.last, p.open = q, q, true
	p.put(p.M.Apply(q))
}

// ready reports whether there is a point to go on from; after a Close it is
// the start of what was closed.
func (p *Pen) ready() bool {
	switch {
	case p.err != nil:
		return false
	case !p.open:
		p.err = ErrNoStart
		return false
	case len(p.now) == 0:
		p.put(p.M.Apply(p.last))
	}
	return p.err == nil
}

// Line draws a straight line.
func (p *Pen) Line(q geometry.Point) {
	if p.ready() {
		p.put(p.M.Apply(q))
		p.last = q
	}
}

// Close goes back to the start of the line and makes it an outline.
func (p *Pen) Close() {
	if p.ready() {
		p.end(true)
		p.last = p.start
	}
}

// steps returns how many straight pieces keep a curve within Fine: for
// degree n, sqrt(n(n-1)/8 D/tolerance), D being the largest second difference
// of its control points (Wang's formula).
func steps(weight, second float64) int {
	n := math.Ceil(math.Sqrt(weight * second / Fine))
	if !(n < maxSteps) {
		return maxSteps
	}
	return max(int(n), 1)
}

// Cubic draws a Bézier curve with two control points.
func (p *Pen) Cubic(c1, c2, q geometry.Point) {
	if !p.ready() {
		return
	}
	a, b, c, d := p.M.Apply(p.last), p.M.Apply(c1), p.M.Apply(c2), p.M.Apply(q)
	second := max(a.Sub(b).Add(c.Sub(b)).Len(), b.Sub(c).Add(d.Sub(c)).Len())
	n := steps(0.75, second)
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		p.put(a.Mul(u * u * u).Add(b.Mul(3 * u * u * t)).Add(c.Mul(3 * u * t * t)).Add(d.Mul(t * t * t)))
	}
	p.put(d)
	p.last = q
}

// Quad draws a Bézier curve with one control point.
func (p *Pen) Quad(c1, q geometry.Point) {
	two := func(end geometry.Point) geometry.Point { return end.Add(c1.Sub(end).Mul(2. / 3)) }
	p.Cubic(two(p.last), two(q), q)
}

// Ellipse draws the part of an ellipse that begins at angle from, in radians,
// and goes on for sweep; the line goes to its beginning first. rx and ry are
// along its axes, which are turned by turn.
func (p *Pen) Ellipse(centre geometry.Point, rx, ry float64, turn geometry.Angle, from, sweep float64) {
	if p.err != nil {
		return
	}
	sin, cos := turn.SinCos()
	on := func(a float64) geometry.Point {
		s, c := math.Sincos(a)
		x, y := rx*c, ry*s
		return geometry.Point{
			X: centre.X + float64(x*cos) - float64(y*sin),
			Y: centre.Y + float64(x*sin) + float64(y*cos),
		}
	}
	// The largest second derivative is at most the larger radius.
	reach := max(math.Abs(rx), math.Abs(ry)) * p.M.Stretch()
	n := steps(0.125, reach*sweep*sweep)
	if p.open {
		p.Line(on(from))
	} else {
		p.Move(on(from))
	}
	for i := 1; i <= n; i++ {
		p.Line(on(from + sweep*float64(i)/float64(n)))
	}
}

// Arc draws an elliptical arc to q as SVG defines it (SVG 1.1, F.6.5 and
// F.6.6: radii too small are scaled up, a radius of 0 is a straight line).
func (p *Pen) Arc(rx, ry float64, turn geometry.Angle, large, sweep bool, q geometry.Point) {
	if !p.ready() || p.last == q {
		return
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 {
		p.Line(q)
		return
	}
	sin, cos := turn.SinCos()
	half := p.last.Sub(q).Mul(0.5)
	x := float64(cos*half.X) + float64(sin*half.Y)
	y := float64(cos*half.Y) - float64(sin*half.X)
	grow := float64(x/rx*x/rx) + float64(y/ry*y/ry)
	if grow > 1 {
		rx, ry = rx*math.Sqrt(grow), ry*math.Sqrt(grow)
		grow = 1
	}
	k := math.Sqrt(max(1-grow, 0) / grow)
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	mid := p.last.Add(q).Mul(0.5)
	centre := geometry.Point{
		X: mid.X + float64(cos*cx) - float64(sin*cy),
		Y: mid.Y + float64(sin*cx) + float64(cos*cy),
	}
	from := math.Atan2((y-cy)/ry, (x-cx)/rx)
	span := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - from
	switch {
	case sweep && span < 0:
		span += 2 * math.Pi
	case !sweep && span > 0:
		span -= 2 * math.Pi
	}
	if math.IsNaN(from + span) {
		p.err = ErrTooFar
		return
	}
	before := len(p.now)
	p.Ellipse(centre, rx, ry, turn, from, span)
	if p.err != nil {
		return
	}
	// It begins where the line stands and ends exactly at q.
	p.now = append(p.now[:before], p.now[before+1:]...)
	p.now[len(p.now)-1] = p.M.Apply(q)
	p.last = q
}
