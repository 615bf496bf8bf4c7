// SPDX-License-Identifier: Apache-2.0

package quilt

import "testing"

// What is bought suffices at the counter: by hand, with 2 in lost of each
// purchase. Binding of a queen, 84 by 92 in with a drop, 362 in with 10 to spare,
// from 40 in: joined on the diagonal n strips of 2 1/2 in give 40 n - 2.5 (n - 1), 10
// give 377.5 and 9 340; straight across at 1/4 in 10 give 395.5 and 9 356. 10 strips
// take 25 in, and with 2 in 27: exactly 3/4 yd.
func TestAtTheCounter(t *testing.T) {
	s := ofStripSets(0)
	s.Finish = &Size{84, 92}
	s.UsableWidth, s.Straighten, s.Binding.Extra = 40, 2, 10
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	if total := 2*(p.Outer.Width+p.Outer.Height) + 10; p.Binding.Total != total || total < 340 || total > 377.5 {
		t.Fatalf("%+v", p.Binding)
	}
	if p.Binding.Strips != 10 || p.Binding.Length != 25 || p.Binding.Buy != 0.75 {
		t.Errorf("%+v", p.Binding)
	}
	for _, c := range p.Cloth {
		if c.Buy*36 < c.Length+2-1e-9 || c.Buy*36 >= c.Length+2+4.5 {
			t.Errorf("%+v", c.Purchase)
		}
	}
	if b := p.Backing; b.Buy*36 < b.Length+float64(2*b.Panels)-1e-9 || b.Buy*36 >= b.Length+float64(2*b.Panels)+4.5 {
		t.Errorf("%+v", b)
	}
}
