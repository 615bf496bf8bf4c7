// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// The least difference from a sixteenth of an inch that shows in three
// decimals.
const shownDifference = "0.0005"

const notALength = "not a length"

// FormatLength writes v, given in u, as a quilter does, with its unit.
//
// Inches are fractions to 1/16, the nearest (a half goes away from zero).
// Where that is off by what three decimals can show, they follow: 5 3/16 in
// (5.196). Centimetres have at most two decimals, for 0.1 mm is what cloth can
// show: 12.7 cm.
//
// Decimals are rounded from the shortest decimal number that is v, halves
// away from zero: 2.675 becomes 2.68, although the float64 lies just below.
// Values that are not finite give "not a length".
func FormatLength(v float64, u Unit) string {
	number, note := formatLength(v, u)
	if number == notALength {
		return number
	}
	return number + " " + u.String() + note
}

// FormatNumber writes v as [FormatLength] does, without the unit.
func FormatNumber(v float64, u Unit) string {
	number, note := formatLength(v, u)
	return number + note
}

// formatLength returns the number, and the decimals that go behind the unit.
func formatLength(v float64, u Unit) (number, note string) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return notALength, ""
	}
	exact, _ := new(big.Rat).SetString(strconv.FormatFloat(v, 'f', -1, 64))
	if u == Centimetre {
		text := strings.TrimRight(strings.TrimRight(exact.FloatString(2), "0"), ".")
		if text == "-0" {
			text = "0"
		}
		return text, ""
	}
	// Above 2^53 the shortest decimal number is not v itself.
	if asIs := new(big.Rat).SetFloat64(v); inSixteenths(asIs).Cmp(asIs) == 0 {
		exact = asIs
	}
	nearest := inSixteenths(exact)
	off := new(big.Rat).Sub(exact, nearest)
	least, _ := new(big.Rat).SetString(shownDifference)
	if off.Abs(off).Cmp(least) >= 0 {
		note = " (" + exact.FloatString(3) + ")"
	}
	return mixedNumber(nearest), note
}

// inSixteenths returns the nearest multiple of 1/16, a half away from zero.
func inSixteenths(v *big.Rat) *big.Rat {
	sixteen := big.NewRat(16, 1)
	n := new(big.Rat).Mul(v, sixteen)
	n.SetString(n.FloatString(0))
	return n.Quo(n, sixteen)
}

// FormatFraction writes v to the nearest 1/parts, a half away from zero, as a
// mixed number in lowest terms and without a unit: 18 3/32. Values that are not
// finite give "not a length".
func FormatFraction(v float64, parts int64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return notALength
	}
	n := new(big.Rat).SetInt64(parts)
	return mixedNumber(n.Quo(new(big.Rat).SetFloat64(math.Round(v*float64(parts))), n))
}

// mixedNumber writes a fraction in lowest terms: -2 1/2, 3/8, 5.
func mixedNumber(v *big.Rat) string {
	sign := ""
	if v.Sign() < 0 {
		sign = "-"
	}
	whole, rest := new(big.Int).QuoRem(new(big.Int).Abs(v.Num()), v.Denom(), new(big.Int))
	switch {
	case rest.Sign() == 0:
		return sign + whole.String()
	case whole.Sign() == 0:
		return fmt.Sprintf("%s%v/%v", sign, rest, v.Denom())
	}
	return fmt.Sprintf("%s%v %v/%v", sign, whole, rest, v.Denom())
}
