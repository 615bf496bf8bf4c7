// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/export/outside/browser"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// From the beginning to the first cuts with the keyboard alone, at each ratio
// of device pixels to CSS pixels; the lines that are then drawn stand where
// the calibration has them, to half a pixel, and where they land on the mat
// they are as exact as the page says.
func TestFromStartToFirstCut(t *testing.T) {
	for _, scale := range []float64{1, 1.25, 1.5, 2} {
		t.Run(fmt.Sprint(scale), func(t *testing.T) {
			folder := t.TempDir()
			r := startLive(t, folder, "../../testdata/tide-lap.yaml")
			size := browser.Options{Width: int(1920 / scale), Height: int(1080 / scale), Scale: scale, FullScreen: true}
			q := atTheMat(t, r, size, virtual.Tilted())
			q.look("begin")
			v := q.measures(q.calibrates())
			v = q.press("Enter")
			q.stage(v, "cut")
			q.look("lay")
			m := keptMap(t, folder)
			for i := range 3 {
				v = q.press(" ")
				q.stage(v, "cut")
				var number int
				if _, err := fmt.Sscanf(v.Say, "Cut %d,", &number); err != nil || number != i+1 {
					t.Fatalf("%q", v.Say)
				}
				q.straightOn(q.look("cut"), m, number)
			}
			if e := q.page.Errors(); len(e) > 0 {
				t.Errorf("the browser complains: %q", e)
			}
		})
	}
}

// keptMap returns the map of the calibration that was kept.
func keptMap(t *testing.T, folder string) *calibrate.Map {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(folder, "lozenge", "calibrations", "*.json"))
	if len(files) != 1 {
		t.Fatalf("%d calibrations were kept", len(files))
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	var f calibrate.File
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// straightOn checks that the bright line of a cut runs where it should: in
// each row of pixels its middle is compared with where the calibration puts
// the cut, and where that lands with where the cut should be.
func (q *person) straightOn(img image.Image, m *calibrate.Map, number int) {
	q.t.Helper()
	p := planOfFile(q.t, "../../testdata/tide-lap.yaml")
	all, err := frames.StripSets(p, m)
	if err != nil {
		q.t.Fatal(err)
	}
	var cut geometry.Segment
	for _, l := range all[0].Lines {
		if l.Role == frames.Cut && l.Number == number {
			cut = l.Segment
		}
	}
	at := func(t float64) geometry.Point { return cut.A.Add(cut.B.Sub(cut.A).Mul(t)) }
	rows, worst, mat := 0, 0.0, 0.0
	for row := range q.mat.Screen.Height {
		// Where the cut crosses the middle of this row.
		low, high := 0.03, 0.97
		down := func(t float64) float64 {
			_, v, _ := m.ToScreen(at(t).X, at(t).Y)
			return v - (float64(row) + 0.5)
		}
		if down(low)*down(high) >= 0 {
			continue
		}
		for range 50 {
			if mid := (low + high) / 2; down(mid)*down(low) > 0 {
				low = mid
			} else {
				high = mid
			}
		}
		want := at(low)
		if crossed(all[0], want) {
			continue
		}
		u, v, _ := m.ToScreen(want.X, want.Y)
		got := brightMiddle(img, int(u), row)
		if math.IsNaN(got) {
			q.t.Errorf("cut %d is not drawn in row %d", number, row)
			continue
		}
		rows++
		worst = max(worst, math.Abs(got-u))
		x, y := q.mat.Land(got, v)
		d := cut.B.Sub(cut.A)
		mat = max(mat, math.Abs(d.Cross(geometry.Point{X: x, Y: y}.Sub(cut.A)))/d.Len())
	}
	if rows < 100 || worst > 0.5 {
		q.t.Errorf("cut %d: %d rows, off by up to %.3f pixels", number, rows, worst)
	}
	if e := m.Expected(); mat > e.Worst {
		q.t.Errorf("cut %d lands up to %.4f in off, and %.4f in was the worst to be expected", number, mat, e.Worst)
	}
	q.t.Logf("cut %d: %d rows of pixels, drawn within %.3f px of the mapping; on the mat within %.4f in of its place", number, rows, worst, mat)
}

// crossed reports whether another line of the frame runs near there.
func crossed(f frames.Frame, p geometry.Point) bool {
	for _, l := range f.Lines {
		d := l.B.Sub(l.A)
		t := min(1, max(0, p.Sub(l.A).Dot(d)/d.Dot(d)))
		if (l.Role == frames.Sew || l.Role == frames.Mark) && p.Sub(l.A.Add(d.Mul(t))).Len() < 0.15 {
			return true
		}
	}
	return false
}

// brightMiddle returns the middle of the bright line near a pixel of a row;
// the piece beside it is filled with less light.
func brightMiddle(img image.Image, x, row int) float64 {
	sum, at := 0.0, 0.0
	for i := x - 5; i <= x+5; i++ {
		if l := light(img, i, row) - 0.2; l > 0 {
			sum += l
			at += l * (float64(i) + 0.5)
		}
	}
	return at / sum
}

// A whole strip set, and all that can be shown beside it.
func TestThroughAStripSet(t *testing.T) {
	folder := t.TempDir()
	r := startLive(t, folder, "../../testdata/tide-lap.yaml")
	q := atTheMat(t, r, browser.Options{Width: 1920, Height: 1080}, virtual.Tilted())
	v := q.measures(q.calibrates())
	v = q.press("Enter")
	said := []string{v.Say}
	for i := 0; !strings.HasPrefix(v.Say, "Lay strip set 2"); i++ {
		if v = q.press(" "); i > 60 {
			t.Fatalf("still %q", v.Say)
		}
		said = append(said, v.Say)
		if strings.HasPrefix(v.Say, "Blunt") || strings.HasPrefix(v.Say, "Slide") || i == 3 {
			q.look("step")
		}
	}
	t.Logf("%s", strings.Join(said, "\n"))
	for _, key := range []string{"p", "ArrowRight", "ArrowRight", "q"} {
		q.press(key)
		q.look(key)
	}
	q.page.Key("?")
	q.look("help")
	q.page.Key("?")
	q.press("q")
	for _, key := range []string{"a", "k", "c", "g", "b", "+", "+", "+", "+"} {
		q.press(key)
	}
	q.look("changed")
}
