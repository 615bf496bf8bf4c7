// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Scrap names a scrap of the bill of cutting by its fabric and size: "Tide blues
// harbour, 2 1/2 in wide, 40 in long", and how many there are that are cut alike.
func Scrap(s quilt.Spec, w quilt.Whole, length func(float64) string) string {
	name := Fabric(s, w.Fabric)
	if w.Name != "" {
		name += " " + w.Name
	} else if s.ColourTold(w.Fabric) {
		name += " " + s.ColourName(w.Fabric, w.Number)
	}
	said := fmt.Sprintf("%s, %s wide, %s long", name, length(w.Width), length(w.Length))
	if w.Times > 1 {
		said += fmt.Sprintf(", %d alike", w.Times)
	}
	return said
}

// ScrapCuts says what is cut from a scrap: "2 strips cut 2 1/2 in wide: 16 in for
// strip set 4, the other whole for strip set 7".
func ScrapCuts(w quilt.Whole, length func(float64) string) string {
	var strips, parts []string
	for i, s := range w.Strips {
		full := 0
		for _, o := range w.Strips {
			if o.Strip == s.Strip {
				full += o.Full
			}
		}
		first := i == 0 || w.Strips[i-1].Strip != s.Strip
		if first && !(full == 1 && geometry.Fits(w.Width, s.Cut)) {
			strips = append(strips, Count(full, "strip")+" cut "+length(s.Cut)+" wide")
		}
		what := length(s.Length)
		if geometry.Fits(w.Length, s.Length) {
			what = "whole"
		}
		parts = append(parts, what+" for "+lower(StripSetList(s.StripSets)))
	}
	said := strings.Join(parts, "; ")
	if len(strips) > 0 {
		said = strings.Join(strips, ", ") + ": " + said
	}
	return said
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// BoughtNothing says that strips come from a scrap bin.
func BoughtNothing(c quilt.Cloth) string {
	return "from your scraps: " + Count(c.Strips, "strip")
}
