// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"strings"

	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/fabric"
	"lozenge/geometry/quilt"
)

// other is the other unit.
func other(u geometry.Unit) geometry.Unit { return 1 - u }

// written writes a length in which no line is broken.
func written(v float64, u geometry.Unit) string {
	return words.HeldNumbers(geometry.FormatLength(v, u))
}

// length writes a length, in both units where that is wanted.
func (c *composer) length(v float64) string {
	s := written(v, c.unit)
	if c.Twin {
		s += twinMark + written(c.unit.To(v, other(c.unit)), other(c.unit))
	}
	return s
}

// twinMark stands between a length and the same in the other unit.
const twinMark = words.Hard + "/ "

// marked returns the height of a length in a drawing, in inches.
func (c *composer) marked() float64 {
	if c.Twin {
		return 2*smallStyle.line() + 0.03
	}
	return smallStyle.line() + 0.03
}

// round writes a length that is round in both units and comes from the trade,
// not from the plan.
func (c *composer) round(inches, centimetres float64) string {
	s := written(c.unit.Of(inches, centimetres), c.unit)
	if c.Twin {
		s += twinMark + written(other(c.unit).Of(inches, centimetres), other(c.unit))
	}
	return s
}

// square writes a width and a height.
func (c *composer) square(s quilt.Size) string {
	text := written(s.Width, c.unit) + " by " + written(s.Height, c.unit)
	if c.Twin {
		o := other(c.unit)
		text += twinMark + written(c.unit.To(s.Width, o), o) + " by " + written(c.unit.To(s.Height, o), o)
	}
	return text
}

// cell writes a length in a table.
func (c *composer) cell(v float64) string { return strings.ReplaceAll(c.length(v), twinMark, "\n") }

// squareCell writes a width and a height in a table.
func (c *composer) squareCell(s quilt.Size) string {
	text := written(s.Width, c.unit) + " by\n" + written(s.Height, c.unit)
	if c.Twin {
		o := other(c.unit)
		text += "\n" + written(c.unit.To(s.Width, o), o) + " by\n" + written(c.unit.To(s.Height, o), o)
	}
	return text
}

// amount writes what to buy; of a length, in both units where that is wanted.
func (c *composer) amount(buy float64, unit string, length float64) string {
	s := bought(buy, unit)
	if c.Twin && (unit == "yd" || unit == "m") {
		s += twinMark + bought(fabric.BuyLength(c.unit.To(length, other(c.unit)), other(c.unit)))
	}
	return s
}

// bought writes an amount; a narrow column breaks "12 fat quarters".
func bought(buy float64, unit string) string {
	return strings.Replace(words.Held(words.Amount(buy, unit)), "fat"+words.Hard, "fat ", 1)
}

// bought writes what to buy of a fabric, and how many strips are cut from it.
func (c *composer) bought(p fabric.Purchase) string {
	s := c.amount(p.Buy, p.Unit, p.Length)
	if p.Unit != "strips" {
		s += ", " + number(p.Strips, "strip")
	}
	return s
}

// number writes "1 diamond" or "3 diamonds", on one line.
func number(n int, what string) string { return words.Held(words.Count(n, what)) }

// fabricName names the fabric of strip i, from 0.
func (c *composer) fabricName(i int) string {
	return words.Fabric(c.spec(), c.spec().Strips[i].Fabric)
}

// wide names the fabric on the wide side of an edge triangle.
func (c *composer) wide(shape geometry.Shape) string { return words.WideSide(c.spec(), shape) }
