// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	imagedraw "image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/geometry"
)

// asEzdxf is what ezdxf makes of a file; see testdata/read_ezdxf.py.
type asEzdxf struct {
	Version            string
	Errors, Fixes      []string
	Units, Measurement int
	Layers, Blocks     []string
	Entities           []struct {
		Layer  string
		Closed bool
		Points [][2]float64
		Text   string
	}
}

// ezdxf finds no error in any form of any sheet, the right unit, and
// everything where our own reader finds it, to 1e-6 in.
func TestEzdxfReadsForms(t *testing.T) {
	python := outside.Python(t, "ezdxf")
	type written struct {
		s    *draw.Drawing
		form Form
		file []byte
	}
	var all []written
	args := []string{filepath.Join("testdata", "read_ezdxf.py")}
	dir := t.TempDir()
	names := []string{"Kateřina Żółć İğdır", "Ώρα, Щёголь", "海の夢", `2⅜″ A\B`}
	for i, s := range pieceSheets(t) {
		if i == 0 {
			for _, name := range names {
				s.Texts = append(s.Texts, draw.Text{Height: 0.1, Value: name})
			}
		}
		for _, form := range Forms {
			w := written{s, form, formed(t, s, form)}
			path := filepath.Join(dir, fmt.Sprintf("%d-%v.dxf", i, form))
			if err := os.WriteFile(path, w.file, 0o644); err != nil {
				t.Fatal(err)
			}
			all, args = append(all, w), append(args, path)
		}
	}
	var got []asEzdxf
	if err := json.Unmarshal(outside.Run(t, python, args...), &got); err != nil || len(got) != len(all) {
		t.Fatal(len(got), err)
	}
	for i, g := range got {
		w := all[i]
		name := fmt.Sprintf("%s %v", w.s.Title, w.form)
		if len(g.Errors) != 0 {
			t.Errorf("%s: errors %q", name, g.Errors)
		}
		for _, fix := range g.Fixes {
			// ezdxf 0.18 drops the owner of every SEQEND within a block, of
			// those that it has written itself too.
			if w.form != SewnProducts || !strings.HasPrefix(fix, "Deleted SEQEND") {
				t.Errorf("%s: mended: %s", name, fix)
			}
		}
		units := w.s.Unit.Of(1, 5)
		version := map[Form]string{AC1015: "AC1015", R12: "AC1009", SewnProducts: "AC1009"}[w.form]
		if w.form == SewnProducts {
			units = w.s.Unit.Of(1, 4)
		}
		if float64(g.Units) != units || float64(g.Measurement) != w.s.Unit.Of(0, 1) || g.Version != version {
			t.Errorf("%s: version %s, units %d, measurement %d", name, g.Version, g.Units, g.Measurement)
		}
		if blocks := len(g.Blocks); (w.form == SewnProducts) != (blocks > 0) || blocks > 0 && blocks != len(w.s.Parts)+1 {
			t.Errorf("%s: blocks %q", name, g.Blocks)
		}
		ours := read(t, w.file)
		layers := map[string]bool{}
		for _, l := range g.Layers {
			layers[l] = true
		}
		for _, l := range ours.Layers {
			if !layers[l] {
				t.Errorf("%s: no layer %s in %q", name, l, g.Layers)
			}
		}
		if len(g.Entities) != len(ours.Entities) {
			t.Errorf("%s: %d entities, we read %d", name, len(g.Entities), len(ours.Entities))
			continue
		}
		mm, _ := ours.Millimetres()
		texts := map[string]bool{}
		for j, e := range g.Entities {
			our := ours.Entities[j]
			var points []geometry.Point
			for _, p := range e.Points {
				points = append(points, geometry.Point{X: p[0], Y: p[1]})
			}
			if e.Layer != our.Layer || e.Closed != our.Closed || e.Text != our.Value || !(apart(points, our.Points)*mm < 25.4e-6) {
				t.Errorf("%s: entity %d is %+v, we read %+v", name, j, e, our)
			}
			texts[e.Text] = true
		}
		for _, name := range names {
			if i == 0 && !texts[name] { // AC1015, the first form
				t.Errorf("no text %q in %v", name, texts)
			}
		}
	}
}

