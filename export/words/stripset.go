// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// StripSet is what pieces are cut from: "strip set", or "strip" where nothing
// is sewn to it.
func StripSet(s quilt.Spec) string {
	if len(s.Strips) == 1 {
		return "strip"
	}
	return "strip set"
}

// StripSets names strip sets that are cut alike: "Strip set 3", "Strip sets 1
// to 11".
func StripSets(l quilt.Like) string {
	return "Strip " + Noun(l.Number, "set") + " " + Span(l.First+1, l.First+l.Number)
}

// StripSetList names strip sets that are given from 0, rising: "Strip sets 1
// to 4 and 9", "Strip sets 1, 5, 9 and so on, every 4th, to 41".
func StripSetList(sets []int) string {
	if last := len(sets) - 1; last >= 8 {
		step, even := sets[1]-sets[0], true
		for i, k := range sets {
			even = even && k == sets[0]+i*step
		}
		if even && step > 1 {
			return fmt.Sprintf("Strip sets %d, %d, %d and so on, every %s, to %d", sets[0]+1, sets[1]+1, sets[2]+1, Ordinal(step), sets[last]+1)
		}
	}
	numbers := make([]int, len(sets))
	for i, k := range sets {
		numbers[i] = k + 1
	}
	return Capital(Numbers("strip set", numbers))
}

// Lean says which way a strip set is cut.
func Lean(l strip.Layout) string {
	if l.Mixed {
		return "both leans"
	}
	return LeanOf(l.Lean)
}

// Way says how strip sets are cut that are cut alike: "left-leaning,
// staggered".
func Way(l quilt.Like) string {
	if l.Staggered {
		return Lean(l.Layout) + ", staggered"
	}
	return Lean(l.Layout)
}

// Row spells a strip set out from its left end: "6 diamonds, 1 edge triangle
// with sand on the wide side". seen is its lean as it lies: the other one when
// it lies wrong side up.
func Row(s quilt.Spec, l strip.Layout, seen geometry.Lean) string {
	word := []rune(l.Word)
	if seen == geometry.Left {
		slices.Reverse(word)
	}
	var parts []string
	for i := 0; i < len(word); {
		c, n := word[i], 1
		same := func(b rune) bool { return b == c || isTriangle(b) && isTriangle(c) }
		for i+n < len(word) && same(word[i+n]) {
			n++
		}
		switch {
		case isTriangle(c) && n > 2: // reads better as a number
			parts = append(parts, Count(n, "edge triangle")+" turned in turn, the first"+facing(s, c))
		case isTriangle(c):
			for _, b := range word[i : i+n] {
				parts = append(parts, "1 edge triangle"+facing(s, b))
			}
		case !l.Mixed:
			parts = append(parts, Count(n, "diamond"))
		case c == 'D':
			parts = append(parts, Count(n, Leaning(l.Lean, geometry.Diamond)))
		default:
			parts = append(parts, Count(n, Leaning(l.Lean.Other(), geometry.Diamond)))
		}
		i += n
	}
	return strings.Join(parts, ", ")
}

func isTriangle(letter rune) bool { return letter == 'L' || letter == 'U' }

// facing says how an edge triangle lies in its strip set.
func facing(s quilt.Spec, letter rune) string {
	switch {
	case len(s.Strips) > 1 && letter == 'L':
		return " with " + OnWideSide(s, geometry.LowerTriangle)
	case len(s.Strips) > 1:
		return " with " + OnWideSide(s, geometry.UpperTriangle)
	case letter == 'L':
		return " with its wide side nearest you"
	}
	return " with its wide side at the far edge"
}
