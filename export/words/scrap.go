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
// strip set 4, the other whole for strip set 7". Lengths are rounded up to what a ruler
// shows where the strip is long enough for that.
func ScrapCuts(s quilt.Spec, w quilt.Whole, length func(float64) string) string {
	var strips, parts []string
	unit := s.Unit
	up := roomToRound(w, unit)
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
		if up[s.Strip] {
			what = length(UpToRuler(s.Length, unit))
		}
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

// roomToRound says of which strips, by their width in the strip set, the lengths may be
// cut longer, up to what a ruler shows: those that are all cut from one strip, or each
// from a strip of its own, and still fit.
func roomToRound(w quilt.Whole, u geometry.Unit) map[int]bool {
	sum, longest := map[int]float64{}, map[int]float64{}
	count, full := map[int]int{}, map[int]int{}
	for _, s := range w.Strips {
		l := UpToRuler(s.Length, u)
		sum[s.Strip] += float64(l * float64(s.Count))
		longest[s.Strip] = max(longest[s.Strip], l)
		count[s.Strip] += s.Count
		full[s.Strip] += s.Full
	}
	out := map[int]bool{}
	for i := range sum {
		out[i] = full[i] == 1 && geometry.Fits(sum[i], w.Length) || count[i] == full[i] && geometry.Fits(longest[i], w.Length)
	}
	return out
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// BoughtNothing says that strips come from a scrap bin.
func BoughtNothing(c quilt.Cloth) string {
	return "from your scraps: " + Count(c.Strips, "strip")
}
