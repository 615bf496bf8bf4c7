// SPDX-License-Identifier: Apache-2.0

package trace

import (
	"math"

	"lozenge/geometry"
)

// Clip is an area outside of which nothing is drawn, within another one or none.
// A nil Clip is the whole plane.
type Clip struct {
	areas  []geometry.Polygon // what lies in any of them is inside, or in an odd number
	odd    bool
	within *Clip
	work   *int
	edges  int
	box    geometry.Rect
}

// Area returns the inside of outlines by itself.
func Area(subs []Sub, odd bool) *Clip {
	c := &Clip{odd: odd, box: geometry.EmptyRect()}
	for _, s := range subs {
		if len(s.Points) == 0 {
			continue
		}
		c.areas = append(c.areas, s.Points)
		c.edges += len(s.Points)
		c.box = c.box.Grow(s.Points...)
	}
	return c
}

// Box returns the box round the area.
func (c *Clip) Box() geometry.Rect { return c.box }

// Edges returns how many edges the area has.
func (c *Clip) Edges() int { return c.edges }

// Deep reports whether a point lies inside, and farther than so far from the
// edge.
func (c *Clip) Deep(p geometry.Point, far float64) bool {
	return c.holds(p) && !c.near(p, far)
}

// Within returns the clip that leaves only what lies inside outlines as well.
// work counts what it takes to look at lines, over the whole file.
func (c *Clip) Within(subs []Sub, odd bool, work *int) *Clip {
	in := Area(subs, odd)
	in.within, in.work = c, work
	return in
}

const (
	// onEdge is how far outside a line may run, in inches: along the edge, half
	// its width is there.
	onEdge = 0.001
	// mostWork is how many pairs of a line and an edge are looked at in a file.
	mostWork = 1 << 28
)

// Keeps reports whether all of a line is drawn. Where that would take too long to
// find out, it is not known, and so is false.
func (c *Clip) Keeps(line []geometry.Point, closed bool) bool {
	for ; c != nil; c = c.within {
		if !c.keeps(line, closed) {
			return false
		}
	}
	return true
}

func (c *Clip) keeps(line []geometry.Point, closed bool) bool {
	if *c.work += (c.edges + 1) * (len(line) + 1); *c.work > mostWork {
		return false
	}
	n := len(line)
	for i, p := range line {
		if !c.inside(p) {
			return false
		}
		if i == n-1 && !closed {
			break
		}
		if q := line[(i+1)%n]; c.crosses(p, q) {
			return false
		}
	}
	return true
}

// inside reports whether a point lies in the clip or on its edge.
func (c *Clip) inside(p geometry.Point) bool {
	return c.holds(p) || c.near(p, onEdge)
}

// holds reports whether a point lies inside, by how often the outlines wind
// round it.
func (c *Clip) holds(p geometry.Point) bool {
	if p.X < c.box.Min.X || p.X > c.box.Max.X || p.Y < c.box.Min.Y || p.Y > c.box.Max.Y {
		return false
	}
	turns := 0
	for _, g := range c.areas {
		a := g[len(g)-1]
		for _, b := range g {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*((p.Y-a.Y)/(b.Y-a.Y)) {
				if b.Y > a.Y {
					turns++
				} else {
					turns--
				}
			}
			a = b
		}
	}
	return turns != 0 && (!c.odd || turns%2 != 0)
}

// near reports whether a point lies within so far of the edge.
func (c *Clip) near(p geometry.Point, far float64) bool {
	for _, g := range c.areas {
		a := g[len(g)-1]
		for _, b := range g {
			// Most edges are far off, by their boxes already.
			if min(a.X, b.X)-far <= p.X && p.X <= max(a.X, b.X)+far &&
				min(a.Y, b.Y)-far <= p.Y && p.Y <= max(a.Y, b.Y)+far && Off(p, a, b) <= far {
				return true
			}
			a = b
		}
	}
	return false
}

// crosses reports whether a line goes through an edge of the clip.
func (c *Clip) crosses(p, q geometry.Point) bool {
	d := q.Sub(p)
	for _, g := range c.areas {
		for i, a := range g {
			b := g[(i+1)%len(g)]
			e := b.Sub(a)
			cross := d.Cross(e)
			if math.Abs(cross) < 1e-12 {
				continue // along it
			}
			s, t := a.Sub(p).Cross(e)/cross, a.Sub(p).Cross(d)/cross
			at := p.Add(d.Mul(s))
			if s > 0 && s < 1 && t > 0 && t < 1 && at.Sub(p).Len() > onEdge && at.Sub(q).Len() > onEdge && math.Min(at.Sub(a).Len(), at.Sub(b).Len()) > onEdge {
				return true
			}
		}
	}
	return false
}

// Off returns how far a point lies from the line between two others.
func Off(p, a, b geometry.Point) float64 {
	along, d := 0.0, b.Sub(a)
	if l := d.Dot(d); l > 0 {
		along = min(max(p.Sub(a).Dot(d)/l, 0), 1)
	}
	return p.Sub(a.Add(d.Mul(along))).Len()
}
