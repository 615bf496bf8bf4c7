// SPDX-License-Identifier: Apache-2.0

package target

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// Mark returns the lines of a target's mark, v down, at so many pixels to one
// of a screen 1080 high: its two arms and, about the first target, the ring.
func Mark(t calibrate.Target, scale float64) (arms [2][2]geometry.Point, ring []geometry.Point) {
	at := geometry.Point{X: t.U, Y: t.V}
	d := calibrate.ArmLength * scale / math.Sqrt2
	for i, down := range [2]float64{d, -d} {
		arms[i] = [2]geometry.Point{at.Sub(geometry.Point{X: d, Y: down}), at.Add(geometry.Point{X: d, Y: down})}
	}
	if t.Point != 1 {
		return arms, nil
	}
	const sides = 72
	for i := range sides {
		a := geometry.Angle(360 * float64(i) / sides)
		ring = append(ring, at.Add(geometry.Point{X: a.Cos(), Y: a.Sin()}.Mul(calibrate.RingRadius*scale)))
	}
	return arms, ring
}
