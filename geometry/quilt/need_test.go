// SPDX-License-Identifier: Apache-2.0

package quilt

import "testing"

// The count without laying pieces is the count of the pieces laid.
func TestNeedIsWhatIsLaid(t *testing.T) {
	for _, s := range []Setting{Zigzag, Chevron, OneWay} {
		for columns := 1; columns < 6; columns++ {
			for rows := 1; rows < 9; rows++ {
				if got, want := s.Need(columns, rows), countPieces(lay(s, columns, rows)); got != want {
					t.Errorf("%v, %d columns, %d rows: %v, want %v", s, columns, rows, got, want)
				}
			}
		}
	}
}
