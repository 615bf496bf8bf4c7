// SPDX-License-Identifier: Apache-2.0

package export

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// What Decimal reads, strconv reads as the same bits; it reads all that is
// plainly written.
func TestDecimalAsStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.StringMatching(`[-+]?[0-9]{0,17}\.?[0-9]{0,17}`), rapid.StringMatching(`[-+.0-9eExX_ ]{0,9}`)).Draw(t, "s")
		got, ok := Decimal(s)
		want, err := strconv.ParseFloat(s, 64)
		if ok && (err != nil || math.Float64bits(got) != math.Float64bits(want)) {
			t.Fatalf("%q is %v, want %v, %v", s, got, want, err)
		}
	})
	for s, want := range map[string]float64{"0": 0, "-1.5": -1.5, "+2.": 2, ".25": 0.25, "-0": math.Copysign(0, -1), "123456789.012345": 123456789.012345, "000000000000001": 1} {
		if got, ok := Decimal(s); !ok || math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%q is %v, %v", s, got, ok)
		}
	}
	for _, s := range []string{"", "-", ".", "+.", "1e3", "1.2.3", "1 ", " 1", "--1", "1,5", "NaN", "0x1", "1_0", "1234567890123456"} {
		if v, ok := Decimal(s); ok {
			t.Errorf("%q is read as %v", s, v)
		}
	}
}
