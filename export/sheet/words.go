// SPDX-License-Identifier: Apache-2.0

package sheet

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// plural returns "1 diamond" or "3 diamonds".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// FaceWords says which side of the fabric lies up.
func FaceWords(f geometry.Face) string {
	if f == geometry.FaceDown {
		return "wrong side up"
	}
	return "right side up"
}

// wideSide returns the fabric on the wide side of an edge triangle: that of
// the lowest or of the highest strip.
func wideSide(s quilt.Spec, shape geometry.Shape) string {
	i := 0
	if shape == geometry.UpperTriangle {
		i = len(s.Strips) - 1
	}
	return FabricName(s, s.Strips[i].Fabric)
}

// FabricName returns a fabric's name as shown.
func FabricName(s quilt.Spec, key string) string {
	for _, f := range s.Fabrics {
		if f.Key == key && f.Name != "" {
			return f.Name
		}
	}
	return key
}

// PieceName names n pieces in a quilter's words: "right-leaning diamond",
// "left-leaning edge triangles, sand on the wide side". A piece keeps the
// lean that it has from the right side, whichever side lies up.
func PieceName(s quilt.Spec, shape geometry.Shape, lean geometry.Lean, n int) string {
	many := "s"
	if n == 1 {
		many = ""
	}
	if shape == geometry.Diamond {
		return fmt.Sprintf("%s-leaning diamond%s", lean, many)
	}
	return fmt.Sprintf("%s-leaning edge triangle%s, %s on the wide side", lean, many, wideSide(s, shape))
}

// ColourWords names the colours of strip set k, from 0: "Tide blues colour 2
// (#2f7f9a), Ash colour 1 (#d8d4cc)". Fabrics of one colour are left out.
func ColourWords(p *quilt.Plan, k int) string {
	numbers, colours := p.ColourNumbers(k), p.Colours(k)
	var parts []string
	for i, st := range p.Spec.Strips {
		name := FabricName(p.Spec, st.Fabric)
		switch {
		case numbers[i] < 0:
			name += fmt.Sprintf(" %s", colours[i])
		case p.Spec.Colourful(st.Fabric):
			name += fmt.Sprintf(" colour %d (%s)", numbers[i]+1, colours[i])
		default:
			continue
		}
		if !slices.Contains(parts, name) {
			parts = append(parts, name)
		}
	}
	return strings.Join(parts, ", ")
}

// StripsFromBelow names the fabrics of the strips, lowest first.
func StripsFromBelow(s quilt.Spec) string {
	var names []string
	for _, st := range s.Strips {
		names = append(names, FabricName(s, st.Fabric))
	}
	return strings.Join(names, ", ")
}

// pieceCount returns "6 diamonds and 1 edge triangle".
func pieceCount(diamonds, triangles int) string {
	switch {
	case triangles == 0:
		return plural(diamonds, "diamond")
	case diamonds == 0:
		return plural(triangles, "edge triangle")
	}
	return plural(diamonds, "diamond") + " and " + plural(triangles, "edge triangle")
}

// StripSetNumbers returns "Strip set 3" or "Strip sets 1 to 11".
func StripSetNumbers(l quilt.Like) string {
	switch l.Number {
	case 1:
		return fmt.Sprintf("Strip set %d", l.First+1)
	case 2:
		return fmt.Sprintf("Strip sets %d and %d", l.First+1, l.First+2)
	}
	return fmt.Sprintf("Strip sets %d to %d", l.First+1, l.First+l.Number)
}

// LeanWords says which way a strip set is cut.
func LeanWords(l strip.Layout) string {
	if l.Mixed {
		return "both leans"
	}
	return l.Lean.String() + "-leaning"
}

// RowWords spells a strip set out from its left end, right side up: "6
// diamonds, 1 edge triangle (sand on the wide side)".
func RowWords(s quilt.Spec, l strip.Layout) string {
	word := []rune(l.Word)
	if l.Lean == geometry.Left {
		slices.Reverse(word)
	}
	diamond := map[rune]string{'D': l.Lean.String() + "-leaning diamond", 'd': l.Lean.Other().String() + "-leaning diamond"}
	if !l.Mixed {
		diamond['D'] = "diamond"
	}
	var parts []string
	for i := 0; i < len(word); {
		n := 1
		for i+n < len(word) && word[i+n] == word[i] {
			n++
		}
		switch c := word[i]; c {
		case 'D', 'd':
			parts = append(parts, plural(n, diamond[c]))
		case 'L', 'U':
			// A long run of edge triangles reads better as a number.
			m := i
			for m < len(word) && (word[m] == 'L' || word[m] == 'U') {
				m++
			}
			if n = m - i; n > 2 {
				parts = append(parts, fmt.Sprintf("%s turned in turn, the first with %s on the wide side", plural(n, "edge triangle"), wideSide(s, halfOf(c))))
				break
			}
			n = 1
			parts = append(parts, fmt.Sprintf("1 edge triangle with %s on the wide side", wideSide(s, halfOf(c))))
		}
		i += n
	}
	return strings.Join(parts, ", ")
}

func halfOf(letter rune) geometry.Shape {
	if letter == 'L' {
		return geometry.LowerTriangle
	}
	return geometry.UpperTriangle
}
