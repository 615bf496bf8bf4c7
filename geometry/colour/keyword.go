// SPDX-License-Identifier: Apache-2.0

package colour

import (
	"slices"
	"strings"
	"sync"

	"golang.org/x/image/colornames"
)

// keywords are the named colours of CSS Color Module Level 4 (W3C), section
// 6.1, in words. The list of the library is that of SVG 1.1, which lacks the
// last one added, rebeccapurple.
const keywords = `
alice blue, antique white, aqua, aquamarine, azure, beige, bisque, black, blanched almond, blue, blue violet,
brown, burly wood, cadet blue, chartreuse, chocolate, coral, cornflower blue, cornsilk, crimson, cyan,
dark blue, dark cyan, dark goldenrod, dark gray, dark green, dark grey, dark khaki, dark magenta,
dark olive green, dark orange, dark orchid, dark red, dark salmon, dark sea green, dark slate blue,
dark slate gray, dark slate grey, dark turquoise, dark violet, deep pink, deep sky blue, dim gray, dim grey,
dodger blue, fire brick, floral white, forest green, fuchsia, gainsboro, ghost white, gold, goldenrod, gray,
green, green yellow, grey, honeydew, hot pink, indian red, indigo, ivory, khaki, lavender, lavender blush,
lawn green, lemon chiffon, light blue, light coral, light cyan, light goldenrod yellow, light gray,
light green, light grey, light pink, light salmon, light sea green, light sky blue, light slate gray,
light slate grey, light steel blue, light yellow, lime, lime green, linen, magenta, maroon,
medium aquamarine, medium blue, medium orchid, medium purple, medium sea green, medium slate blue,
medium spring green, medium turquoise, medium violet red, midnight blue, mint cream, misty rose, moccasin,
navajo white, navy, old lace, olive, olive drab, orange, orange red, orchid, pale goldenrod, pale green,
pale turquoise, pale violet red, papaya whip, peach puff, peru, pink, plum, powder blue, purple,
rebecca purple, red, rosy brown, royal blue, saddle brown, salmon, sandy brown, sea green, seashell, sienna,
silver, sky blue, slate blue, slate gray, slate grey, snow, spring green, steel blue, tan, teal, thistle,
tomato, turquoise, violet, wheat, white, white smoke, yellow, yellow green
`

type keyword struct {
	words string
	rgb   RGB
	lab   Lab
}

var table = sync.OnceValue(func() (out []keyword) {
	for _, words := range strings.Split(strings.Join(strings.Fields(keywords), " "), ", ") {
		v, ok := colornames.Map[strings.ReplaceAll(words, " ", "")]
		rgb := RGB{v.R, v.G, v.B}
		if !ok {
			rgb = RGB{0x66, 0x33, 0x99} // rebeccapurple
		}
		out = append(out, keyword{words, rgb, LabOf(rgb)})
	}
	return out
})

// Keywords returns the colour keywords of CSS, in small letters without blanks.
func Keywords() (out []string) {
	for _, k := range table() {
		out = append(out, strings.ReplaceAll(k.words, " ", ""))
	}
	return out
}

// Keyword returns the colour that a keyword of CSS names, in any case.
func Keyword(name string) (RGB, bool) {
	k, ok := find(name)
	return k.rgb, ok
}

// Words returns a keyword of CSS in words: "dark slate gray" for darkslategray.
func Words(name string) (string, bool) {
	k, ok := find(name)
	return k.words, ok
}

func find(name string) (k keyword, ok bool) {
	if i := slices.Index(Keywords(), strings.ToLower(name)); i >= 0 {
		return table()[i], true
	}
	return k, false
}

// Nearest returns the keyword of CSS whose colour is nearest in CIELAB (CIE 1976
// colour difference), in words: "dark slate gray". Of two for one colour it is
// the first by the alphabet.
func Nearest(c RGB) string {
	if word, ok := nearest.Load(c); ok {
		return word.(string)
	}
	lab, best := LabOf(c), table()[0]
	for _, k := range table() {
		if lab.Apart(k.lab) < lab.Apart(best.lab) {
			best = k
		}
	}
	nearest.Store(c, best.words)
	return best.words
}

// nearest holds what [Nearest] has found: a pattern has few colours, and many
// pieces of each.
var nearest sync.Map
