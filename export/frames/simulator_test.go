// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"math"
	"testing"

	"lozenge/calibrate"
)

// A projector is a virtual projector above a mat: rays through the pixels,
// bent by the lens, turned with the projector and cut with the mat's plane.
// It shares no code with the calibration; its readings are exact.
type projector struct {
	screen   calibrate.Screen
	tiltX    float64 // degrees
	tiltY    float64
	turn     float64 // of the picture on the mat, counter-clockwise
	k1       float64
	mirrored bool    // as seen in a mirror
	wide     float64 // of an untilted picture, in
	x, y     float64 // where the middle of the picture lies
}

// land returns where a pixel lights up the mat.
func (p projector) land(u, v float64) (x, y float64) {
	w, h := float64(p.screen.Width), float64(p.screen.Height)
	du, dv := (u-w/2)/w, (v-h/2)/w
	r2 := (du*du + dv*dv) / ((1 + h*h/w/w) / 4)
	du, dv = du*(1+p.k1*r2), dv*(1+p.k1*r2)
	if p.mirrored {
		du = -du
	}
	const throw = 1.5
	sx, cx := math.Sincos(p.tiltX * math.Pi / 180)
	sy, cy := math.Sincos(p.tiltY * math.Pi / 180)
	// The ray (du, -dv, throw), y up, turned about both axes.
	a, b, c := du, -dv, throw
	b, c = b*cx-c*sx, b*sx+c*cx
	a, c = a*cy+c*sy, c*cy-a*sy
	// The middle ray stays where it is.
	ma, mb, mc := 0.0, -throw*sx, throw*cx
	ma, mc = ma*cy+mc*sy, mc*cy-ma*sy
	x, y = (a/c-ma/mc)*throw*p.wide, (b/c-mb/mc)*throw*p.wide
	st, ct := math.Sincos(p.turn * math.Pi / 180)
	return p.x + x*ct - y*st, p.y + x*st + y*ct
}

// calibrate has someone read 5 x 5 crosses without error.
func (p projector) calibrate(t testing.TB) (*calibrate.Map, calibrate.File) {
	t.Helper()
	targets, err := calibrate.Targets(p.screen, calibrate.Grid{Columns: 5, Rows: 5}, 1)
	if err != nil {
		t.Fatal(err)
	}
	var readings []calibrate.Reading
	for _, at := range targets {
		x, y := p.land(at.U, at.V)
		readings = append(readings, calibrate.Reading{Point: at.Point, U: at.U, V: at.V, X: x, Y: y})
	}
	lens := calibrate.LensFit
	if p.k1 == 0 {
		lens = calibrate.LensOff
	}
	r := calibrate.Solve(readings, p.screen, calibrate.Options{Lens: lens})
	f, err := r.File()
	if err != nil {
		t.Fatalf("%+v: %v %v", p, err, r.Reasons)
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	return m, f
}

var (
	fullHD = calibrate.Screen{Width: 1920, Height: 1080}
	home   = projector{screen: fullHD, tiltX: 12, tiltY: -8, turn: 3, k1: 0.02, wide: 36, x: 20, y: 12}
)
