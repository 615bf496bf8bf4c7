// SPDX-License-Identifier: Apache-2.0

package calibrate

// strayPixels is how far from its crossing, in pixels of a screen 1920 across,
// a cross is astray: where the readings say so, no reading of it is so bad.
const strayPixels = 150.0

// findStrays is for a cross that was moved so far away that no map fits at
// all. It takes out those that the map of the readings alone has elsewhere,
// and reports whether that was all that was wrong.
func (c *session) findStrays() bool {
	if len(c.nudges) == 0 || !c.names() {
		return false
	}
	before := c.solution
	nudges := c.suspect[len(c.readings):]
	for i := range nudges {
		nudges[i] = true
	}
	ok := c.solve()
	strays := 0
	limit := strayPixels * c.screen.finer()
	for i := range nudges {
		nudges[i] = ok && !(c.compareNudge(i).Residual <= limit)
		if nudges[i] {
			strays++
		}
	}
	if strays > 0 && strays <= c.allowed() && c.solve() {
		return true
	}
	clear(nudges)
	c.solution = before
	return false
}
