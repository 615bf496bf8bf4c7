// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A slip is why a text is refused and what to write instead.
type slip struct{ reason, hint string }

// What to write instead.
const (
	lengthHint  = "write it like 2 1/2, 2.5, 2 1/2 in or 6.5 cm"
	oneFraction = "write one fraction, such as 3/8 or 2 3/8"
	oneOfTwo    = "write 1 1/2 or 1.5"
	theOne      = "write the one length that is meant"
)

// lengthSlips are what is often met in a text that is not a length: the first
// that is found tells why it is refused. $0 is what was found, $1 a part of it.
// With unlessUnit a $1 that is a unit is passed over.
var lengthSlips = []struct {
	found        *regexp.Regexp
	reason, hint string
	unlessUnit   bool
}{
	{found: slipOf(`^([^,]*[0-9]),([0-9]{3})([^0-9,][^,]*)?$`), reason: "a comma can be a decimal point or part thousands", hint: "write $1$2$3 or $1.$2$3"},
	{found: slipOf(`^([^,]*[0-9]),([0-9]+[^,]*)$`), reason: "decimals are written with a point, not a comma", hint: "write $1.$2"},
	{found: slipOf(`,`), reason: "it has a comma", hint: "write one length, without commas"},
	{found: slipOf(`_`), reason: "it has an underscore", hint: "write the digits without a break"},
	{found: slipOf(`[0-9.][eE][-+−]?[0-9]`), reason: "it is written with an exponent", hint: "write all the digits out, such as 1000 or 0.001"},
	{found: slipOf(`(?:^|[^0-9.])0[xXoObB][0-9a-fA-F]`), reason: "it is not in base ten", hint: "write it in base ten, such as 10"},
	{found: slipOf(`:`), reason: "it has a colon, like a time or a ratio"},
	{found: slipOf(`[()]`), reason: "it has brackets", hint: "write only one of the two: the fraction or the decimal number"},
	{found: slipOf(`\+`), reason: "it has a plus sign", hint: "leave the plus sign out and write the sum"},
	{found: slipOf(`^["']`), reason: "it begins with a quotation mark", hint: "leave out the quotation marks around it"},
	{found: slipOf(`^#`), reason: "# begins a comment or a colour"},
	{found: slipOf(`[0-9.]*\.[0-9]*\.[0-9.]*`), reason: "$0 has more than one dot"},
	{found: slipOf(`(?:^|[^0-9.\pL])\.(?:$|[^0-9])`), reason: "a dot without digits is no number"},
	{found: slipOf(`(\pL+)\.[0-9]`), reason: "the dot after $1 can end the word or begin a decimal number", hint: "put a space on one side of the dot"},
	{found: slipOf(`(?i)(?:^|\PL)(nan|inf|infinity)(?:$|\PL)`), reason: "$1 is not a number of inches or centimetres"},
	{found: slipOf(`^[-−]? ?(\pL+)`), unlessUnit: true, reason: "it does not begin with a number"},
	{found: slipOf(`(\pL+)`), unlessUnit: true, reason: "$1 is not a unit of length known here", hint: "use in, ft, yd, mm, cm or m"},
	{found: slipOf(`[^\PN0-9¼½¾⅐-⅞↉]`), reason: "$0 is not one of the digits 0 to 9"},
	{found: slipOf(`[^\pL\pN ./"'−-]`), reason: "$0 has no place in a length"},
	{found: slipOf(`^[-−]? ?(?:\pL|["']|$)`), reason: "it has no number in front"},
	{found: slipOf(`D ?/|/ ?[0-9]*\.|D[ -]?(?:G|[0-9]+ ?/)`), reason: "it has both decimals and a fraction", hint: oneOfTwo},
	{found: slipOf(`(?:G|[0-9] ?/ ?[0-9]+) ?/`), reason: "it has a slash too many", hint: oneFraction},
	{found: slipOf(`/ ?(?:[^0-9 ]|$)`), reason: "the fraction has no whole number below its slash", hint: oneFraction},
	{found: slipOf(`(?:^|[^0-9 ]) ?/`), reason: "the fraction has nothing above its slash"},
	{found: slipOf(`(?:G ?|/ ?[0-9]+ ?)(G)|(?:G ?|/ ?[0-9]+ )([0-9.]+)`), reason: "it has a number too many, $1$2"},
	{found: slipOf(`([0-9.]+) ([0-9.]+)(?: ?[^0-9./ ]|$)`), reason: "$1 and $2 are two numbers", hint: "write a whole number and a fraction, such as 2 1/2, or one decimal number"},
	{found: slipOf(`(?:[0-9.]|G) ?[-−] ?(?:[0-9]+ ?/|G)`), reason: "it can be a mixed number or a difference", hint: "write 2 1/2 for two and a half, or the one length that is meant"},
	{found: slipOf(`(?:[0-9.]|G) ?[-−] ?[0-9.]`), reason: "it is a date, a range or a difference", hint: theOne},
	{found: slipOf(`(?:[0-9.]|G) ?([-−])`), reason: "$1 has no place after the number"},
	{found: slipOf(`.([-−])`), reason: "$1 has no place there", hint: "put one minus sign in front of the whole length, or none"},
	{found: slipOf(`" ?"|' '`), reason: "it has two marks in a row", hint: "write the mark once, or the word in or ft; if quotation marks have to stand around it, use single ones"},
	{found: slipOf(`(\pL+)\.? (\pL+)|(\pL+|["'])\.? ?(["'])|(["']) ?(\pL+)`), reason: "it has two units in a row, $1$3$5 and $2$4$6", hint: "keep one of them"},
}

// slipOf compiles a pattern in which G is a glyph and D a decimal number.
func slipOf(pattern string) *regexp.Regexp {
	return regexp.MustCompile(strings.NewReplacer("G", glyph, "D", `(?:[0-9]\.|\.[0-9])[0-9]*`).Replace(pattern))
}

// slipIn says why a text in plain signs is not a length.
func slipIn(text string) *slip {
	if i := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }); i >= 0 {
		r, _ := utf8.DecodeRuneInString(text[i:])
		return &slip{fmt.Sprintf("it has an invisible character (%U)", r), "type it afresh: " + lengthHint}
	}
	for _, s := range lengthSlips {
		for _, at := range s.found.FindAllStringSubmatchIndex(text, -1) {
			say := func(words string) string { return string(s.found.ExpandString(nil, words, text, at)) }
			if _, ok := lengthUnits[strings.ToLower(say("$1"))]; ok && s.unlessUnit {
				continue
			}
			if s.hint == "" {
				return &slip{say(s.reason), lengthHint}
			}
			return &slip{say(s.reason), say(s.hint)}
		}
	}
	return &slip{"it can't be read", lengthHint}
}
