// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"testing"

	"lozenge/export/frames"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// A browser shows a frame full screen pixel for pixel: every cut line that it
// reads goes through the virtual projector and lands where the row of cut
// lines has it, to 0.0005 in, all along; so do the corners of the check
// square; and the lines are lit on the picture.
func TestChromiumProjectsCutLinesWhereTheyShould(t *testing.T) {
	page := browser.Open(t, browser.Options{})
	all := setups()
	for i, c := range []struct {
		setup string
		edit  func(*quilt.Spec)
	}{
		{"turned 3 mirrored false", nil},
		{"straight", func(s *quilt.Spec) { s.Face = geometry.FaceDown }},
		{"turned 270 mirrored true", func(s *quilt.Spec) {
			s.Unit, s.Seam, s.UsableWidth = geometry.Centimetre, 0.75, 107
			s.Strips[0].Cut, s.Strips[1].Cut = 6, 7.5
		}},
		{"large screen", nil},
	} {
		if i != 1 && !outside.Full() {
			continue
		}
		t.Run(c.setup, func(t *testing.T) {
			projector := all[c.setup]
			p, dir := planOf(t, c.edit), t.TempDir()
			m, _ := projector.calibrate(t)
			list, err := frames.StripSets(p, m)
			if err != nil {
				t.Fatal(err)
			}
			screen := projector.screen
			page.Resize(browser.Options{Width: screen.Width, Height: screen.Height})
			likes, seen := p.Alike(), 0
			var lines map[int]geometry.Segment // of the run of frames, on the mat
			var shift geometry.Point
			for k := range list {
				f := &list[k]
				if f.Slide == 0 {
					lines, likes, shift = cutLines(p, likes[0]), likes[1:], f.Shift
				}
				shift.X -= f.Slide
				file := filepath.Join(dir, f.Name)
				var out bytes.Buffer
				if err := f.Write(&out, m, frames.PlainLook()); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, out.Bytes(), 0o666); err != nil {
					t.Fatal(err)
				}
				d := page.Drawing(file)
				if d.Ratio != 1 || d.Width != float64(screen.Width) || d.Height != float64(screen.Height) {
					t.Fatalf("%s: %v by %v at %v", f.Name, d.Width, d.Height, d.Ratio)
				}
				img := page.Screenshot()
				for _, l := range d.Lines {
					if l.ID == "calibration-square" {
						checkSquare(t, f, l, projector)
						continue
					}
					if l.Group != "cut" && l.Group != "line-up" {
						continue
					}
					seen++
					var number int
					fmt.Sscan(l.Number, &number)
					want, ok := lines[number]
					if !ok {
						t.Fatalf("%s: cut %q", f.Name, l.Number)
					}
					want = want.Move(shift)
					at := func(px [2]float64) geometry.Point {
						x, y := projector.land(px[0], px[1])
						return geometry.Point{X: x, Y: y}
					}
					n := len(l.Points)
					if a, b := at(l.Walked[0]).Sub(want.A).Len(), at(l.Walked[n-1]).Sub(want.B).Len(); !(max(a, b) <= exact) {
						t.Errorf("%s: the ends of cut %d are %.5f and %.5f in off", f.Name, number, a, b)
					}
					for i := range n - 1 {
						a, b := l.Walked[i], l.Walked[i+1]
						middle := [2]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
						for _, q := range [][2]float64{a, middle, b} {
							if off := offLine(at(q), want); !(off <= exact) {
								t.Errorf("%s: cut %d lands %.5f in off", f.Name, number, off)
							}
						}
						if l.Group == "cut" && !lit(img, middle) {
							t.Errorf("%s: cut %d is not lit at %v", f.Name, number, middle)
						}
					}
				}
			}
			if len(likes) != 0 || seen < 20 {
				t.Errorf("%d ways of cutting are not drawn; %d lines", len(likes), seen)
			}
		})
	}
	if e := page.Errors(); len(e) > 0 {
		t.Errorf("%q", e)
	}
}

// cutLines are the cut lines of a row, in inches, by number.
func cutLines(p *quilt.Plan, like quilt.Like) map[int]geometry.Segment {
	out := map[int]geometry.Segment{}
	in := func(g geometry.Point) geometry.Point {
		return geometry.Point{X: p.Spec.Unit.Inches(g.X), Y: p.Spec.Unit.Inches(g.Y)}
	}
	var cuts []strip.Cut = p.Row(like.Layout).Cuts()
	for _, c := range cuts {
		out[c.Number] = geometry.Segment{A: in(c.Line.A), B: in(c.Line.B)}
	}
	return out
}

// checkSquare checks that the four corners of the square are among the
// vertices of its outline, and land a side and a diagonal apart.
func checkSquare(t *testing.T, f *frames.Frame, l browser.Line, p projector) {
	t.Helper()
	for _, c := range f.Square.Rect().Polygon() {
		best := math.Inf(1)
		for _, q := range l.Points {
			x, y := p.land(q[0], q[1])
			best = min(best, (geometry.Point{X: x, Y: y}).Sub(c).Len())
		}
		if !(best <= exact) {
			t.Errorf("%s: a corner of the check square is %.5f in off", f.Name, best)
		}
	}
	if w, size := f.Square.Side, f.Square.Size; size != fmt.Sprintf("%gin", w) && size != fmt.Sprintf("%gcm", math.Round(w*2.54*1e9)/1e9) {
		t.Errorf("%s: the side of the check square of %s is %v", f.Name, size, w)
	}
}

// lit reports whether a pixel at most one away is bright.
func lit(img image.Image, at [2]float64) bool {
	u, v := int(math.Floor(at[0])), int(math.Floor(at[1]))
	for i := -1; i <= 1; i++ {
		for j := -1; j <= 1; j++ {
			if g, _, _, _ := img.At(u+i, v+j).RGBA(); g > 0x8000 {
				return true
			}
		}
	}
	return false
}
