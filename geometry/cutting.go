// SPDX-License-Identifier: Apache-2.0

package geometry

import (
	"fmt"
	"math"
)

// The angles at which a strip set can be cut, in degrees.
const (
	MinAngle = 15
	MaxAngle = 90
)

// Cutting says how a strip set is cut into diamonds: all that the outline of
// a piece depends on. Lengths are in the pattern's unit.
type Cutting struct {
	Width float64   // of the strip set across, raw edge to raw edge (W)
	Seam  float64   // seam allowance (a)
	Angle Angle     // between the crosscuts and the strip, 15..90 degrees
	Tips  Tips      // matched or sharp
	Seams []float64 // y of the strip set's own seam lines, lowest first
}

// Validate returns an error that names the value that no piece can be cut
// with, or nil.
func (c Cutting) Validate() error {
	switch {
	case !(c.Angle >= MinAngle && c.Angle <= MaxAngle):
		return fmt.Errorf("angle %v is outside %v to %v degrees", float64(c.Angle), MinAngle, MaxAngle)
	case !(c.Seam > 0) || math.IsInf(c.Seam, 0):
		return fmt.Errorf("seam allowance %v is not a positive length", c.Seam)
	case !(c.FinishedWidth() > Fit) || math.IsInf(c.Width, 0):
		return fmt.Errorf("strip set width %v leaves nothing between two seam allowances of %v", c.Width, c.Seam)
	}
	return nil
}

// FinishedWidth returns h = W - 2a, the distance of the finished strip edges.
func (c Cutting) FinishedWidth() float64 { return c.Width - float64(2*c.Seam) }

// FinishedSide returns s = h / sin(angle), the side of the finished diamond.
func (c Cutting) FinishedSide() float64 { return c.FinishedWidth() / c.Angle.Sin() }

// CutSide returns S = W / sin(angle), which is also the spacing of the
// crosscuts along the strip.
func (c Cutting) CutSide() float64 { return c.Width / c.Angle.Sin() }

// ShortDiagonal returns 2s sin(angle/2).
func (c Cutting) ShortDiagonal() float64 {
	return 2 * c.FinishedSide() * (c.Angle / 2).Sin()
}

// LongDiagonal returns 2s cos(angle/2).
func (c Cutting) LongDiagonal() float64 {
	return 2 * c.FinishedSide() * (c.Angle / 2).Cos()
}

// PastSeam returns e = a tan(angle/2): how far the raw edges run past the
// finished corner at an obtuse corner, and at every corner with matched tips.
func (c Cutting) PastSeam() float64 {
	sin, cos := c.Angle.SinCos()
	return c.Seam * (sin / (1 + cos))
}

// BaseSpacing returns 2a / cos(angle/2): how far along the strip two
// diamonds lie apart whose halves share a base line.
func (c Cutting) BaseSpacing() float64 { return 2 * c.Seam / (c.Angle / 2).Cos() }

// Centre returns the centre of the finished diamond in the strip frame.
func (c Cutting) Centre(lean Lean) Point {
	_, cos := c.Angle.SinCos()
	p := Point{float64(c.FinishedSide()*(1+cos)) / 2, c.Width / 2}
	if lean == Left {
		p = p.MirrorX()
	}
	return p
}
