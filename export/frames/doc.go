// SPDX-License-Identifier: Apache-2.0

// Package frames draws cut lines for a projector above a cutting mat: one
// picture after another, since a strip set is longer than what is lit.
//
// [StripSets] lays out the frames for a plan's strip sets and [Strips] those
// for cutting the strips themselves. A [Frame] is plain data in inches on the
// mat, x to the right and y up as the mat's grid reads; [Frame.Write] takes
// it through the calibration to the pixels of the screen. Where the lens
// bends lines they are subdivided.
//
// # Where things lie
//
// The cloth lies along x, its first strip nearest the reader, and is slid to
// the left from frame to frame. It lies in the same place on all frames of
// the strip sets. Behind it stand a check square and what is to be done, in
// letters that read upright for someone standing at the mat's lower edge,
// whichever way round the projector hangs. Nothing is drawn outside the
// calibrated area.
//
// # Which lines a frame shows
//
// A frame shows as many pieces as fit, all with their cut lines; each line is
// to be cut on one frame only and keeps the number that it has in the flat
// drawing. A frame that follows another begins with the piece that was cut
// last: the cut that freed it is the broken line on which the cut edge is
// laid, the one before it is dotted and marked as done.
package frames
