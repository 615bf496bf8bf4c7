// SPDX-License-Identifier: Apache-2.0

// Package onmat lays out on the mat what a page under the projector shows
// beside the cut lines: a check square, one piece, a picture, and the
// rectangle in which the words stand. All of it lies in the calibrated area,
// upright for someone at the mat's lower edge, whichever way round the
// projector hangs.
//
// Places on the mat are in inches, x to the right and y up; places on the
// screen in device pixels, v down.
package onmat
