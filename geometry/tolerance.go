// SPDX-License-Identifier: Apache-2.0

package geometry

// The one tolerance policy. Coordinates come from closed forms and are good
// to about 1e-13 of a length of 100; both tolerances stand far above that
// and far below what cloth can show.
const (
	// Fit is how much too short a strip may be and still count as long
	// enough, and how much too small a quilt may be and still cover a size:
	// exactly long enough is long enough, in spite of rounding.
	Fit = 1e-9
	// Clip is how near a point must lie to a clipping line to lie on it, and
	// how near two vertices must lie to be one.
	Clip = 1e-11
)

// Fits reports whether need is within have, to the tolerance [Fit].
func Fits(need, have float64) bool { return need <= have+Fit }
