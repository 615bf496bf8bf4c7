// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// What keys take that take words, the one that they have when they are left out
// first; only ever read.
var (
	units      = []geometry.Unit{geometry.Inch, geometry.Centimetre}
	tipWords   = []geometry.Tips{geometry.Matched, geometry.Sharp}
	settings   = []quilt.Layout{quilt.Zigzag, quilt.Chevron, quilt.OneWay}
	orders     = []quilt.ColourOrder{quilt.Gradient, quilt.Scattered, quilt.Bands}
	edgeRules  = []quilt.EdgeRule{quilt.Thrifty, quilt.Matched}
	faces      = []geometry.Face{geometry.FaceUp, geometry.FaceDown}
	edgeGrains = []quilt.EdgeGrain{quilt.BandsOn, quilt.Straight}
	sources    = []quilt.Source{quilt.Yardage, quilt.FatQuarters, quilt.Precut}
	corners    = []quilt.Corners{quilt.Butted, quilt.Mitred}
	joins      = []quilt.Joins{quilt.DiagonalJoins, quilt.StraightJoins}
)

// Words returns the words that a key takes, or a place where the key alone does not
// tell, the one that it has when it is left out first; nil where it takes something
// else.
func Words(key string) []string {
	return map[string][]string{
		"unit": said(units), "tips": said(tipWords), "setting": said(settings), "color_order": said(orders), "edges": said(edgeRules),
		"face": said(faces), "edge_grain": said(edgeGrains), "from": said(sources), "corners": said(corners), "joins": said(joins),
		"cutter.from": {"strip-sets", "pieces", "one-of-each"}, "stagger": {"false", "true"}, "mix_leans": {"false", "true"},
	}[key]
}

func said[T fmt.Stringer](all []T) (out []string) {
	for _, one := range all {
		out = append(out, one.String())
	}
	return out
}
