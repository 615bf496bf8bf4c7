// SPDX-License-Identifier: Apache-2.0

package fabric

// Size is a width and a height.
type Size struct{ Width, Height float64 }

// Batt returns the size of the batting for a quilt of the finished size
// outer, with extra on each of its four sides.
func Batt(outer Size, extra float64) Size {
	return Size{outer.Width + float64(2*extra), outer.Height + float64(2*extra)}
}

// AfterWashing returns how large a quilt of the finished size outer is once
// the quilting has drawn it in by takeUp percent and the first wash has
// shrunk what was left by shrinkage percent, both ways alike. The percentages
// are taken as they are.
func AfterWashing(outer Size, shrinkage, takeUp float64) Size {
	left := (100 - takeUp) / 100 * ((100 - shrinkage) / 100)
	return Size{float64(outer.Width * left), float64(outer.Height * left)}
}
