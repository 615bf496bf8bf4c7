// SPDX-License-Identifier: Apache-2.0

package calibrate

// Reading is where one cross was seen on the mat.
type Reading struct {
	Point int     `json:"point"` // number of the cross
	U     float64 `json:"u"`     // where it stands on the screen, in pixels
	V     float64 `json:"v"`
	X     float64 `json:"x"` // where it was read on the mat, in inches
	Y     float64 `json:"y"`
	// Sigma is how far off it is by what it was read with, per axis, in inches;
	// 0 where an eye read it and that is not known.
	Sigma float64 `json:"sigma,omitempty"`
	Line  int     `json:"-"` // of the file, from 1; 0 when there was none
}

// MostReadings is how many readings one calibration takes, more than anyone
// reads. The search for exchanged readings grows with the cube of it, and
// takes a second for so many.
const MostReadings = 100
