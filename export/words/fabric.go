// SPDX-License-Identifier: Apache-2.0

package words

import (
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
	for _, key := range KeysFromBelow(s) {
		names = append(names, Fabric(s, key))
	}
	return strings.Join(names, ", ")
}

// KeysFromBelow returns the keys of those fabrics.
func KeysFromBelow(s quilt.Spec) []string {
	var keys []string
	for _, st := range s.Strips {
		keys = append(keys, st.Fabric)
	}
	return keys
}

// AnyFabric names the fabrics of the strips as a choice: "Tide blues or
// Shell".
func AnyFabric(s quilt.Spec) string {
	var names []string
	for _, key := range s.StripFabrics() {
		if name := Fabric(s, key); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return Either(names)
}

// StripsOf says which strips are cut from a whole piece: "2 strips cut 2 1/2 in
// wide, 1 strip cut 5 in wide".
func StripsOf(w quilt.Whole, length func(float64) string) string {
	var out []string
	for _, s := range w.Strips {
		out = append(out, Count(s.Full, "strip")+" cut "+length(s.Cut)+" wide")
	}
	return strings.Join(out, ", ")
}
