// SPDX-License-Identifier: Apache-2.0

package measure

import (
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
	maxCompared = 1 << 22
	// along is how far apart, in inches, two lines may lie that run along
	// each other.
	along = 0.0002
)

// overlaps counts the pairs of straight cut lines that run along each other:
// a blade would cut there twice (rtitmuss/torn#7, scottbez1/splitflap#19). ok
// is false when there were too many to compare all.
func overlaps(segments []geometry.Segment) (pairs int, ok bool) {
	if len(segments) > maxSegments {
		return 0, false
	}
	compared := 0
	// Lines are sorted by direction and by their distance from the middle of
	// the drawing. Two that are alike may fall on two sides of a border
	// between directions; the second time borders lie elsewhere.
	box := geometry.EmptyRect()
	for _, s := range segments {
		box = box.Grow(s.A, s.B)
	}
	mid := box.Min.Add(box.Max).Mul(0.5)
	const directions = 1 << 13
	const perInch = 1 << 13 // steps of distance
	const step = math.Pi / directions
	const window = 4 // steps; twice along
	// first holds what each line was sorted by the first time.
	first := make([]uint64, len(segments))
	keys := make([]uint64, 0, len(segments))
	for pass, shift := range [...]float64{0, step / 2} {
		keys = keys[:0]
		for i, s := range segments {
			d := s.B.Sub(s.A)
			l := d.Len()
			if l < shared {
				continue
			}
			a := math.Atan2(d.Y, d.X) + shift
			if a < 0 {
				a, d = a+math.Pi, d.Mul(-1)
			}
			if a >= math.Pi {
				a, d = a-math.Pi, d.Mul(-1)
			}
			off := d.Cross(s.A.Sub(mid)) / l
			distance := uint64(min(max(off*perInch+(1<<29), 0), 1<<30-1))
			key := uint64(min(a/step, directions-1))<<30 | distance
			if pass == 0 {
				first[i] = key
			}
			keys = append(keys, key<<20|uint64(i))
		}
		slices.Sort(keys)
		for k, key := range keys {
			i := int32(key & (1<<20 - 1))
			for _, other := range keys[k+1:] {
				if other>>20-key>>20 > window {
					break
				}
				if compared++; compared > maxCompared {
					return pairs, false
				}
				j := int32(other & (1<<20 - 1))
				if pass == 1 && max(first[i], first[j])-min(first[i], first[j]) <= window {
					continue // compared the first time
				}
				if alongside(segments[i], segments[j]) {
					pairs++
				}
			}
		}
	}
	return pairs, true
}

// alongside reports whether two lines share a stretch.
func alongside(s, t geometry.Segment) bool {
	d := s.B.Sub(s.A)
	l := d.Len()
	d = d.Mul(1 / l)
	a, b := d.Dot(t.A.Sub(s.A)), d.Dot(t.B.Sub(s.A))
	offA, offB := d.Cross(t.A.Sub(s.A)), d.Cross(t.B.Sub(s.A))
	if a > b {
		a, b, offA, offB = b, a, offB, offA
	}
	from, to := max(a, 0), min(b, l)
	if to-from < shared {
		return false
	}
	// How far apart they are where the shared stretch begins and ends.
	slope := (offB - offA) / (b - a)
	return math.Abs(offA+slope*(from-a)) <= along && math.Abs(offA+slope*(to-a)) <= along
}
