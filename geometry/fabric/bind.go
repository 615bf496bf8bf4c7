// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"

	"lozenge/geometry"
)

// Binding is what the binding takes.
type Binding struct {
	Total    float64 // once round the quilt and what is extra
	Purchase         // of yardage: whole strips, which are sewn end to end
}

// Bind returns the binding for a quilt of the finished size outer: strips of
// the width cut across the usable width, sewn end to end until they go once
// round and extra is left over for corners and for the ends. Each join loses
// two seam allowances. Where strips are joined on the diagonal a join loses
// the strip's width instead: pass cut/2 as the seam.
//
// Errors: values that are no lengths, and strips that their seam allowances
// leave nothing of.
func Bind(outer Size, cut, extra, usable, seam float64, u geometry.Unit) (Binding, error) {
	strip := value{"binding: strip", -1, usable}
	err := cmp.Or(outer.check(), strip.positive(), checkSeam(seam),
		value{"binding: cut width", -1, cut}.positive(),
		value{"binding: extra", -1, extra}.notNegative())
	if err != nil {
		return Binding{}, err
	}
	b := Binding{Total: float64(2*(outer.Width+outer.Height)) + extra}
	b.Strips, err = toJoin(value{"binding: length all round", -1, b.Total}, strip, seam)
	if err != nil {
		return Binding{}, err
	}
	b.Length = float64(float64(b.Strips) * cut)
	b.Buy, b.Unit = BuyLength(b.Length, u)
	return b, nil
}
