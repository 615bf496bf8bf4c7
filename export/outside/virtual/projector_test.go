// SPDX-License-Identifier: Apache-2.0

package virtual

import (
	"math"
	"testing"
)

// A projector that hangs straight shows a rectangle of the size asked for, y
// up; one that is tilted lights each place that it says it lights.
func TestProjector(t *testing.T) {
	p := Tilted()
	p.TiltX, p.TiltY, p.Turn, p.K1 = 0, 0, 0, 0
	x0, y0 := p.Land(0, 0)
	x1, y1 := p.Land(1920, 1080)
	if math.Abs(x0-1) > 1e-9 || math.Abs(x1-39) > 1e-9 || math.Abs(y0-(12+38*9.0/32)) > 1e-9 || math.Abs(y1-(12-38*9.0/32)) > 1e-9 {
		t.Errorf("straight: %v, %v to %v, %v", x0, y0, x1, y1)
	}
	p = Tilted()
	for _, at := range [][2]float64{{0, 0}, {1920, 0}, {960, 540}, {300, 1000}} {
		u, v := p.Lights(p.Land(at[0], at[1]))
		if math.Hypot(u-at[0], v-at[1]) > 1e-6 {
			t.Errorf("%v comes back as %v, %v", at, u, v)
		}
	}
}
