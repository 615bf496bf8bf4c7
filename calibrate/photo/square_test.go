// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"errors"
	"math"
	"testing"

	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
	"lozenge/export/outside"
)

// squared returns a scene with a square of light instead of crosses, cut lines
// about it, and the square's true corners: from the lower left one round, a little
// off each.
func squared(seed uint64, width int, side float64) (scene.Scene, [4][2]float64) {
	s := scene.Good(seed, width)
	s.Things = nil
	p := &s.Projector
	x, y := p.ToMat(float64(p.Width)/2, float64(p.Height)/2)
	// Clear of printed lines: a quarter of an inch, half a centimetre.
	x, y = s.Mat.Step*math.Floor((x-side/2)/s.Mat.Step)+s.Mat.Step/4+.05, s.Mat.Step*math.Floor((y-side/2)/s.Mat.Step)+s.Mat.Step/4+.05
	if s.Mat.Step < .5 {
		x, y = x+s.Mat.Step/4-.05, y+s.Mat.Step/4-.05
	}
	off := func(k int) float64 { return .02 * math.Sin(float64(seed)+2.4*float64(k)) }
	c := [4][2]float64{{x + off(0), y + off(1)}, {x + side + off(2), y + off(3)}, {x + side + off(4), y + side + off(5)}, {x + off(6), y + side + off(7)}}
	p.Strokes = p.Outline(c[:], 2.5)
	for k := range 3 {
		left := x + float64(3*k) - 5
		p.Strokes = append(p.Strokes, p.Outline([][2]float64{{left, y - 2}, {left + 4, y + 5}}, 2.5)...)
	}
	return s, c
}

// TestSquareInPhoto measures a square of light in photos, to the same limit as
// lengths of 24 in have.
func TestSquareInPhoto(t *testing.T) {
	seeds := outside.Of([]uint64{5}, []uint64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
	worst, most := 0.0, 0.0
	for _, seed := range seeds {
		side := 6.0
		if scene.Good(seed, 1000).Mat.Step < 1 {
			side = 15 / 2.54
		}
		s, c := squared(seed, outside.Of(1000, 1600), side)
		f, err := photo.ReadSquare(sent(t, s.Photo()), side, photo.Options{Step: s.Mat.Step})
		if err != nil {
			t.Errorf("scene %d, step %.3f: %v", seed, s.Mat.Step, err)
			continue
		}
		long := func(a, b int) float64 { return math.Hypot(c[a][0]-c[b][0], c[a][1]-c[b][1]) }
		// The phone may have been held the other way up, or across.
		least := math.Inf(1)
		for k := range 4 {
			off := 0.0
			for i, l := range []float64{f.Bottom, f.Right, f.Top, f.Left} {
				off = max(off, math.Abs(l-long((i+k)%4, (i+k+1)%4)))
			}
			off = max(off, math.Abs(f.Rising-long(k, (k+2)%4)), math.Abs(f.Falling-long((k+1)%4, (k+3)%4)))
			least = min(least, off)
		}
		t.Logf("scene %d: within %.4f in, sigma %.4f", seed, least, f.Sigma)
		worst, most = max(worst, least), max(most, least/f.Sigma)
	}
	if worst > outside.Of(0.012, 0.006) {
		t.Errorf("a length is %.4f in off, %.1f of its sigma", worst, most)
	}
}

// TestNoSquare has a photo of crosses be no photo of a square.
func TestNoSquare(t *testing.T) {
	s := scene.Good(5, 1000)
	_, err := photo.ReadSquare(s.Photo(), 6, photo.Options{})
	var no *photo.Refusal
	if !errors.As(err, &no) || no.Rule != photo.NoSquare {
		t.Errorf("%v", err)
	}
}
