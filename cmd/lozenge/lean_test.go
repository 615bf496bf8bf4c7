// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/vector"

	"lozenge/calibrate"
	"lozenge/export/dxf"
	"lozenge/export/measure"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// A right- and a left-leaning piece are followed from the strip to the mat, the
// screen's pixels, SVG, DXF and PDF, by their names. Each file is read back, what
// was cut out of it is drawn as a picture, and the picture judged. Wrong side up,
// a right-leaning piece must look left-leaning. Nothing but Go is needed, so this
// never skips; [TestLeanSurvivesEveryFile] has other programs read the files.
func TestLeanFromTheStripOn(t *testing.T) {
	t.Parallel()
	for _, face := range []string{"up", "down"} {
		dir := t.TempDir()
		file := filepath.Join(dir, "chiral.yaml")
		// Small enough for a template to be on one page.
		writeText(t, file, strings.ReplaceAll(fmt.Sprintf(chiralPattern, face), "cut: 3", "cut: 2"))
		plan := planOf(t, file)
		at := func(name string) string { return filepath.Join(dir, name) }
		looks := func(lean geometry.Lean) geometry.Lean {
			if face == "down" {
				return lean.Other()
			}
			return lean
		}

		for _, lean := range geometry.Leans {
			if got := pictured(t, plan.Set.Piece(geometry.Diamond, lean).Outline); got != lean {
				t.Fatalf("a %v-leaning diamond looks %v-leaning on the strip", lean, got)
			}
		}

		mustRun(t, "make", file, "--out", at("made"))
		mustRun(t, "templates", file, "--out", at("paper"))
		mustRun(t, "cutter", file, "--sheet", "12x24in", "--out", at("sheets"))
		files := []string{"made/pieces.svg", "made/pieces.dxf", "paper/templates.pdf", "sheets/sheet-01.svg"}
		for _, form := range dxf.Forms {
			mustRun(t, "cutter", file, "--from", "one-of-each", "--dxf", form.String(), "--out", at(form.String()))
			files = append(files, form.String()+"/pieces.dxf")
		}
		for _, name := range files {
			seen := [2]int{}
			for lean, outlines := range namedDiamonds(t, at(name)) {
				for _, g := range outlines {
					seen[lean]++
					if got := pictured(t, g); got != looks(lean) {
						t.Errorf("face %s: a %v-leaning diamond looks %v-leaning in %s", face, lean, got, name)
					}
				}
			}
			if seen[0]+seen[1] == 0 || min(seen[0], seen[1]) == 0 && name != "sheets/sheet-01.svg" {
				t.Errorf("%s: %d right-leaning and %d left-leaning diamonds", name, seen[0], seen[1])
			}
		}

		asOnPaper := func(p geometry.Point) geometry.Point { return p }
		if n := namedCuts(t, at("made/mat.svg"), asOnPaper, looks); n[0] == 0 || n[1] == 0 {
			t.Errorf("mat.svg: strip sets by lean: %v", n)
		}
		// Through the lens to the mat again, however the projector hangs.
		for _, turn := range []float64{0, 180} {
			projector := virtual.Tilted()
			projector.Turn += turn
			f, err := projector.Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(f)
			if err != nil {
				t.Fatal(err)
			}
			writeText(t, at("projector.json"), string(data))
			frames := at(fmt.Sprint("frames", turn))
			mustRun(t, "mat", file, "--calibration", at("projector.json"), "--out", frames)
			onMat := func(p geometry.Point) geometry.Point { // 96 pixels to the reader's inch
				x, y := projector.Land(96*p.X, float64(projector.Screen.Height)-96*p.Y)
				return geometry.Point{X: x, Y: y}
			}
			names, _ := filepath.Glob(filepath.Join(frames, "*.svg"))
			sum := [2]int{}
			for _, name := range names {
				n := namedCuts(t, name, onMat, looks)
				sum[0], sum[1] = sum[0]+n[0], sum[1]+n[1]
			}
			if sum[0] == 0 || sum[1] == 0 {
				t.Errorf("turned by %v: frames by lean: %v", turn, sum)
			}
		}
	}
}

