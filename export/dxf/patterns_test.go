// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"testing"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// patterns are quilts in both units, at two angles, of two and three strips,
// cut right side and wrong side up.
func patterns() []quilt.Spec {
	colour := []quilt.Colour{{0x1f, 0x5f, 0x7a}}
	fabrics := func(keys ...string) (out []quilt.Fabric) {
		for _, k := range keys {
			out = append(out, quilt.Fabric{Key: k, Name: k + " blüten", Colours: colour})
		}
		return out
	}
	return []quilt.Spec{{
		Name: "Tide lap quilt", Angle: 60, Seam: 0.25,
		Strips:      []quilt.Strip{{Cut: 2.5, Fabric: "tide"}, {Cut: 2.5, Fabric: "shell"}},
		UsableWidth: 40, Finish: &quilt.Size{Width: 48, Height: 60}, Fabrics: fabrics("tide", "shell"),
	}, {
		Name: "Ember throw", Angle: 45, Seam: 0.25,
		Strips:      []quilt.Strip{{Cut: 2.25, Fabric: "ember"}, {Cut: 2.75, Fabric: "ash"}},
		UsableWidth: 42, Columns: 12, Rows: 10, Fabrics: fabrics("ember", "ash"),
		ColourOrder: quilt.Scattered, EndTrim: 0.5, Spare: 2,
	}, {
		Name: "Meadow cot quilt", Unit: geometry.Centimetre, Angle: 60, Seam: 0.75,
		Strips:      []quilt.Strip{{Cut: 5, Fabric: "moss"}, {Cut: 4, Fabric: "butter"}, {Cut: 5, Fabric: "clover"}},
		UsableWidth: 107, Layout: quilt.Chevron, Columns: 6, Rows: 8, Fabrics: fabrics("moss", "butter", "clover"),
		Face: geometry.FaceDown,
	}}
}

// pieceSheets returns a sheet of each pattern, with one piece of each kind
// that it needs.
func pieceSheets(t testing.TB) []*draw.Drawing {
	t.Helper()
	var out []*draw.Drawing
	for _, spec := range patterns() {
		plan, err := quilt.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		s := sheet.Cutter(plan)
		s.Parts = nil
		next := 0 // path of s
		for _, lean := range geometry.Leans {
			for _, shape := range geometry.Shapes {
				n := plan.Need[lean][shape]
				if n == 0 {
					continue
				}
				seen := lean
				if spec.Face == geometry.FaceDown {
					seen = lean.Other()
				}
				for s.Paths[next].Role != draw.Cut || !s.Paths[next].Closed {
					next++
				}
				piece := plan.Set.Piece(shape, seen)
				piece = piece.Move(s.Paths[next].Points[0].Sub(piece.Outline[0]))
				next++
				// In the middle of the lowest strip.
				band := plan.Set.Bands()[0]
				grain, ok := piece.Outline.Across(piece.Outline.Bounds().Min.Y + (band[0]+band[1])/2)
				if !ok {
					t.Fatal("no grain line")
				}
				quarter := grain.B.Sub(grain.A).Mul(0.25)
				s.Parts = append(s.Parts, draw.Part{
					Name: words.Piece(spec, shape, lean, 1), Number: n,
					Outline: piece.Outline, Finished: piece.Finished, Seams: piece.Seams,
					Grain:  geometry.Segment{A: grain.A.Add(quarter), B: grain.B.Sub(quarter)},
					Labels: []string{"fabric right side up", "2½ in strips"},
				})
			}
		}
		if len(s.Parts) < 3 || s.Square == nil {
			t.Fatalf("%s: %d pieces", spec.Name, len(s.Parts))
		}
		out = append(out, s)
	}
	return out
}

func assemble(s *draw.Drawing, form Form) ([]byte, error) {
	var out bytes.Buffer
	err := WriteForm(&out, s, form)
	return out.Bytes(), err
}

// formed writes a sheet in a form.
func formed(t failer, s *draw.Drawing, form Form) []byte {
	t.Helper()
	out, err := assemble(s, form)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
