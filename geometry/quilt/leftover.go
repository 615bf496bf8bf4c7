// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"

	"lozenge/geometry"
)

// Leftover is pieces of a scrap bin that are alike and are left when the strips are
// cut.
type Leftover struct {
	Fabric, Name  string // key of the fabric; as she knows the scrap, or ""
	Colour        *Colour
	Width, Length float64
	Count         int
}

// Larger is a larger quilt and what is lacking for it.
type Larger struct {
	Columns, Rows int
	Lacks         []Lack
}

// Lack is strips of a fabric that are lacking.
type Lack struct {
	Fabric string
	Width  float64
	Strips []float64 // length of each, longest first
}

// Serve returns how much strip of a width all leftovers come to, joined with seams
// straight across.
func (p *Plan) Serve(width float64) float64 {
	sum := 0.0
	for _, l := range p.Left {
		each := math.Floor(l.Width/width + geometry.Fit)
		length := max(l.Length-float64(2*p.Spec.Seam), 0)
		sum += float64(each*float64(l.Count)) * length
	}
	return sum
}
