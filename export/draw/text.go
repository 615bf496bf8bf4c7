// SPDX-License-Identifier: Apache-2.0

package draw

// Face is a typeface by which the width of words is reckoned.
type Face int

// The faces. Which one a reader of an SVG shows is not known.
const (
	Plain Face = iota // any plain sans-serif face, on the generous side
	Wide              // the widest of them, DejaVu Sans, which is wider by up to a sixth
)

// advance is how wide a character of a plain sans-serif face is taken to be,
// on the generous side, per height of its capitals: about 0.55 em of 0.72 em
// (common practice, no source).
const advance = 0.76

// Width returns the width that a text of the given cap height is taken to need.
func (f Face) Width(value string, height float64) float64 {
	w := float64(len([]rune(value))) * height * advance
	if f == Wide {
		return 1.17 * w
	}
	return w
}

// TextWidth is the width of a text in a [Plain] face.
func TextWidth(value string, height float64) float64 { return Plain.Width(value, height) }
