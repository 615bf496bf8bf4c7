// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// written writes a length in which no line is broken.
func written(v float64, u geometry.Unit) string {
	return words.HeldNumbers(geometry.FormatLength(v, u))
}

// twinMark stands between a length and the same in the other unit.
const twinMark = words.Hard + "/ "

// other is the unit that is not the pattern's.
func (c *composer) other() geometry.Unit { return 1 - c.unit }

// twin writes what is said in a unit, in both where that is wanted.
func (c *composer) twin(in func(geometry.Unit) string) string {
	if c.Twin {
		return in(c.unit) + twinMark + in(c.other())
	}
	return in(c.unit)
}

// length writes a length.
func (c *composer) length(v float64) string {
	return c.twin(func(u geometry.Unit) string { return written(c.unit.To(v, u), u) })
}

// round writes a length that is round in both units and comes from the trade,
// not from the plan.
func (c *composer) round(inches, centimetres float64) string {
	return c.twin(func(u geometry.Unit) string { return written(u.Of(inches, centimetres), u) })
}

// square writes a width and a height.
func (c *composer) square(s quilt.Size) string {
	return c.twin(func(u geometry.Unit) string {
		return written(c.unit.To(s.Width, u), u) + " by " + written(c.unit.To(s.Height, u), u)
	})
}

// marked returns the height of a length in a drawing, in inches.
func (c *composer) marked() float64 {
	if c.Twin {
		return 2*smallStyle.line() + 0.03
	}
	return smallStyle.line() + 0.03
}

// narrow breaks lengths in both units into two lines.
func narrow(text string) string { return strings.ReplaceAll(text, twinMark, "\n") }

// narrow does so where several columns share a page.
func (c *composer) narrow(text string) string {
	if len(c.sizes) == 1 {
		return text
	}
	return narrow(text)
}

// cell writes a length in a table.
func (c *composer) cell(v float64) string { return c.narrow(c.length(v)) }

// squareCell writes a width and a height in a table.
func (c *composer) squareCell(s quilt.Size) string {
	if len(c.sizes) == 1 {
		return c.square(s)
	}
	return narrow(strings.ReplaceAll(c.square(s), " by ", " by\n"))
}

// atLeast writes a length in a table that must be there, rounded up to what a ruler
// shows.
func (c *composer) atLeast(v float64) string { return c.cell(words.UpToRuler(v, c.unit)) }

// amount writes what to buy; of a length, what is lost at its ends included, in both
// units where that is wanted.
func (c *composer) amount(buy float64, unit string, length float64) string {
	s := bought(buy, unit)
	if c.Twin && (unit == "yd" || unit == "m") {
		s += twinMark + bought(fabric.BuyLength(c.unit.To(length, c.other()), c.other()))
	}
	return s
}

// bought writes an amount; a narrow column breaks "12 fat quarters".
func bought(buy float64, unit string) string {
	return strings.Replace(words.Held(words.Amount(buy, unit)), "fat"+words.Hard, "fat ", 1)
}

// bought writes what to buy of a fabric, and how many strips are cut from it.
func (c *composer) bought(p fabric.Purchase) string {
	s := c.amount(p.Buy, p.Unit, p.Length+c.spec().Straighten)
	if p.Unit != "strips" {
		s += ", " + number(p.Strips, "strip")
	}
	return s
}

// number writes "1 diamond" or "3 diamonds", on one line.
func number(n int, what string) string { return words.Held(words.Count(n, what)) }
