// SPDX-License-Identifier: Apache-2.0

package geometry

// Last returns the last of 1 to most that keeps a law which all before it keep,
// begun near a guess; 0 when there is none.
func Last(most, guess int, keeps func(int) bool) int {
	if most < 1 {
		return 0
	}
	low, high := 0, most+1 // low keeps it, high does not
	for at, step := max(min(guess, most), 1), 1; ; step *= 2 {
		if at > low && at < high {
			if keeps(at) {
				low = at
			} else {
				high = at
			}
		}
		if low+1 >= high {
			return low
		}
		switch {
		case low == at && high > most && at+step <= most:
			at += step
		case high == at && low == 0 && at-step >= 1:
			at -= step
		default:
			at = (low + high) / 2
		}
	}
}
