// SPDX-License-Identifier: Apache-2.0

// Package photo finds where a projector's crosses lie on a cutting mat in one
// photo of both. It computes over pixels and reads no file.
//
// [Read] does all of it, without a tap or a marker:
//
//   - The mat's printed lines are looked for in windows of the photo: profiles
//     in many directions, their autocorrelation for the spacing; from the best
//     window the lattice is followed crossing by crossing.
//   - Homography, lens (k1, k2, k3 and its middle) and lines are fitted
//     together: three passes of profiles across every line, with weights that
//     leave out what is none.
//   - The mat is laid flat, crosses are looked for with their four half arms,
//     and matched with the crosses of the screen.
//   - Each arm is read by profiles in the photo itself; those that shine
//     otherwise, for slanting lines lie there, are left out. A cross is where its
//     arms meet, and how far its points stray says how exact that is.
//   - A ring about the first cross tells the picture from one turned by half.
//
// What does not add up is a [Refusal], never a guess.
//
// # Conventions
//
// Places in the photo are in pixels, x to the right and y down, whole numbers
// between pixels. The mat has x to the right and y up, in inches, x running as
// near as can be to the projected picture's own right. Which printed line is
// called 0 is not on the mat: it is the last one before all crosses, on the left
// and below.
package photo
