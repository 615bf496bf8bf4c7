// SPDX-License-Identifier: Apache-2.0

// Package geometry computes the outlines of the pieces that are cut from a
// strip set: diamonds and the edge triangles that are half of one.
//
// # Conventions
//
// Lengths are float64 in one unit, the pattern's (inches or centimetres);
// angles are degrees where a person reads them and the name says so.
//
// The strip frame has x along the strip and y across it; y = 0 is the lower
// raw edge of the strip set, which lies right side up with the first strip
// nearest the reader. x = 0 is the lower-left finished corner of the
// right-leaning diamond, which so stands at (0, seam). Both edge triangles
// keep the coordinates of their half in that diamond. A left-leaning piece is
// the mirror image in x.
//
// Polygons run counter-clockwise and do not repeat the first vertex.
//
// # Same bytes everywhere
//
// Go may fuse a multiplication and an addition into one operation on some
// processors. A product that is added to something is therefore written
// float64(a*b), which the language forbids to fuse, and angles go through
// [Angle], whose sine and cosine are computed here with the same care.
//
// Start with [Cutting], which says how wide the strip set is and at which
// angle it is cut, and ask it for a [Piece].
package geometry
