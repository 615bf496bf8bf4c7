// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Face says which side of the fabric lies up.
func Face(f geometry.Face) string {
	if f == geometry.FaceDown {
		return "wrong side up"
	}
	return "right side up"
}

// Fabric returns a fabric's name as shown.
func Fabric(s quilt.Spec, key string) string {
	for _, f := range s.Fabrics {
		if f.Key == key && f.Name != "" {
			return f.Name
		}
	}
	return key
}

// FromBelow names the fabrics of the strips, lowest first.
func FromBelow(s quilt.Spec) string {
	var names []string
	for _, st := range s.Strips {
		names = append(names, Fabric(s, st.Fabric))
	}
	return strings.Join(names, ", ")
}

// AnyFabric names the fabrics of the strips as a choice: "Tide blues or
// Shell".
func AnyFabric(s quilt.Spec) string {
	var names []string
	for _, st := range s.Strips {
		if name := Fabric(s, st.Fabric); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return Either(names)
}

// Colours names the colours of strip set k, from 0: "Tide blues colour 2
// (#2f7f9a), Ash colour 1 (#d8d4cc)". Fabrics of one colour are left out.
func Colours(p *quilt.Plan, k int) string {
	numbers, colours := p.ColourNumbers(k), p.Colours(k)
	var parts []string
	for i, st := range p.Spec.Strips {
		name := Fabric(p.Spec, st.Fabric)
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
