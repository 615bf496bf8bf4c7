// SPDX-License-Identifier: Apache-2.0

package quilt

import (
	"math"
	"testing"
)

// By hand: 2 columns and 1 row of zigzag, strips cut 2 1/2 in: two diamonds, four
// edge triangles. Each diamond touches two edge triangles above and two below but
// where the row ends: 3 above and 3 below. Sides finish 4.619 in long.
func TestWork(t *testing.T) {
	s := ofStripSets(0)
	s.Columns, s.Rows = 2, 1
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	w := p.Work()
	if want := 6 * 8 / math.Sqrt(3); w.Seams != 6 || math.Abs(w.Pieces-want) > 1e-9 {
		t.Errorf("%+v, want %v", w, want)
	}
	n := float64(len(p.Fewest.Layouts))
	if w.StripSets != 42*n || w.Thread != 3*w.Length() || w.Crosscuts < 4 {
		t.Errorf("%+v", w)
	}
}
