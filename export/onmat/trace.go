// SPDX-License-Identifier: Apache-2.0

package onmat

import (
	"lozenge/calibrate"
	"lozenge/geometry"
)

// step is how long the pieces are at most, in inches, into which a line is
// divided that the lens bends: at 2 % of distortion the middle of one is off
// by less than 3/10000 in.
const step = 1.0

// Trace returns what of a segment of the mat lies in the calibrated area, as
// the polylines that the screen shows: none, one, or, where the lens bends
// the area's sides, perhaps two.
func Trace(m *calibrate.Map, s geometry.Segment) [][]geometry.Point {
	var out [][]geometry.Point
	for _, part := range m.Clip(s) {
		if points, ok := m.Polyline(part, step); ok {
			out = append(out, points)
		}
	}
	return out
}
