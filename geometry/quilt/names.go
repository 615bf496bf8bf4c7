// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry/colour"
)

// ColourNames returns what the colours of a fabric are called: as it says, else as
// it calls the same colour elsewhere, else by the nearest keyword of CSS; a word that
// comes again, in capitals or not, is numbered.
func (f Fabric) ColourNames() []string {
	out := make([]string, len(f.Colours))
	seen, called := map[string]int{}, map[Colour]string{}
	for i, c := range f.Colours {
		if i < len(f.Names) && f.Names[i] != "" {
			out[i] = f.Names[i]
			seen[strings.ToLower(out[i])]++
			called[c] = cmp.Or(called[c], out[i])
		}
	}
	for i, c := range f.Colours {
		if out[i] == "" && called[c] == "" {
			called[c] = numbered(colour.Nearest(colour.RGB(c)), seen)
		}
		out[i] = cmp.Or(out[i], called[c])
	}
	return out
}

// numbered returns a keyword, with a number where it was seen before.
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
	return f.ColourNames()
}

// ColourTold reports whether a fabric's colour is told beside its name: it has
// several, or its one colour is given a name.
func (s Spec) ColourTold(key string) bool {
	return s.Colourful(key) || strings.Join(s.fabric(key).Names, "") != ""
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

// Unused returns the names of a fabric's colours, where it has several, that no strip
// set has.
func (p *Plan) Unused(key string) (out []string) {
	if !p.Spec.Colourful(key) || !p.Fewest.OK() || len(p.Fewest.Layouts) == 0 {
		return nil
	}
	used := map[int]bool{}
	for k := range p.Fewest.Layouts {
		for i, number := range p.ColourNumbers(k) {
			if p.Spec.Strips[i].Fabric == key {
				used[number] = true
			}
		}
	}
	for n, name := range p.Spec.ColourList(key) {
		if !used[n] {
			out = append(out, name)
		}
	}
	return out
}
