// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/geometry"
)

// fileOf returns a calibration kept as JSON.
func fileOf(t testing.TB, lens calibrate.Lens) (calibrate.Result, []byte) {
	t.Helper()
	r := rand.New(rand.NewPCG(11, 11))
	p := aim(r, 0.012)
	s := calibrate.Solve(p.readGrid(r, calibrate.Grid{Columns: 4, Rows: 3}, 2, 1.0/32), fullHD, calibrate.Options{Lens: lens})
	f, err := s.File()
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.MarshalIndent(f, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return s, data
}

// A kept calibration is the same map.
func TestFileRoundTrip(t *testing.T) {
	for _, lens := range []calibrate.Lens{calibrate.LensAuto, calibrate.LensOff} {
		s, data := fileOf(t, lens)
		var f calibrate.File
		if err := json.Unmarshal(data, &f); err != nil {
			t.Fatal(err)
		}
		m, err := f.Map()
		if err != nil {
			t.Fatal(err)
		}
		if m.Bends() != s.Map.Bends() || m.Screen() != fullHD || m.Mirrored() != s.IsMirrored {
			t.Errorf("bends %v, %v", m.Bends(), m.Screen())
		}
		for u := 0.0; u <= 1920; u += 160 {
			for v := 0.0; v <= 1080; v += 120 {
				x, y := s.Map.ToMat(u, v)
				gx, gy := m.ToMat(u, v)
				near(t, "x", gx, x, 1e-11)
				near(t, "y", gy, y, 1e-11)
				near(t, "error", m.LocalErrorAt(u, v), s.Map.LocalErrorAt(u, v), 1e-11)
			}
		}
		near(t, "p95", m.Expected().P95, s.Expected.P95, 1e-10)
		near(t, "median", m.Expected().Median, s.Expected.Median, 1e-10)
		near(t, "worst", m.Expected().Worst, s.Expected.Worst, 1e-10)
		a, _ := m.Area()
		b, _ := s.Map.Area()
		if len(a) != len(b) {
			t.Errorf("area %v, want %v", a, b)
		}
		if err := f.Fits(fullHD); err != nil {
			t.Error(err)
		}
		err = f.Fits(calibrate.Screen{Width: 1280, Height: 720})
		if err == nil || !strings.Contains(err.Error(), "made for a screen of 1920x1080 pixels, not 1280x720") {
			t.Errorf("%v", err)
		}
	}
}

// Every kind of damage is noticed, and the key is named.
func TestDamagedFile(t *testing.T) {
	for _, c := range []struct {
		key    string
		damage func(*calibrate.File)
	}{
		{"kind", func(f *calibrate.File) { *f = calibrate.File{} }},
		{"kind", func(f *calibrate.File) { f.Kind = "pattern" }},
		{"version", func(f *calibrate.File) { f.Version = 2 }},
		{"screen", func(f *calibrate.File) { f.Screen = calibrate.Screen{} }},
		{"centre", func(f *calibrate.File) { f.Screen.Width = 1280 }},
		{"verdict", func(f *calibrate.File) { f.Verdict = "rejected" }},
		{"verdict", func(f *calibrate.File) { f.Verdict = "" }},
		{"model", func(f *calibrate.File) { f.Model = "H+k2" }},
		{"k1", func(f *calibrate.File) { f.K1 = -0.5 }},
		{"k1", func(f *calibrate.File) { f.K1 = math.NaN() }},
		{"k1", func(f *calibrate.File) { f.Model = "H" }},
		{"centre", func(f *calibrate.File) { f.Centre[1] = 0 }},
		{"r", func(f *calibrate.File) { f.R = 1000 }},
		{"r", func(f *calibrate.File) { f.R = math.NaN() }},
		{"targets", func(f *calibrate.File) { f.Targets = f.Targets[:3] }},
		{"targets", func(f *calibrate.File) { f.Targets[0][0] = -5 }},
		{"targets", func(f *calibrate.File) { f.Targets = [][2]float64{{1, 1}, {2, 2}, {3, 3}, {4, 4}} }},
		{"readings", func(f *calibrate.File) { f.Readings = 3 }},
		{"readings", func(f *calibrate.File) { f.Readings = 1 << 40 }},
		{"sigma", func(f *calibrate.File) { f.Sigma = 0 }},
		{"sigma", func(f *calibrate.File) { f.Sigma = math.Inf(1) }},
		{"homography", func(f *calibrate.File) { f.Homography[0][0] = math.NaN() }},
		{"homography", func(f *calibrate.File) { f.Homography[2][2] = 2 }},
		{"homography", func(f *calibrate.File) { f.Homography[2][0] = 1e-3 }},
		{"homography", func(f *calibrate.File) { f.Homography[2][0] = -1.0 / 960 }},
		{"homography", func(f *calibrate.File) { f.Homography = [3][3]float64{2: {2: 1}} }},
		{"homography", func(f *calibrate.File) {
			for i := range 2 {
				for j := range 3 {
					f.Homography[i][j] *= 2.54
				}
			}
		}},
		{"homography", func(f *calibrate.File) { f.Homography[0][2] = 1e7 }},
		{"covariance", func(f *calibrate.File) { f.Covariance = nil }},
		{"covariance", func(f *calibrate.File) { f.Covariance[3] = nil }},
		{"covariance", func(f *calibrate.File) { f.Covariance[3][3] = -1 }},
		{"covariance", func(f *calibrate.File) { f.Covariance[3][2] += 0.1 }},
		{"covariance", func(f *calibrate.File) { f.Covariance[0][1], f.Covariance[1][0] = 10, 10 }},
		{"covariance", func(f *calibrate.File) {
			for _, row := range f.Covariance {
				for i := range row {
					row[i] *= 1e4
				}
			}
		}},
	} {
		_, data := fileOf(t, calibrate.LensAuto)
		var f calibrate.File
		if err := json.Unmarshal(data, &f); err != nil {
			t.Fatal(err)
		}
		c.damage(&f)
		m, err := f.Map()
		var bad *calibrate.FileError
		if m != nil || !errors.As(err, &bad) || bad.Key != c.key || !strings.Contains(err.Error(), "solve the readings again") {
			t.Errorf("damage to %s: %v", c.key, err)
		}
	}
}

// Whatever a file holds: either Validate refuses it with a *FileError, or its
// map takes every place of the picture to the mat and back. Run with
//
//	go test ./calibrate -run '^$' -fuzz FuzzFile -fuzztime 20s
func FuzzFile(f *testing.F) {
	for _, lens := range []calibrate.Lens{calibrate.LensAuto, calibrate.LensOff} {
		_, data := fileOf(f, lens)
		f.Add(data)
		f.Add([]byte(strings.Replace(string(data), "1920", "1280", 1)))
		f.Add([]byte(strings.Replace(string(data), "-0.", "0.", 1)))
		f.Add([]byte(strings.ReplaceAll(string(data), "e-", "e+")))
	}
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var file calibrate.File
		if json.Unmarshal(data, &file) != nil {
			return
		}
		m, err := file.Map()
		if err != nil {
			var bad *calibrate.FileError
			if !errors.As(err, &bad) || bad.Key == "" || m != nil {
				t.Fatalf("%#v", err)
			}
			return
		}
		w, h := float64(file.Screen.Width), float64(file.Screen.Height)
		for _, at := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}, {0.5, 0.5}, {0.3, 0.9}} {
			u, v := at[0]*w, at[1]*h
			x, y := m.ToMat(u, v)
			bu, bv, ok := m.ToScreen(x, y)
			if !ok || !(math.Hypot(bu-u, bv-v) < 1e-4) || !(m.LocalError(x, y) > 0) || math.IsInf(m.LocalError(x, y), 0) {
				t.Fatalf("(%v, %v) -> (%v, %v) -> (%v, %v) %v, error %v", u, v, x, y, bu, bv, ok, m.LocalError(x, y))
			}
		}
		screen, mat := m.Area()
		if !(screen.Area() > 0) || !(mat.Area() > 0) {
			t.Fatalf("area %v, %v", screen, mat)
		}
		e := m.Expected()
		if !(e.Median > 0 && e.Median <= e.P95 && e.P95 <= e.Worst*1.001) {
			t.Fatalf("%+v", e)
		}
		c := geometry.Point{}
		c.X, c.Y = m.ToMat(w/2, h/2)
		for _, part := range m.Clip(geometry.Segment{A: c, B: c.Add(geometry.Point{X: 30, Y: 7})}) {
			if _, ok := m.Polyline(part, 1); !ok {
				t.Fatalf("%v can't be drawn", part)
			}
		}
	})
}
