// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"slices"

	"lozenge/geometry/colour"
)

// AlikeInValue is two colours of different fabrics in one strip set that are about as
// light.
type AlikeInValue struct {
	Fabrics [2]string // keys, lowest strip first
	Names   [2]string // of the colours
	Apart   int       // thousandths of L
}

// sameValue is how far apart in L of CIELAB colours must be to be told apart
// from across the room: common practice, no source.
const sameValue = 10_000

// AlikeInValue returns the pairs of colours of different fabrics that are sewn
// together and whose lightness is within 10 of each other, each pair once, in
// the order of the strip sets.
func (p *Plan) AlikeInValue() (out []AlikeInValue) {
	coloured := map[string]bool{}
	for _, f := range p.Spec.Fabrics {
		coloured[f.Key] = len(f.Colours) > 0
	}
	ways, _ := p.Colourways()
	for _, w := range ways {
		names := p.ColourNames(w.StripSets[0])
		for j, upper := range p.Spec.Strips {
			for i, lower := range p.Spec.Strips[:j] {
				one := AlikeInValue{Fabrics: [2]string{lower.Fabric, upper.Fabric}, Names: [2]string{names[i], names[j]}}
				one.Apart = colour.LabOf(colour.RGB(w.Colours[i])).L - colour.LabOf(colour.RGB(w.Colours[j])).L
				one.Apart = max(one.Apart, -one.Apart)
				if lower.Fabric != upper.Fabric && coloured[lower.Fabric] && coloured[upper.Fabric] && one.Apart <= sameValue && !slices.ContainsFunc(out, one.same) {
					out = append(out, one)
				}
			}
		}
	}
	return out
}

// same reports whether two pairs are one, whichever colour lies lower.
func (a AlikeInValue) same(b AlikeInValue) bool {
	turned := b
	slices.Reverse(turned.Fabrics[:])
	slices.Reverse(turned.Names[:])
	return a == b || a == turned
}
