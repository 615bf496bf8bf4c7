// SPDX-License-Identifier: Apache-2.0

package quilt

import "slices"

// Renamed returns the plan under the names of s, which is its Spec otherwise, and with
// its scraps called as scrap calls them by their names and colours. What the notes say
// stays as it is.
func (p *Plan) Renamed(s Spec, scrap func(name string, c Colour) string) *Plan {
	out := *p
	out.Spec = s
	out.Cloth = slices.Clone(p.Cloth)
	for i, c := range out.Cloth {
		out.Cloth[i].Fabric = s.fabric(c.Key)
	}
	out.Cutting = slices.Clone(p.Cutting)
	for i, w := range out.Cutting {
		if w.Name != "" {
			out.Cutting[i].Name = scrap(w.Name, w.Colour)
		}
	}
	out.sewn = slices.Clone(p.sewn)
	for k, one := range out.sewn {
		names := slices.Clone(one.Names)
		for i, name := range names {
			if name != "" && i < len(one.Colours) {
				names[i] = scrap(name, one.Colours[i])
			}
		}
		out.sewn[k].Names = names
	}
	return &out
}
