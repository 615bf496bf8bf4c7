// SPDX-License-Identifier: Apache-2.0

package scraps

import (
	"cmp"
	"slices"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Begin returns a quilt to begin with from scraps: its fabrics are those of the scraps,
// in their order, and its two strips are of the two of which most is there, each as
// wide as most of it is; both of the one fabric where there is no other.
func Begin(unit geometry.Unit, all []Scrap) quilt.Spec {
	s := quilt.Spec{Unit: unit}
	type width struct {
		fabric string
		wide   float64
	}
	long := map[width]float64{}
	area := map[string]float64{}
	for _, c := range all {
		if !slices.ContainsFunc(s.Fabrics, func(f quilt.Fabric) bool { return f.Key == c.Fabric }) {
			s.Fabrics = append(s.Fabrics, quilt.Fabric{Key: c.Fabric})
		}
		long[width{c.Fabric, c.Width}] += c.Length * float64(c.Count)
		area[c.Fabric] += c.Length * float64(c.Count) * c.Width
	}
	most := slices.Clone(s.Fabrics)
	slices.SortStableFunc(most, func(a, b quilt.Fabric) int { return cmp.Compare(area[b.Key], area[a.Key]) })
	most = most[:min(len(most), 2)]
	for _, f := range s.Fabrics {
		if !slices.ContainsFunc(most, func(m quilt.Fabric) bool { return m.Key == f.Key }) {
			continue
		}
		best := width{}
		for w, n := range long {
			if w.fabric == f.Key && (n > long[best] || n == long[best] && w.wide < best.wide) {
				best = w
			}
		}
		s.Strips = append(s.Strips, quilt.Strip{Cut: best.wide, Fabric: f.Key})
	}
	if len(s.Strips) == 1 {
		s.Strips = append(s.Strips, s.Strips[0])
	}
	return s
}
