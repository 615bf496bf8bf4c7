// SPDX-License-Identifier: Apache-2.0

package geometry_test

import (
	"testing"

	"lozenge/geometry"
)

// Every last one of 1 to 12, from every guess, as going through them finds it.
func TestLast(t *testing.T) {
	for most := range 13 {
		for last := range most + 1 {
			for guess := range 15 {
				if got := geometry.Last(most, guess, func(n int) bool {
					if n < 1 || n > most {
						t.Fatalf("asked for %d of %d", n, most)
					}
					return n <= last
				}); got != last {
					t.Errorf("%d of %d, guess %d: %d", last, most, guess, got)
				}
			}
		}
	}
}