// readBack reads a file as measure does.
func readBack(t *testing.T, path string) *measure.Drawing {
	t.Helper()
	d, err := talk{}.readDrawing(path, measure.NoUnit)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

var (
	nameOfDiamond  = regexp.MustCompile(`^(?:PIECE NAME: )?(right|left)-leaning diamond(, cut \d+)?$`)
	nameOfStripSet = regexp.MustCompile(`Strip sets? .*\b(right|left)-leaning\b`)
)

func namedLean(m []string) geometry.Lean {
	if m[1] == "right" {
		return geometry.Right
	}
	return geometry.Left
}

// namedDiamonds returns the outlines of a file that a text calls a diamond: the
// one in which it stands, else the nearest.
func namedDiamonds(t *testing.T, path string) map[geometry.Lean][]geometry.Polygon {
	t.Helper()
	out := map[geometry.Lean][]geometry.Polygon{}
	for _, page := range readBack(t, path).Pages {
		for _, text := range page.Texts {
			m := nameOfDiamond.FindStringSubmatch(text.Value)
			if m == nil {
				continue
			}
			if text.Mirrored {
				t.Errorf("%s: %q reads from the right to the left", path, text.Value)
			}
			var best geometry.Polygon
			near := math.Inf(1)
			for _, p := range page.Paths {
				if !p.Closed || len(p.Points) != 6 || p.Filled {
					continue
				}
				g := geometry.Polygon(p.Points)
				box := g.Bounds()
				off := math.Hypot(max(box.Min.X-text.At.X, 0, text.At.X-box.Max.X), max(box.Min.Y-text.At.Y, 0, text.At.Y-box.Max.Y))
				if holds(g, text.At) {
					off = -1
				}
				if off < near {
					near, best = off, g
				}
			}
			if best == nil {
				t.Fatalf("%s: no outline beside %q", path, text.Value)
			}
			out[namedLean(m)] = append(out[namedLean(m)], best)
		}
	}
	return out
}

// holds reports whether a point lies in a polygon, by the rays that it crosses.
func holds(g geometry.Polygon, p geometry.Point) bool {
	in := false
	for i, a := range g {
		b := g[(i+1)%len(g)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// namedCuts judges the cut lines from edge to edge below each text that names a
// strip set's lean: where there are some, most are crosscuts and lean as it says,
// base lines the other way. It returns how many strip sets of each lean were
// judged.
func namedCuts(t *testing.T, path string, place func(geometry.Point) geometry.Point, looks func(geometry.Lean) geometry.Lean) (seen [2]int) {
	t.Helper()
	page := readBack(t, path).Pages[0]
	var heads []measure.Text
	for _, text := range page.Texts {
		if nameOfStripSet.MatchString(text.Value) {
			heads = append(heads, text)
		}
	}
	slices.SortFunc(heads, func(a, b measure.Text) int { return int(math.Copysign(1, b.At.Y-a.At.Y)) })
	for i, head := range heads {
		lean := namedLean(nameOfStripSet.FindStringSubmatch(head.Value))
		votes, longest := map[geometry.Lean]int{}, 0.0
		var lines [][]geometry.Point
		for _, p := range page.Paths {
			if p.Role != measure.Cut || p.Closed || len(heads) > 1 && (p.Points[0].Y > head.At.Y || i+1 < len(heads) && p.Points[0].Y < heads[i+1].At.Y) {
				continue
			}
			var line []geometry.Point
			for _, q := range p.Points {
				line = append(line, place(q))
			}
			lines = append(lines, line)
			longest = max(longest, line[0].Sub(line[len(line)-1]).Len())
		}
		for _, line := range lines {
			if line[0].Sub(line[len(line)-1]).Len() > longest/2 { // no tip trim
				votes[pictured(t, thick(line, longest/50))]++
			}
		}
		if votes[0]+votes[1] < 5 || votes[0] == votes[1] {
			continue // base lines may be as many there
		}
		if seen[lean]++; votes[looks(lean)] <= votes[looks(lean).Other()] {
			t.Errorf("%s: cut lines below %q: %v", path, head.Value, votes)
		}
	}
	return seen
}

// thick makes an area of a line that is not level.
func thick(line []geometry.Point, by float64) geometry.Polygon {
	var out geometry.Polygon
	for _, p := range line {
		out = append(out, p.Add(geometry.Point{X: by}))
	}
	for _, p := range slices.Backward(line) {
		out = append(out, p.Sub(geometry.Point{X: by}))
	}
	return out
}

// pictured draws an area as a picture, 200 pixels high, and tells which way it
// leans there.
func pictured(t *testing.T, g geometry.Polygon) geometry.Lean {
	t.Helper()
	box := g.Bounds()
	scale := 200 / box.Height()
	wide := int(box.Width()*scale) + 1
	var r vector.Rasterizer
	r.Reset(wide, 200)
	for i, p := range g {
		x, y := float32((p.X-box.Min.X)*scale), float32((box.Max.Y-p.Y)*scale)
		if i == 0 {
			r.MoveTo(x, y)
		} else {
			r.LineTo(x, y)
		}
	}
	r.ClosePath()
	img := image.NewRGBA(image.Rect(0, 0, wide, 200))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	r.Draw(img, img.Rect, image.NewUniform(color.Black), image.Point{})
	return leanIn(t, img, img.Rect)
}
