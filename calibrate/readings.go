// SPDX-License-Identifier: Apache-2.0

package calibrate

// Reading is where one cross was seen on the mat.
type Reading struct {
	Point int     // number of the cross
	U, V  float64 // where it stands on the screen, in pixels
	X, Y  float64 // where it was read on the mat, in inches
	Line  int     // of the file, from 1; 0 when there was none
}

// MostReadings is how many readings one calibration takes, more than anyone
// reads. The search for exchanged readings grows with the cube of it, and
// takes a second for so many.
const MostReadings = 100
