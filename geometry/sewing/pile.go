// SPDX-License-Identifier: Apache-2.0

package sewing

import (
	"cmp"
	"slices"
)

// Pile is the pieces of one kind that are cut from one strip set.
type Pile struct {
	StripSet int   // from 0, in cutting order
	Kind     int   // index into Order.Kinds
	Pieces   []int // index into Order.Pieces, in sewing order
}

// Piles returns the pieces as they come off the cutting mat: strip set after
// strip set, in each the kinds apart.
func (o *Order) Piles() []Pile {
	at := map[[2]int]int{}
	var out []Pile
	for i, p := range o.Pieces {
		key := [2]int{p.StripSet, p.Kind}
		j, ok := at[key]
		if !ok {
			j = len(out)
			at[key] = j
			out = append(out, Pile{StripSet: p.StripSet, Kind: p.Kind})
		}
		out[j].Pieces = append(out[j].Pieces, i)
	}
	kind := func(p Pile) [2]int {
		k := o.Kinds[p.Kind]
		return [2]int{int(k.Piece.Lean), int(k.Piece.Shape)}
	}
	slices.SortFunc(out, func(a, b Pile) int {
		x, y := kind(a), kind(b)
		return cmp.Or(cmp.Compare(a.StripSet, b.StripSet), cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1]), cmp.Compare(a.Kind, b.Kind))
	})
	return out
}
