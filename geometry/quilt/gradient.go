// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"

	"lozenge/geometry/colour"
)

// gradient returns the strip sets in the order in which their pieces are laid
// from the bottom up: on a shortest walk through their colours, in CIELAB,
// which begins at its darker end. All strips count, each by how much of it
// shows. Strip sets of the same colours stay in cutting order.
func (p *Plan) gradient() []int {
	ways, _ := p.Colourways()
	stops := make([][]colour.Lab, len(ways))
	for w, way := range ways {
		for _, c := range way.Colours {
			stops[w] = append(stops[w], colour.LabOf(colour.RGB(c)))
		}
	}
	var order []int
	for _, w := range colour.Walk(stops, p.shares()) {
		order = append(order, ways[w].StripSets...)
	}
	return order
}

// shares returns how much of a diamond each strip covers, lowest first, in
// thousandths, rounded.
func (p *Plan) shares() []int {
	sum := 0.0
	var out []int
	for _, st := range p.Spec.Strips {
		sum += st.Cut - float64(2*p.Spec.Seam)
	}
	for _, st := range p.Spec.Strips {
		out = append(out, int(math.Round(1000*(st.Cut-float64(2*p.Spec.Seam))/sum)))
	}
	return out
}
