// SPDX-License-Identifier: Apache-2.0

package fabric

import (
	"math"

	"lozenge/geometry"
)

// joined returns how long n strips are once sewn end to end: each join takes
// a seam allowance off both.
func joined(n, strip, seam float64) float64 {
	return float64(n*strip) - float64((n-1)*float64(2*seam))
}

// toJoin returns how many strips must be sewn end to end for the length, or
// across how many widths of fabric for a backing. what names the length and
// strip what is joined, in errors.
func toJoin(what value, strip value, seam float64) (int, error) {
	loss := float64(2 * seam)
	if geometry.Fits(what.v, strip.v) {
		return 1, nil
	}
	if geometry.Fits(strip.v, loss) {
		return 0, strip.fail(TooNarrow, loss, "take longer strips, wider fabric or a narrower seam allowance")
	}
	n := math.Ceil((what.v - loss) / (strip.v - loss))
	// The quotient says it to within one.
	if n > 1 && geometry.Fits(what.v, joined(n-1, strip.v, seam)) {
		n--
	} else if !geometry.Fits(what.v, joined(n, strip.v, seam)) {
		n++
	}
	if n > MaxStrips {
		return 0, value{what.what + ": lengths to join", what.index, n}.fail(TooMany, MaxStrips, "take longer strips, or make the quilt smaller")
	}
	return int(n), nil
}
