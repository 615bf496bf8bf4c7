// SPDX-License-Identifier: Apache-2.0

package calibrate

import "lozenge/geometry"

// onALine returns the indices of all points but one at most that lie on one
// line, within a tolerance. Such points fix no homography, and all others do:
// of four in general position no three lie on a line, and where no line holds
// all points but one there are four such.
func onALine(points []geometry.Point, tolerance float64) []int {
	// Of three points two lie on such a line, so one of them begins it; but a
	// short base makes a poor line, so all pairs are tried.
	for i, a := range points {
		for j := i + 1; j < len(points); j++ {
			d := points[j].Sub(a)
			if d.Len() <= tolerance {
				continue
			}
			d = d.Mul(1 / d.Len())
			var on []int
			off := 0
			for k, p := range points {
				if c := d.Cross(p.Sub(a)); c <= tolerance && c >= -tolerance {
					on = append(on, k)
				} else if off++; off > 1 {
					break
				}
			}
			if off <= 1 {
				return on
			}
		}
	}
	return nil
}

// leastTriangle is the part of the screen that three targets must enclose to
// say something about which way round they lie.
const leastTriangle = 0.01

// turnedOver returns three targets whose readings run the other way round
// than those of most others, or ok = false. A homography without a fold keeps
// or turns the sense of all triangles (Marquez-Neila et al., J. Real-Time
// Image Processing 2013).
func turnedOver(s Screen, targets, read []geometry.Point) (three [3]int, ok bool) {
	least := 2 * leastTriangle * float64(s.Width) * float64(s.Height)
	var kept, turned [3]int
	nKept, nTurned := 0, 0
	for i := range targets {
		for j := i + 1; j < len(targets); j++ {
			for k := j + 1; k < len(targets); k++ {
				c := targets[j].Sub(targets[i]).Cross(targets[k].Sub(targets[i]))
				if c <= least && c >= -least {
					continue
				}
				if c*read[j].Sub(read[i]).Cross(read[k].Sub(read[i])) > 0 {
					kept = [3]int{i, j, k}
					nKept++
				} else {
					turned = [3]int{i, j, k}
					nTurned++
				}
			}
		}
	}
	switch {
	case nKept == 0 || nTurned == 0:
		return three, false
	case nKept < nTurned:
		return kept, true
	}
	return turned, true
}
