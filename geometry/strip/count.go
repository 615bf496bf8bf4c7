// SPDX-License-Identifier: Apache-2.0

package strip

import "lozenge/geometry"

// Count is a number of pieces of each lean and shape.
type Count [2][3]int

// Diamonds returns the number of diamonds of a lean.
func (c Count) Diamonds(l geometry.Lean) int { return c[l][geometry.Diamond] }

// Lower returns the number of lower edge triangles of a lean.
func (c Count) Lower(l geometry.Lean) int { return c[l][geometry.LowerTriangle] }

// Upper returns the number of upper edge triangles of a lean.
func (c Count) Upper(l geometry.Lean) int { return c[l][geometry.UpperTriangle] }

// Lean returns the number of pieces of a lean.
func (c Count) Lean(l geometry.Lean) int { return c[l][0] + c[l][1] + c[l][2] }

// Total returns the number of pieces.
func (c Count) Total() int { return c.Lean(geometry.Right) + c.Lean(geometry.Left) }

// With returns the count with extra pieces of each kind that is needed.
func (c Count) With(extra int) Count {
	for l := range c {
		for s := range c[l] {
			if c[l][s] > 0 {
				c[l][s] += extra
			}
		}
	}
	return c
}
