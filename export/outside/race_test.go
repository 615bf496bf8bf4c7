// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"testing"
	"time"
)

func TestRace(t *testing.T) {
	var r Race
	for _, s := range []time.Duration{9, 1, 3, 2, 90} {
		r.Round(s*time.Second, 2*s*time.Second)
	}
	if r.Ours() != 3*time.Second || r.Theirs() != 6*time.Second || r.Times() != 2 {
		t.Errorf("%v, %v, %v", r.Ours(), r.Theirs(), r.Times())
	}
	n := 0
	if Timed(5, func() { n++; time.Sleep(time.Millisecond) }) < time.Millisecond || n != 5 {
		t.Errorf("%d times", n)
	}
}
