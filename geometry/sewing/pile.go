// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"cmp"
	"slices"

	"lozenge/geometry"
)

// Pile is the pieces that are alike and cut from one strip set, whichever way up they
// will stand.
type Pile struct {
	StripSet int // from 0, in cutting order
	Lean     geometry.Lean
	Shape    geometry.Shape
	Pieces   []int // index into Order.Pieces, in sewing order
}

// Piles returns the pieces as they come off the cutting mat: strip set after
// strip set, in each the kinds apart.
func (o *Order) Piles() (out []Pile) {
	type kind struct {
		set   int
		lean  geometry.Lean
		shape geometry.Shape
	}
	at := map[kind]int{}
	for i, p := range o.Pieces {
		key := kind{p.StripSet, p.Lean, p.Shape}
		j, ok := at[key]
		if !ok {
			j = len(out)
			at[key] = j
			out = append(out, Pile{StripSet: p.StripSet, Lean: p.Lean, Shape: p.Shape})
		}
		out[j].Pieces = append(out[j].Pieces, i)
	}
	slices.SortFunc(out, func(a, b Pile) int {
		return cmp.Or(cmp.Compare(a.StripSet, b.StripSet), cmp.Compare(a.Lean, b.Lean), cmp.Compare(a.Shape, b.Shape))
	})
	return out
}
