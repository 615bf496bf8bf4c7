// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"strconv"
	"strings"

	"lozenge/geometry/colour"
	"lozenge/geometry/quilt"
)

// neutrals are the colours of fabrics that are given none: undyed cloth from
// light to dark, in an order that puts light beside dark.
var neutrals = [...]quilt.Colour{
	{0xe9, 0xe1, 0xd3}, // linen
	{0x7d, 0x74, 0x69}, // stone
	{0xc9, 0xb9, 0xa2}, // oat
	{0x4f, 0x4a, 0x45}, // slate
	{0xf5, 0xf1, 0xea}, // chalk
	{0x9d, 0x8c, 0x78}, // bark
	{0xd8, 0xd5, 0xcf}, // ash
	{0x63, 0x58, 0x4c}, // walnut
}

// neutral returns the colour of the fabric with index i.
func neutral(i int) quilt.Colour { return neutrals[i%len(neutrals)] }

const colourHint = `write "#1f5f7a", two digits or letters a to f each for red, green and blue, or a colour keyword of CSS, as teal`

// ParseColour reads #rrggbb, #rgb or a colour keyword of CSS. Where it can't, it
// says why and what to write instead.
func ParseColour(text string) (c quilt.Colour, reason, hint string) {
	if c, ok := colour.Keyword(text); ok {
		return quilt.Colour(c), "", ""
	}
	hex, hash := strings.CutPrefix(text, "#")
	v, err := strconv.ParseUint(hex, 16, 32)
	valid := err == nil && (len(hex) == 6 || len(hex) == 3)
	switch {
	case strings.ContainsAny(text, "“”„‟"):
		return c, "stands in curly quotation marks", fmt.Sprintf(`type them straight: "%s"`, strings.Trim(text, "“”„‟"))
	case valid && !hash:
		return c, "has no # in front", fmt.Sprintf(`write "#%s"`, hex)
	case !valid && !hash:
		return c, "is not a colour", meant(text, nearest(strings.ReplaceAll(text, " ", ""), colour.Keywords()), colourHint)
	case !valid:
		return c, "is not a colour", meant(text, "", colourHint)
	case len(hex) == 3: // each digit stands for two
		for i, shift := range [...]int{8, 4, 0} {
			c[i] = uint8(v>>shift&0xf) * 0x11
		}
		return c, "", ""
	}
	return quilt.Colour{uint8(v >> 16), uint8(v >> 8), uint8(v)}, "", ""
}
