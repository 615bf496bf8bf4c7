// SPDX-License-Identifier: Apache-2.0

package words

import (
	"math"
	"strconv"
	"strings"

	"lozenge/geometry"
)

// Amount writes what to buy: "1 3/8 yd", "0.7 m", "5 fat quarters", "1 strip".
// Yards come in eighths, metres in tenths; unit is that of
// [lozenge/geometry/fabric.Purchase].
func Amount(buy float64, unit string) string {
	switch unit {
	case "yd":
		return geometry.FormatFraction(buy, 8) + " yd"
	case "m":
		return strconv.FormatFloat(buy, 'f', 1, 64) + " m"
	}
	return Count(int(math.Round(buy)), strings.TrimSuffix(unit, "s"))
}
