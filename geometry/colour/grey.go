// SPDX-License-Identifier: Apache-2.0

package colour

import "sync"

// lightness is L of each of the 256 greys, rising.
var lightness = sync.OnceValue(func() (out [256]int) {
	for v := range out {
		out[v] = LabOf(RGB{uint8(v), uint8(v), uint8(v)}).L
	}
	return out
})

// Grey returns the grey that is as light as a colour: of the 256 that a screen
// has (IEC 61966-2-1) the one nearest in L of CIE 1976 L*a*b* (ISO/CIE
// 11664-4), the darker of two as near.
func Grey(c RGB) RGB {
	l, best := LabOf(c).L, 0
	for v, at := range lightness() {
		if abs(at-l) < abs(lightness()[best]-l) {
			best = v
		}
	}
	return RGB{uint8(best), uint8(best), uint8(best)}
}

func abs(v int) int { return max(v, -v) }
