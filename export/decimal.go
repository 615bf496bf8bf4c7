// SPDX-License-Identifier: Apache-2.0

package export

// tens are the powers of ten up to which the quotient of a whole number of
// 15 digits is rounded once, as both are held exactly.
var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// Decimal reads a number as most files write it, several times as fast as
// strconv and with the same result: a sign or none, 1 to 15 digits, a point
// or none. ok is false for all else, number or not.
func Decimal(s string) (v float64, ok bool) {
	i, negative := 0, false
	if len(s) > 0 && (s[0] == '-' || s[0] == '+') {
		i, negative = 1, s[0] == '-'
	}
	whole, digits, point := uint64(0), 0, -1
	for ; i < len(s); i++ {
		switch c := s[i] - '0'; {
		case c <= 9:
			whole = whole*10 + uint64(c)
			digits++
		case s[i] == '.' && point < 0:
			point = digits
		default:
			return 0, false
		}
	}
	if digits == 0 || digits > 15 {
		return 0, false
	}
	v = float64(whole)
	if point >= 0 {
		v /= tens[digits-point]
	}
	if negative {
		v = -v
	}
	return v, true
}
