// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"cmp"
	"slices"

	"lozenge/geometry"
)

// Need is a number of strips, each of the width Width and at least Length
// long.
type Need struct {
	Width, Length float64
	Number        int
}

// Strips returns what to buy of one fabric so that all needed strips can be
// cut from it. Several that are short come out of one full-length strip, if
// they are equally wide; different widths are separate strips. It is
// the fewest strips that suffice: always when all lengths of a width are
// equal, and otherwise as far as a bounded search can tell (see fewestBins).
//
// Strips are cut at full length first, so those of a fat quarter lie side by
// side across its short side.
//
// Errors: a strip longer than the bolt's Strip, one wider than a fat quarter,
// or a value that is no length or number.
func Strips(needs []Need, b Bolt) (Purchase, error) {
	if err := b.check(-1); err != nil {
		return Purchase{}, err
	}
	var wanted []Need
	for i, n := range needs {
		if err := b.checkNeed(i, n); err != nil {
			return Purchase{}, err
		}
		if n.Number > 0 {
			wanted = append(wanted, n)
		}
	}
	slices.SortFunc(wanted, func(m, n Need) int {
		return cmp.Or(cmp.Compare(n.Width, m.Width), cmp.Compare(n.Length, m.Length))
	})
	var strips []cutStrips
	for len(wanted) > 0 {
		widest := wanted[0].Width
		var items []item
		for len(wanted) > 0 && geometry.Fits(widest, wanted[0].Width) {
			items = append(items, item{wanted[0].Length, wanted[0].Number})
			wanted = wanted[1:]
		}
		strips = append(strips, cutStrips{widest, fewestBins(items, b.Strip)})
	}
	return b.purchase(strips), nil
}

func (b Bolt) checkNeed(i int, n Need) error {
	number := value{"number of strips", i, float64(n.Number)}
	length := value{"strip length", i, n.Length}
	width := value{"strip width", i, n.Width}
	if n.Number < 0 {
		return number.fail(Negative, 0, "give 0 where none is needed")
	}
	if n.Number > MaxStrips {
		return number.fail(TooMany, MaxStrips, "make the quilt smaller")
	}
	if err := first(width.positive(), length.positive(), b.checkWidth(width)); err != nil {
		return err
	}
	if !geometry.Fits(n.Length, b.Strip) {
		return length.fail(TooLong, b.Strip, "cut shorter strip sets, or buy wider fabric")
	}
	return nil
}
