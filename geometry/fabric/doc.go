// SPDX-License-Identifier: Apache-2.0

// Package fabric computes how much to buy: strips for the strip sets,
// borders, backing, batting and binding, and how large the quilt is once it
// has been quilted and washed.
//
// [Strips] is for the strips of the strip sets, [Borders], [Back], [Bind] and
// [Batt] for what goes round and behind the quilt, from the inside out:
// backing, batting and binding follow the Outer size of the last border.
//
// # Conventions
//
// Lengths are float64 in one unit, the pattern's. What is bought is in yards
// (steps of 1/8) or metres (steps of 10 cm), rounded up, or a number of fat
// quarters or precut strips. Exactly enough is enough, to the tolerance
// [geometry.Fit]: 42 holds 14 three times.
//
// A strip is cut across the fabric, from selvage to selvage: it is as long as
// the fabric's usable width, and takes its own width off the bolt. Strips
// lying side by side are never shared between two widths. Nothing is added
// for squaring up the cut end or for cloth that shrinks before it is cut.
//
// Errors are of type [*Error].
package fabric
