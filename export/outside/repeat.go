// SPDX-License-Identifier: Apache-2.0

package outside

import "pgregory.net/rapid"

// DrawRepeat draws the rows of a layout, the top row first: one of the settings, or cells
// of one's own, up to so many wide and high.
func DrawRepeat(t *rapid.T, most int) []string {
	if rapid.Bool().Draw(t, "a setting") {
		return rapid.SampledFrom([][]string{{"L", "R"}, {"l", "R"}, {"R"}}).Draw(t, "setting")
	}
	columns := rapid.IntRange(1, most).Draw(t, "cells wide")
	row := rapid.StringOfN(rapid.RuneFrom([]rune("RLrl")), columns, columns, -1)
	return rapid.SliceOfN(row, 1, most).Draw(t, "cells")
}
