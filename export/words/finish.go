// SPDX-License-Identifier: Apache-2.0

package words

import (
	"fmt"

	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// MeasureFirst says that borders are cut to the top as it is; it stands before
// their lengths.
const MeasureFirst = "Measure your own top through its middle before you cut a border, and cut to that."

// Straightened says what of each purchase is lost at its cut end; "" for nothing.
func Straightened(s quilt.Spec) string {
	if !(s.Straighten > geometry.Fit) {
		return ""
	}
	return fmt.Sprintf("Each amount in %s holds %s for straightening its cut end.", map[geometry.Unit]string{geometry.Inch: "yards", geometry.Centimetre: "metres"}[s.Unit], geometry.FormatLength(s.Straighten, s.Unit))
}

// BindingJoins says how the strips of the binding are joined: "on the diagonal".
func BindingJoins(s quilt.Spec) string {
	if s.Binding.Joins == quilt.StraightJoins {
		return "straight across"
	}
	return "on the diagonal"
}
