// SPDX-License-Identifier: Apache-2.0

package words

import (
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// Shape names what is cut: "diamond" or "edge triangle".
func Shape(shape geometry.Shape) string {
	if shape == geometry.Diamond {
		return "diamond"
	}
	return "edge triangle"
}

// LeanOf says which way something leans: "right-leaning".
func LeanOf(lean geometry.Lean) string { return lean.String() + "-leaning" }

// Leaning names a shape with its lean: "right-leaning diamond". A piece keeps
// the lean that it has from the right side, whichever side lies up.
func Leaning(lean geometry.Lean, shape geometry.Shape) string {
	return LeanOf(lean) + " " + Shape(shape)
}

// Piece names n pieces of a kind: "right-leaning diamond", "left-leaning edge
// triangles, sand on the wide side".
func Piece(s quilt.Spec, shape geometry.Shape, lean geometry.Lean, n int) string {
	name := Noun(n, Leaning(lean, shape))
	if shape != geometry.Diamond {
		name += ", " + OnWideSide(s, shape)
	}
	return name
}

// Pieces writes how many there are: "6 diamonds and 1 edge triangle".
func Pieces(diamonds, triangles int) string {
	var parts []string
	if diamonds > 0 || triangles == 0 {
		parts = append(parts, Count(diamonds, "diamond"))
	}
	if triangles > 0 {
		parts = append(parts, Count(triangles, "edge triangle"))
	}
	return List(parts)
}

// Diamonds writes how many of them a quilt has: "8 columns, 9 rows".
func Diamonds(columns, rows int) string { return Count(columns, "column") + ", " + Count(rows, "row") }

// WideSide names the fabric on the wide side of an edge triangle.
func WideSide(s quilt.Spec, shape geometry.Shape) string { return Fabric(s, WideSideKey(s, shape)) }

// WideSideKey returns that fabric's key: that of the lowest or of the highest strip.
func WideSideKey(s quilt.Spec, shape geometry.Shape) string {
	if shape == geometry.UpperTriangle {
		return s.Strips[len(s.Strips)-1].Fabric
	}
	return s.Strips[0].Fabric
}

// OnWideSide tells the two edge triangles of a lean apart: "sand on the wide
// side".
func OnWideSide(s quilt.Spec, shape geometry.Shape) string {
	return WideSide(s, shape) + " on the wide side"
}
