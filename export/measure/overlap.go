// SPDX-License-Identifier: Apache-2.0

package measure

import (
	"cmp"
	"math"
	"slices"

	"lozenge/geometry"
)

const (
	// shared is how long a stretch must be, in inches, that two lines share.
	shared = 0.01
	// maxSegments and maxCompared bound the search; the numbers are beyond
	// any file to cut from.
	maxSegments = 1 << 20
	maxCompared = 1 << 21
	// along is how far apart, in inches, two lines may lie that run along
	// each other.
	along = 0.0002
)

// Two lines that run along each other have the same direction and the same
// distance from the middle of the drawing, so they are sorted into classes by
// both, and within a class by where they begin: then a line need only be
// compared with those that begin before it ends.
const (
	directions = 1 << 13 // classes of a half turn
	perInch    = 1 << 13 // steps of distance
	window     = 4       // steps that distances may differ by; twice along
	step       = math.Pi / directions
)

// overlaps counts the pairs of straight cut lines that run along each other:
// a blade would cut there twice (rtitmuss/torn#7, scottbez1/splitflap#19). ok
// is false when there were too many to compare all.
func overlaps(segments []geometry.Segment) (pairs int, ok bool) {
	if len(segments) > maxSegments {
		return 0, false
	}
	box := geometry.EmptyRect()
	for _, s := range segments {
		box = box.Grow(s.A, s.B)
	}
	c := &comparison{segments: segments, middle: box.Centre()}
	var seen [2 * directions]bool // halves of classes of direction that hold a line
	list := make([]entry, 0, len(segments))
	for i, s := range segments {
		if l, ok := c.sort(s, 0); ok {
			seen[l.half] = true
			list = append(list, l.entry(i))
		}
	}
	c.sweep(list, false)
	// Two that are alike may fall on two sides of a border between classes
	// of direction. Borders lie elsewhere the second time, for those lines
	// that may have been parted.
	list = list[:0]
	for i, s := range segments {
		if c.full {
			break
		}
		first, ok := c.sort(s, 0)
		if !ok {
			continue
		}
		if other := (first.half + 2*directions - 1 + first.half%2*2) % (2 * directions); seen[other] {
			l, _ := c.sort(s, step/2)
			list = append(list, l.entry(i))
		}
	}
	c.sweep(list, true)
	return c.pairs, !c.full
}

// comparison counts pairs.
type comparison struct {
	segments        []geometry.Segment
	middle          geometry.Point
	pairs, compared int
	full            bool // no more is to be compared
}

// sorted is where a line belongs.
type sorted struct {
	half     int // of a class of direction; twice its number, or one more
	distance uint32
	from, to float64 // along its direction
}

// sort tells where a line belongs when directions are counted from -shift;
// ok is false when it is too short to share anything.
func (c *comparison) sort(s geometry.Segment, shift float64) (l sorted, ok bool) {
	d := s.B.Sub(s.A)
	long := math.Sqrt(d.Dot(d))
	if !(long >= shared && long <= math.MaxFloat64) {
		return l, false
	}
	turn := math.Atan2(d.Y, d.X) + shift
	if turn < 0 {
		turn, d = turn+math.Pi, d.Mul(-1)
	}
	if turn >= math.Pi {
		turn, d = turn-math.Pi, d.Mul(-1)
	}
	d = d.Mul(1 / long)
	l.half = min(int(turn*(2/step)), 2*directions-1)
	a, b := s.A.Sub(c.middle), s.B.Sub(c.middle)
	l.distance = uint32(min(max(d.Cross(a)*perInch+(1<<29), 0), 1<<30-9))
	l.from, l.to = d.Dot(a), d.Dot(b)
	if l.from > l.to {
		l.from, l.to = l.to, l.from
	}
	return l, true
}

// entry is a line in a list that is sorted by class and beginning.
type entry struct {
	class    uint64 // of direction and of distance
	from, to float64
	steps    int32 // the rest of its distance
	index    int32
}

func (l sorted) entry(i int) entry {
	class := uint64(l.half/2)<<27 | uint64(l.distance/(2*window))
	return entry{class, l.from, l.to, int32(l.distance % (2 * window)), int32(i)}
}

// sweep compares the lines of a list, those of the same class and those that
// the border between two distances parts. The second time pairs are passed
// over that were compared the first time.
func (c *comparison) sweep(list []entry, second bool) {
	slices.SortFunc(list, func(a, b entry) int { return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(a.from, b.from)) })
	var before, upper, lower []entry
	for len(list) > 0 && !c.full {
		n := 1
		for n < len(list) && list[n].class == list[0].class {
			n++
		}
		class := list[:n]
		list = list[n:]
		c.alike(class, second)
		if len(before) > 0 && before[0].class+1 == class[0].class {
			upper = keep(upper[:0], before, func(e entry) bool { return e.steps >= window })
			lower = keep(lower[:0], class, func(e entry) bool { return e.steps < window })
			c.across(upper, lower, second)
		}
		before = class
	}
}

// keep appends those entries that pass.
func keep(to, list []entry, pass func(entry) bool) []entry {
	for _, e := range list {
		if pass(e) {
			to = append(to, e)
		}
	}
	return to
}

// alike compares the lines of one class, in the order of beginnings.
func (c *comparison) alike(class []entry, second bool) {
	for i, e := range class {
		for _, o := range class[i+1:] {
			if o.from > e.to || c.full {
				break
			}
			c.compare(e, o, o.steps-e.steps, second)
		}
	}
}

// across compares the lines of two lists, each in the order of beginnings.
func (c *comparison) across(upper, lower []entry, second bool) {
	for len(upper) > 0 && len(lower) > 0 && !c.full {
		e, others, sign := upper[0], lower, int32(1)
		if lower[0].from < e.from {
			e, others, sign = lower[0], upper, -1
			lower = lower[1:]
		} else {
			upper = upper[1:]
		}
		for _, o := range others {
			if o.from > e.to {
				break
			}
			c.compare(e, o, o.steps-e.steps+sign*2*window, second)
		}
	}
}

// compare counts a pair whose distances are that many steps apart, if it runs
// along each other.
func (c *comparison) compare(e, o entry, steps int32, second bool) {
	if c.compared++; c.compared > maxCompared {
		c.full = true
	}
	if c.full || max(steps, -steps) > window {
		return
	}
	s, t := &c.segments[e.index], &c.segments[o.index]
	if !alongside(*s, *t) {
		return
	}
	if second {
		a, _ := c.sort(*s, 0)
		b, _ := c.sort(*t, 0)
		if a.half/2 == b.half/2 && max(a.distance, b.distance)-min(a.distance, b.distance) <= window {
			return
		}
	}
	c.pairs++
}

// alongside reports whether two lines share a stretch. All numbers are times
// the length of the first.
func alongside(s, t geometry.Segment) bool {
	d := s.B.Sub(s.A)
	long := d.Dot(d)
	l := math.Sqrt(long)
	p, q := t.A.Sub(s.A), t.B.Sub(s.A)
	a, b := d.Dot(p), d.Dot(q)
	offA, offB := d.Cross(p), d.Cross(q)
	if a > b {
		a, b, offA, offB = b, a, offB, offA
	}
	from, to := max(a, 0), min(b, long)
	if to-from < shared*l {
		return false
	}
	// How far apart they are where the shared stretch begins and ends.
	slope := (offB - offA) / (b - a)
	return math.Abs(offA+slope*(from-a)) <= along*l && math.Abs(offA+slope*(to-a)) <= along*l
}
