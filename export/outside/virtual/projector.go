// SPDX-License-Identifier: Apache-2.0

// Package virtual has a projector above a mat that exists only in tests. It
// shares no code with what is tested with it.
package virtual

import (
	"math"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// A Projector hangs above a mat: rays go through the pixels, are bent by the
// lens, turned with the projector and cut with the mat's plane.
type Projector struct {
	Screen       calibrate.Screen
	TiltX, TiltY float64 // degrees
	Turn         float64 // of the picture on the mat, counter-clockwise, degrees
	K1           float64 // of the lens
	Wide         float64 // of an untilted picture, in
	X, Y         float64 // where the middle of the picture lies
}

// Tilted hangs askew, with a lens that bends lines by 1 %.
func Tilted() Projector {
	return Projector{Screen: calibrate.Screen{Width: 1920, Height: 1080}, TiltX: 9, TiltY: -6, Turn: 1.5, K1: 0.01, Wide: 38, X: 20, Y: 12}
}

// Land returns where a pixel lights up the mat, in inches.
func (p Projector) Land(u, v float64) (x, y float64) {
	w, h := float64(p.Screen.Width), float64(p.Screen.Height)
	du, dv := (u-w/2)/w, (v-h/2)/w
	bend := 1 + p.K1*(du*du+dv*dv)/((1+h*h/w/w)/4)
	du, dv = du*bend, dv*bend
	const throw = 1.5
	sx, cx := math.Sincos(p.TiltX * math.Pi / 180)
	sy, cy := math.Sincos(p.TiltY * math.Pi / 180)
	// The ray (du, -dv, throw), y up, turned about both axes.
	a, b, c := du, -dv, throw
	b, c = b*cx-c*sx, b*sx+c*cx
	a, c = a*cy+c*sy, c*cy-a*sy
	// The middle ray stays where it is.
	ma, mb, mc := 0.0, -throw*sx, throw*cx
	ma, mc = ma*cy+mc*sy, mc*cy-ma*sy
	x, y = (a/c-ma/mc)*throw*p.Wide, (b/c-mb/mc)*throw*p.Wide
	st, ct := math.Sincos(p.Turn * math.Pi / 180)
	return p.X + x*ct - y*st, p.Y + x*st + y*ct
}

// Lights returns the pixel that lights up a place of the mat (Newton's
// iteration, with differences for derivatives).
func (p Projector) Lights(x, y float64) (u, v float64) {
	u, v = float64(p.Screen.Width)/2, float64(p.Screen.Height)/2
	for range 50 {
		lx, ly := p.Land(u, v)
		const h = 1e-3
		ux, uy := p.Land(u+h, v)
		vx, vy := p.Land(u, v+h)
		a, c, b, d := (ux-lx)/h, (uy-ly)/h, (vx-lx)/h, (vy-ly)/h
		det := a*d - b*c
		u, v = u+(d*(x-lx)-b*(y-ly))/det, v+(a*(y-ly)-c*(x-lx))/det
	}
	return u, v
}

// Calibrated returns the calibration that someone gets who reads a grid of
// crosses without error.
func (p Projector) Calibrated(g calibrate.Grid) (calibrate.File, error) {
	targets, err := calibrate.Targets(p.Screen, g, 1)
	if err != nil {
		return calibrate.File{}, err
	}
	var readings []calibrate.Reading
	for _, t := range targets {
		x, y := p.Land(t.U, t.V)
		readings = append(readings, calibrate.Reading{Point: t.Point, U: t.U, V: t.V, X: x, Y: y})
	}
	lens := calibrate.LensFit
	if p.K1 == 0 {
		lens = calibrate.LensOff
	}
	return calibrate.Solve(readings, p.Screen, calibrate.Options{Lens: lens, Unit: geometry.Inch}).File()
}
