// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"lozenge/cmd/internal/pattern"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
	"lozenge/geometry/strip"
)

const chiralPattern = `
unit: in
strips: [{cut: 3, fabric: tide}, {cut: 3, fabric: sand}]
columns: 4
rows: 4
face: %s
`

// dpi at which drawings are rendered for judging.
const dpi = 50

// A right- and a left-leaning piece are followed from the strip to the mat
// drawing, the SVG for the cutter and the DXF, and judged on pictures that
// other programs rendered: librsvg (rsvg-convert) and ezdxf with matplotlib.
// Wrong side up, a right-leaning piece must look left-leaning.
func TestLeanSurvivesEveryFile(t *testing.T) {
	outside.OnlyFull(t)
	rsvg := outside.Tool(t, "rsvg-convert")
	python := outside.Python(t, "ezdxf, matplotlib")
	for _, face := range []string{"up", "down"} {
		dir := t.TempDir()
		file := filepath.Join(dir, "chiral.yaml")
		if err := os.WriteFile(file, fmt.Appendf(nil, chiralPattern, face), 0o666); err != nil {
			t.Fatal(err)
		}
		var talk bytes.Buffer
		if s := run([]string{"make", file, "--out", dir}, nil, &talk, &talk); s != statusDone {
			t.Fatalf("status %d: %s", s, talk.String())
		}
		p, err := pattern.Read(file, nil)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := quilt.New(p.Spec)
		if err != nil {
			t.Fatal(err)
		}
		looks := func(lean geometry.Lean) geometry.Lean {
			if face == "down" {
				return lean.Other()
			}
			return lean
		}

		svg := renderSVG(t, rsvg, filepath.Join(dir, "pieces.svg"))
		matPicture := renderSVG(t, rsvg, filepath.Join(dir, "mat.svg"))
		// Where the layout puts things: see export/sheet. The first piece is
		// the right-leaning diamond at the top left, half an inch in.
		box := plan.Set.Piece(geometry.Diamond, geometry.Right).Outline.Bounds()
		first := image.Rect(dpi/2, dpi/2, int(dpi/2+box.Width()*dpi), int(dpi/2+box.Height()*dpi))
		if got := leanIn(t, svg, first); got != looks(geometry.Right) {
			t.Errorf("face %s: the right-leaning diamond looks %v-leaning in pieces.svg", face, got)
		}

		dxf := renderDXF(t, python, filepath.Join(dir, "pieces.dxf"), 0, -box.Height(), box.Width(), 0)
		if got := leanIn(t, dxf, dxf.Bounds()); got != looks(geometry.Right) {
			t.Errorf("face %s: the right-leaning diamond looks %v-leaning in pieces.dxf", face, got)
		}

		// Strip sets hang below each other, margin and title first: the
		// first crosscut of each. (A base line runs the other way.)
		top := 0.5 + 0.8
		for _, like := range plan.Alike() {
			cuts := plan.Row(like.Layout).Cuts()
			line := cuts[slices.IndexFunc(cuts, func(c strip.Cut) bool { return c.Kind == strip.CrosscutCut })].Line
			left, right := min(line.A.X, line.B.X), max(line.A.X, line.B.X)
			at := image.Rect(int((0.5+left)*dpi), int(top*dpi), int((0.5+right)*dpi), int((top+plan.Set.Width)*dpi))
			if got := leanIn(t, matPicture, at); got != looks(like.Lean) {
				t.Errorf("face %s: the %v-leaning strip set looks %v-leaning in mat.svg", face, like.Lean, got)
			}
			top += plan.Set.Width + 0.8 + 0.4 + 0.5
		}
	}
}

func renderSVG(t *testing.T, rsvg, path string) image.Image {
	t.Helper()
	data := outside.Run(t, rsvg, "--dpi-x", fmt.Sprint(dpi), "--dpi-y", fmt.Sprint(dpi), "--background-color", "white", path)
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// renderDXF draws the part of a DXF between two corners, y up.
func renderDXF(t *testing.T, python, path string, x0, y0, x1, y1 float64) image.Image {
	t.Helper()
	out := filepath.Join(t.TempDir(), "dxf.png")
	outside.Run(t, python, "-c", `
import sys, ezdxf, logging
logging.disable(logging.CRITICAL)
import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
from ezdxf.addons.drawing import RenderContext, Frontend
from ezdxf.addons.drawing.properties import LayoutProperties
from ezdxf.addons.drawing.matplotlib import MatplotlibBackend
path, out = sys.argv[1:3]
x0, y0, x1, y1 = map(float, sys.argv[3:])
doc = ezdxf.readfile(path)
fig = plt.figure(figsize=(x1 - x0, y1 - y0), facecolor="white")
ax = fig.add_axes([0, 0, 1, 1])
ctx = RenderContext(doc)
msp = doc.modelspace()
look = LayoutProperties.from_layout(msp)
look.set_colors("#FFFFFF", "#000000")
Frontend(ctx, MatplotlibBackend(ax)).draw_layout(msp, finalize=False, layout_properties=look)
ax.set_xlim(x0, x1)
ax.set_ylim(y0, y1)
fig.savefig(out, dpi=50, facecolor="white")
`, path, out, fmt.Sprint(x0), fmt.Sprint(y0), fmt.Sprint(x1), fmt.Sprint(y1))
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// leanIn judges a part of a picture: right-leaning when the dark pixels near
// its top lie farther right than those near its bottom.
func leanIn(t *testing.T, img image.Image, r image.Rectangle) geometry.Lean {
	t.Helper()
	mean := func(from, to float64) float64 {
		sum, n := 0.0, 0.0
		for y := r.Min.Y + int(from*float64(r.Dy())); y < r.Min.Y+int(to*float64(r.Dy())); y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				c, _, _, _ := img.At(x, y).RGBA()
				if dark := 1 - float64(c)/0xffff; dark > 0.4 {
					sum += float64(x) * dark
					n += dark
				}
			}
		}
		if n == 0 {
			t.Fatalf("nothing drawn in %v of %v", r, img.Bounds())
		}
		return sum / n
	}
	if mean(0.15, 0.4) > mean(0.6, 0.85) {
		return geometry.Right
	}
	return geometry.Left
}