// LibreCAD opens AC1015 and R12 and draws the same in both, where the
// extents say. It prints to a PDF whose name it makes from the input's; its
// exit code is 0 whatever it found, so the ink counts.
func TestLibreCADOpensForms(t *testing.T) {
	outside.OnlyFull(t)
	librecad, pdftoppm := outside.Tool(t, "librecad"), outside.Tool(t, "pdftoppm")
	for _, s := range pieceSheets(t) {
		var pictures [2]inked
		for i, form := range []Form{AC1015, R12} {
			file := formed(t, s, form)
			got, err := drawn(t, librecad, pdftoppm, file)
			if err != nil {
				t.Fatalf("%s %v: %v", s.Title, form, err)
			}
			f := read(t, file)
			lo, _ := f.Point("$EXTMIN")
			hi, _ := f.Point("$EXTMAX")
			// The drawing is as high as its lines; text only reaches
			// farther to the right, by another font's width.
			b := f.Bounds()
			if got.ink < 1000 || got.box.Dx() < 500 {
				t.Errorf("%s %v: %d pixels of ink in %v", s.Title, form, got.ink, got.box)
			}
			shape := float64(got.box.Dx()) / float64(got.box.Dy())
			least, most := b.Width()/b.Height(), (hi.X-lo.X)/(hi.Y-lo.Y)
			if shape < least*0.99 || shape > max(most, least)*1.05 {
				t.Errorf("%s %v: %.3f times as wide as high, want %.3f to %.3f", s.Title, form, shape, least, most)
			}
			pictures[i] = got
		}
		if pictures[0] != pictures[1] {
			t.Errorf("%s: AC1015 is drawn as %v, R12 as %v", s.Title, pictures[0], pictures[1])
		}
	}
	// What is no drawing has no ink: the test can fail.
	empty := []byte(lines("0 SECTION", "2 ENTITIES", "0 ENDSEC", "0 EOF"))
	if got, err := drawn(t, librecad, pdftoppm, empty); err == nil && got.ink != 0 {
		t.Errorf("an empty file is drawn as %v", got)
	}
}

// inked is where a picture is not white, and how much of it.
type inked struct {
	ink int
	box image.Rectangle
}

func drawn(t *testing.T, librecad, pdftoppm string, file []byte) (inked, error) {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "sheet.dxf"), file, 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 40*time.Second)
	defer cancel()
	// It may hang or crash without a screen and without a home of its own.
	cmd := exec.CommandContext(ctx, librecad, "dxf2pdf", "--fit", "sheet.dxf")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "QT_QPA_PLATFORM=offscreen", "HOME="+dir, "XDG_CONFIG_HOME="+dir, "XDG_RUNTIME_DIR="+dir)
	said, failed := cmd.CombinedOutput()
	pdf := filepath.Join(dir, "sheet.pdf")
	if _, err := os.Stat(pdf); err != nil {
		return inked{}, errors.Join(fmt.Errorf("no PDF: %s", said), failed)
	}
	outside.Run(t, pdftoppm, "-scale-to", "1500", "-gray", "-png", "-singlefile", pdf, filepath.Join(dir, "sheet"))
	data, err := os.ReadFile(filepath.Join(dir, "sheet.png"))
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	grey := image.NewGray(picture.Bounds())
	imagedraw.Draw(grey, grey.Bounds(), picture, grey.Bounds().Min, imagedraw.Src)
	var out inked
	for i, v := range grey.Pix {
		if v < 250 { // thin lines of a colour are pale
			x, y := i%grey.Stride, i/grey.Stride
			out.ink++
			out.box = out.box.Union(image.Rect(x, y, x+1, y+1))
		}
	}
	return out, nil
}
