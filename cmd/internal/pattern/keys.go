// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export/words"
)

// part is a group of keys in a pattern.
type part struct {
	name string // with its article
	keys []string
}

func (p part) has(key string) bool { return slices.Contains(p.keys, key) }

// The parts of a pattern; only ever read.
var (
	wholePart   = part{"the pattern itself", []string{"name", "unit", "angle", "seam", "tips", "strips", "usable_width", "setting", "layout", "columns", "rows", "finish", "strip_sets", "scraps", "fabrics", "color_order", "edges", "stagger", "mix_leans", "end_trim", "spare", "sewn_width", "face", "edge_grain", "shrinkage", "take_up", "borders", "backing", "binding", "straighten", "batting", "cutter", "designer", "note"}}
	stripPart   = part{"a strip", []string{"cut", "fabric"}}
	fabricPart  = part{"a fabric", []string{"name", "from", "strip_length", "colors"}}
	colourPart  = part{"a colour", []string{"name", "color"}}
	finishPart  = part{"finish", []string{"width", "height"}}
	borderPart  = part{"a border", []string{"cut", "fabric", "corners"}}
	backingPart = part{"backing", []string{"usable_width", "extra"}}
	bindingPart = part{"binding", []string{"cut", "extra", "joins"}}
	battingPart = part{"batting", []string{"extra"}}
	cutterPart  = part{"cutter", []string{"sheet", "margin", "gap", "from"}}

	parts = []part{wholePart, stripPart, fabricPart, colourPart, finishPart, borderPart, backingPart, bindingPart, battingPart, cutterPart}
)

// unknownKey says what may have been meant by a key that is not one of here.
func unknownKey(key string, here part) (hint string) {
	if near := nearest(key, here.keys); near != "" {
		return meant(key, near, "")
	}
	if here.name != wholePart.name && !wholePart.has(key) {
		return fmt.Sprintf("the keys of %s are %s", here.name, words.List(here.keys))
	}
	var homes []string
	for _, p := range parts {
		if p.has(key) {
			homes = append(homes, p.name)
		}
	}
	if len(homes) > 0 {
		return fmt.Sprintf("it belongs in %s: check how far the line is indented", words.Either(homes))
	}
	return "take it out, or put # in front of the line to keep it as a comment"
}

// nearest returns the word that is most like text, or "" when none is near:
// one slip in three letters.
func nearest(text string, words []string) string {
	const longest = 40 // the work grows with the product of the lengths
	folded := fold(text)
	if len(folded) > longest || folded == "" {
		return ""
	}
	best, least := "", len([]rune(folded))
	for _, w := range words {
		f := fold(w)
		if d := slipsBetween(folded, f); d < least && d <= max(1, min(len(f), len(folded))/3) {
			best, least = w, d
		}
	}
	return best
}

// fold makes alike what is no slip of the finger: case, - or space for _, and
// letters that look alike.
func fold(s string) string {
	return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(strings.Map(plainLetter, s)))
}

// slipsBetween counts the letters to put in, take out, change or swap with
// their neighbour to make b of a (the restricted edit distance of Damerau).
func slipsBetween(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last := make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := range s {
		row := make([]int, len(t)+1)
		row[0] = i + 1
		for j := range t {
			cost := 1
			if s[i] == t[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(t)]
}
