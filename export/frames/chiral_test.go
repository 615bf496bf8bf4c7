// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

// A crosscut is followed to a picture of the screen that librsvg renders, and
// from its light pixels through the virtual projector back to the mat: there
// a right-leaning one must lean right, however the projector hangs, and left
// when the fabric lies wrong side up.
func TestLeanSurvivesTheProjector(t *testing.T) {
	rsvg := outside.Tool(t, "rsvg-convert")
	all := setups()
	few := map[string][]geometry.Face{"turned 270 mirrored true": {geometry.FaceDown}}
	for name, faces := range outside.Of(few, map[string][]geometry.Face{
		"turned 3 mirrored false":   {geometry.FaceUp, geometry.FaceDown},
		"turned 3 mirrored true":    {geometry.FaceDown},
		"turned 90 mirrored false":  {geometry.FaceUp},
		"turned 180 mirrored false": {geometry.FaceDown},
		"turned 270 mirrored true":  {geometry.FaceUp, geometry.FaceDown},
	}) {
		projector := all[name]
		m, _ := projector.calibrate(t)
		for _, face := range faces {
			p := planOf(t, func(s *quilt.Spec) { s.Face = face })
			all, err := frames.StripSets(p, m)
			if err != nil {
				t.Fatal(err)
			}
			i, seen := 0, [2]bool{}
			for _, like := range p.Alike() {
				first := i
				for i++; i < len(all) && all[i].Slide > 0; i++ {
				}
				if seen[like.Lean] {
					continue // one of each lean
				}
				seen[like.Lean] = true
				want := like.Lean
				if face == geometry.FaceDown {
					want = want.Other()
				}
				if got := leanOf(t, rsvg, &all[first], m, p, like, projector); got != want {
					t.Errorf("%s, face %v: a %v-leaning strip set looks %v-leaning on the mat", name, face, like.Lean, got)
				}
			}
			if seen != [2]bool{true, true} {
				t.Errorf("%s: leans looked at: %v", name, seen)
			}
		}
	}
}

// leanOf judges the first crosscut of a frame, where it lies on the mat.
func leanOf(t *testing.T, rsvg string, f *frames.Frame, m *calibrate.Map, p *quilt.Plan, like quilt.Like, projector projector) geometry.Lean {
	t.Helper()
	path := filepath.Join(t.TempDir(), f.Name)
	var out bytes.Buffer
	if err := f.Write(&out, m, frames.PlainLook()); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, out.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(outside.Run(t, rsvg, path)))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != fullHD.Width || b.Dy() != fullHD.Height {
		t.Fatalf("the picture is %v", b)
	}
	light := func(u, v int) bool { // seams and numbers of what is done are fainter
		switch img := img.(type) {
		case *image.RGBA:
			return img.Pix[img.PixOffset(u, v)] > 0xd0
		case *image.NRGBA:
			return img.Pix[img.PixOffset(u, v)] > 0xd0
		}
		c, _, _, _ := img.At(u, v).RGBA()
		return c > 0xd000
	}
	cuts := p.Row(like.Layout).Cuts()
	line := cuts[slices.IndexFunc(cuts, func(c strip.Cut) bool { return c.Kind == strip.CrosscutCut })].Line.Move(f.Shift)
	left, right := min(line.A.X, line.B.X), max(line.A.X, line.B.X)
	var sum, n [2]float64 // of x: in the lower and in the upper part
	for v := range fullHD.Height {
		for u := range fullHD.Width {
			if !light(u, v) {
				continue
			}
			x, y := projector.land(float64(u)+0.5, float64(v)+0.5)
			if x < left || x > right {
				continue
			}
			switch part := (y - line.A.Y) / (line.B.Y - line.A.Y); {
			case part > 0.1 && part < 0.35:
				sum[0], n[0] = sum[0]+x, n[0]+1
			case part > 0.6 && part < 0.9:
				sum[1], n[1] = sum[1]+x, n[1]+1
			}
		}
	}
	low, high := sum[0]/n[0], sum[1]/n[1]
	if math.IsNaN(low) || math.IsNaN(high) {
		t.Fatalf("%s: no line where a crosscut should lie", f.Name)
	}
	if high > low {
		return geometry.Right
	}
	return geometry.Left
}
