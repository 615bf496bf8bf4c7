// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Possible tells of a quilt that could be made: its pieces, size, strip sets and
// what they leave.
func Possible(c quilt.Possible, u geometry.Unit) string {
	said := fmt.Sprintf("%s, %s by %s: %s", Pieces(c.Diamonds, c.EdgeTriangles), geometry.FormatLength(c.Finished.Width, u), geometry.FormatLength(c.Finished.Height, u), Count(c.StripSets, "strip set"))
	if c.UsesUp() {
		said += ", all used up"
	}
	return said + ", " + geometry.FormatLength(c.Leaves, u) + " left"
}

// WhyChosen says why the plan's quilt is the one of those that could be made;
// another is how another one is had.
func WhyChosen(p *quilt.Plan, another string) string {
	said := "Columns by rows; no other quilt that they make has as many of both."
	i := quilt.Choose(p.Choices)
	for k, c := range p.Choices {
		switch {
		case !c.Chosen:
		case k == i:
			said += " This plan is the one with the most diamonds of those from half as wide as high to as wide as high"
			if ratio := c.Finished.Width / c.Finished.Height; ratio < 0.5-geometry.Fit || ratio > 1+geometry.Fit {
				said = "Columns by rows; no other quilt that they make has as many of both. This plan is the one whose width is to its height most nearly as 3 to 4"
			}
			said += "; " + another + "."
		default:
			said += " This plan is the one that the pattern asks for."
		}
	}
	return said
}

// SetLengths says how long the strip sets are sewn.
func SetLengths(p *quilt.Plan) string {
	shortest, longest := p.SetLength(0), p.SetLength(0)
	for k := range p.Fewest.Layouts {
		shortest, longest = min(shortest, p.SetLength(k)), max(longest, p.SetLength(k))
	}
	u := p.Spec.Unit
	if longest-shortest < geometry.Fit {
		return "each " + geometry.FormatLength(longest, u) + " long"
	}
	return fmt.Sprintf("%s to %s long", geometry.FormatLength(shortest, u), geometry.FormatLength(longest, u))
}

// Tight names the strip sets that hardly suffice, and says what a little less of
// each would come to; "" where there are none.
func Tight(p *quilt.Plan) string {
	tight := p.Tight()
	if len(tight) == 0 {
		return ""
	}
	n, by := p.Trimmed()
	length := geometry.FormatLength(by, p.Spec.Unit)
	said := fmt.Sprintf("Tight: %s %s less than %s.", lower(StripSetList(tight)), Verb(len(tight), "leaves", "leave"), length)
	switch more := n - len(p.Fewest.Layouts); {
	case n == 0:
		return said + " Square their ends with care."
	case more == 0:
		return said + fmt.Sprintf(" With that much trimmed off each (end_trim: %s) as many strip sets suffice, cut in another way.", trimText(p))
	default:
		return said + fmt.Sprintf(" With that much trimmed off each (end_trim: %s) the quilt takes %s more.", trimText(p), Count(more, "strip set"))
	}
}

func trimText(p *quilt.Plan) string {
	_, by := p.Trimmed()
	return geometry.FormatLength(p.Spec.EndTrim+by, p.Spec.Unit)
}
