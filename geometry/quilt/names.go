// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"fmt"
	"slices"

	"lozenge/geometry/colour"
)

// named returns what the colours of a fabric are called: as it says, else by the
// nearest keyword of CSS; a word that comes again is numbered.
func (f Fabric) named() []string {
	out := make([]string, len(f.Colours))
	seen := map[string]int{}
	for i := range f.Colours {
		if i < len(f.Names) && f.Names[i] != "" {
			out[i] = f.Names[i]
			seen[out[i]]++
		}
	}
	for i, c := range f.Colours {
		if out[i] == "" {
			out[i] = numbered(colour.Nearest(colour.RGB(c)), seen)
		}
	}
	return out
}

// numbered returns a word, with a number where it was seen before.
func numbered(word string, seen map[string]int) string {
	for seen[word]++; seen[word] > 1; {
		if name := fmt.Sprintf("%s %d", word, seen[word]); seen[name] == 0 {
			seen[name]++
			return name
		}
		seen[word]++
	}
	return word
}

// ColourList returns what the colours of a fabric are called.
func (s Spec) ColourList(key string) []string {
	f := s.fabric(key)
	if len(f.Names) == len(f.Colours) && !slices.Contains(f.Names, "") {
		return f.Names
	}
	return f.named()
}

// ColourName returns what a colour of a fabric is called, by its number from 0:
// "harbour".
func (s Spec) ColourName(key string, number int) string { return s.ColourList(key)[number] }

// ColourNames returns what the colours of the strips of strip set k are called,
// lowest strip first.
func (p *Plan) ColourNames(k int) []string {
	numbers, colours := p.ColourNumbers(k), p.Colours(k)
	out := make([]string, len(colours))
	for i, st := range p.Spec.Strips {
		switch {
		case k < len(p.sewn) && i < len(p.sewn[k].Names) && p.sewn[k].Names[i] != "":
			out[i] = p.sewn[k].Names[i]
		case numbers[i] < 0: // of a scrap that the pattern does not list
			out[i] = colour.Nearest(colour.RGB(colours[i]))
		default:
			out[i] = p.Spec.ColourName(st.Fabric, numbers[i])
		}
	}
	return out
}
