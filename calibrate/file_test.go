// SPDX-License-Identifier: Apache-2.0

package calibrate_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
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

// refinedFile returns a calibration of readings and nudges, or of nudges
// alone, kept as JSON with the window of its page.
func refinedFile(t testing.TB, alone bool) (calibrate.Result, []byte) {
	t.Helper()
	_, readings, nudges := moved(t, rand.New(rand.NewPCG(12, 12)), nineCrosses, 9, 0.012, 1.0/32, 0.5)
	if alone {
		readings = nil
	}
	nudges[3].U += 60 // one is suspect
	s := calibrate.Refine(readings, nudges, fullHD, calibrate.Options{})
	f, err := s.File()
	if err != nil {
		t.Fatal(err)
	}
	f.Window = &calibrate.Window{PixelRatio: 1.25, Width: 1536, Height: 864, Screen: "HDMI-1, 1920x1080+1920+0", Zoom: 1}
	data, err := json.MarshalIndent(f, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return s, data
}

// A kept calibration is the same map.
func TestFileRoundTrip(t *testing.T) {
	for i := range 4 {
		var s calibrate.Result
		var data []byte
		switch i {
		case 0:
			s, data = fileOf(t, calibrate.LensAuto)
		case 1:
			s, data = fileOf(t, calibrate.LensOff)
		default:
			s, data = refinedFile(t, i == 3)
		}
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

// A file keeps all that was read and moved, suspect or not: solving it again
// comes to the same, and a cross more can be added.
func TestFileSolvesAgain(t *testing.T) {
	for _, alone := range []bool{false, true} {
		s, data := refinedFile(t, alone)
		var f calibrate.File
		if err := json.Unmarshal(data, &f); err != nil {
			t.Fatal(err)
		}
		if len(f.Nudges) != 9 || len(f.Taken) != len(s.Points) || f.Readings != len(s.Points) || f.Window == nil || f.Window.Zoom != 1 {
			t.Errorf("%d nudges, %d taken of %d, window %v", len(f.Nudges), len(f.Taken), f.Readings, f.Window)
		}
		again := calibrate.Refine(f.Taken, f.Nudges, f.Screen, calibrate.Options{})
		if again.Verdict != calibrate.Suspect || *again.Homography != *s.Homography || again.K1 != s.K1 || again.Expected != s.Expected {
			t.Errorf("%s: %v, want %v", again.Verdict, again.Homography, s.Homography)
		}
		if m, err := f.Map(); err != nil || m.Expected() == (calibrate.ExpectedError{}) {
			t.Error(err)
		} else {
			near(t, "degrees of freedom", m.Expected().P95, s.Expected.P95, 1e-10)
		}
	}
}

// A file from before there were nudges, as it was written then.
func TestOldFile(t *testing.T) {
	s, data := fileOf(t, calibrate.LensFit)
	var f calibrate.File
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	f.Taken, f.Version = nil, 1
	old, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"taken", "nudges", "nudge_sigma", "degrees", "window"} {
		if strings.Contains(string(old), key) {
			t.Errorf("%s is written where there is none", key)
		}
	}
	m, err := f.Map()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "p95", m.Expected().P95, s.Expected.P95, 1e-10)
}

// A file is believed only while it tells what its readings and moved crosses give,
// whatever the model: each number is looked at, and so is each reading.
func TestFileAgreesWithItsReadings(t *testing.T) {
	none, flat := fileOf(t, calibrate.LensOff)
	_, lens := fileOf(t, calibrate.LensFit)
	_, whole := fileOf(t, calibrate.LensAuto)
	_, both := refinedFile(t, false)
	if none.Model != calibrate.Flat {
		t.Fatal(none.Model)
	}
	for name, data := range map[string][]byte{"flat": flat, "lens": lens, "whole": whole, "nudged": both} {
		for key, change := range map[string]func(*calibrate.File){
			"verdict": func(f *calibrate.File) {
				f.Verdict = map[calibrate.Verdict]calibrate.Verdict{calibrate.OK: calibrate.Suspect, calibrate.Suspect: calibrate.OK}[f.Verdict]
			},
			"sigma":      func(f *calibrate.File) { f.Sigma *= 1.00001 },
			"homography": func(f *calibrate.File) { f.Homography[0][2] += 1.0 / 1024 },
			"readings":   func(f *calibrate.File) { f.Readings-- },
			"targets":    func(f *calibrate.File) { f.Targets[0][0]++ },
			"covariance": func(f *calibrate.File) {
				if f.Model == calibrate.Whole {
					f.Covariance = [][]float64{{1}}
				} else {
					f.Covariance[0][0] *= 1.00001
				}
			},
			"taken": func(f *calibrate.File) {
				f.Taken, f.Nudges, f.NudgeSigma, f.Degrees = nil, nil, 0, 0
				if f.Model == calibrate.Whole {
					f.Readings = 0 // or that is noticed first
				}
			},
		} {
			var f calibrate.File
			if err := json.Unmarshal(data, &f); err != nil {
				t.Fatal(err)
			}
			if _, err := f.Map(); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			change(&f)
			_, err := f.Map()
			var bad *geometry.Error
			if !errors.As(err, &bad) || bad.Field != key && key != "taken" {
				t.Errorf("%s, %s: %v", name, key, err)
			}
		}
		var f calibrate.File
		if err := json.Unmarshal(data, &f); err != nil {
			t.Fatal(err)
		}
		f.Taken[0].X += 1.0 / 16
		if _, err := f.Map(); err == nil {
			t.Errorf("%s: another reading, and nothing said", name)
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
		{"version", func(f *calibrate.File) { f.Version = 3 }},
		{"screen", func(f *calibrate.File) { f.Screen = calibrate.Screen{} }},
		{"r", func(f *calibrate.File) { f.Screen.Width = 1280 }},
		{"verdict", func(f *calibrate.File) { f.Verdict = "rejected" }},
		{"verdict", func(f *calibrate.File) { f.Verdict = "" }},
		{"model", func(f *calibrate.File) { f.Model = "H+k2" }},
		{"k1", func(f *calibrate.File) { f.K1 = -0.5 }},
		{"k1", func(f *calibrate.File) { f.K1 = math.NaN() }},
		{"k1", func(f *calibrate.File) { f.Model = "H" }},
		{"centre", func(f *calibrate.File) { f.Centre[1] = -541 }},
		{"centre", func(f *calibrate.File) { f.Centre[0] = math.NaN() }},
		{"homography", func(f *calibrate.File) { f.Centre[1] += 0.01 }},
		{"homography", func(f *calibrate.File) { f.Taken[3].X += 1.0 / 64 }},
		{"sigma", func(f *calibrate.File) { f.Sigma *= 0.9 }},
		{"k2", func(f *calibrate.File) { f.Model = "H+k1" }},
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
		{"taken", func(f *calibrate.File) { f.Taken = f.Taken[:23] }},
		{"taken", func(f *calibrate.File) { f.Taken = make([]calibrate.Reading, 101) }},
		{"taken", func(f *calibrate.File) { f.Taken[3].U = -1 }},
		{"taken", func(f *calibrate.File) { f.Taken[3].Y = math.NaN() }},
		{"nudges", func(f *calibrate.File) { f.Degrees, f.NudgeSigma = 20, 0.5 }},
		{"window.device_pixel_ratio", func(f *calibrate.File) { f.Window = &calibrate.Window{Width: 1920, Height: 1080} }},
	} {
		_, data := fileOf(t, calibrate.LensAuto)
		damaged(t, data, c.key, c.damage)
	}
	for _, c := range []struct {
		key    string
		damage func(*calibrate.File)
	}{
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
		{"k1", func(f *calibrate.File) { f.K1 = 0.01 }},
		{"centre", func(f *calibrate.File) { f.Centre[1] = 0 }},
	} {
		_, data := fileOf(t, calibrate.LensOff)
		damaged(t, data, c.key, c.damage)
	}
	for _, c := range []struct {
		key    string
		damage func(*calibrate.File)
	}{
		{"readings", func(f *calibrate.File) { f.Nudges = nil }},
		{"taken", func(f *calibrate.File) { f.Nudges, f.Readings = nil, 9 }},
		{"nudges", func(f *calibrate.File) { f.Nudges = make([]calibrate.Nudge, 101) }},
		{"nudges", func(f *calibrate.File) { f.Nudges[0].V = 1081 }},
		{"nudges", func(f *calibrate.File) { f.Nudges[0].X = 1001 }},
		{"nudges", func(f *calibrate.File) { f.Nudges[8].U = math.Inf(1) }},
		{"readings", func(f *calibrate.File) { f.NudgeSigma = 0 }},
		{"nudge_sigma", func(f *calibrate.File) { f.NudgeSigma = math.NaN() }},
		{"degrees", func(f *calibrate.File) { f.Degrees = 0.5 }},
		{"degrees", func(f *calibrate.File) { f.Degrees = math.Inf(1) }},
		{"readings", func(f *calibrate.File) { f.Readings = -1 }},
		{"window.device_pixel_ratio", func(f *calibrate.File) { f.Window.PixelRatio = math.NaN() }},
		{"window.inner_width", func(f *calibrate.File) { f.Window.Width = 0 }},
		{"window.inner_height", func(f *calibrate.File) { f.Window.Height = math.Inf(1) }},
		{"window.zoom", func(f *calibrate.File) { f.Window.Zoom = -1 }},
		{"window.screen_name", func(f *calibrate.File) { f.Window.Screen = "HDMI\x00" }},
		{"window.screen_name", func(f *calibrate.File) { f.Window.Screen = strings.Repeat("ä", 201) }},
	} {
		_, data := refinedFile(t, true)
		damaged(t, data, c.key, c.damage)
	}
}

// damaged expects the damage to a file to be noticed.
func damaged(t *testing.T, data []byte, key string, damage func(*calibrate.File)) {
	t.Helper()
	var f calibrate.File
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	damage(&f)
	m, err := f.Map()
	var bad *geometry.Error
	if m != nil || !errors.As(err, &bad) || bad.Field != key || !strings.Contains(err.Error(), "solve the readings again") {
		t.Errorf("damage to %s: %v", key, err)
	}
}

// Whatever a file holds: either Validate refuses it with a *geometry.Error, or its
// map takes every place of the picture to the mat and back, and written and
// read again it is the same to the last bit. Run with
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
	for _, alone := range []bool{false, true} {
		_, data := refinedFile(f, alone)
		f.Add(data)
		f.Add([]byte(strings.Replace(string(data), "1920", "1280", 1)))
		f.Add([]byte(strings.Replace(string(data), "0.", "-0.", 1)))
	}
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var file calibrate.File
		if json.Unmarshal(data, &file) != nil {
			return
		}
		m, err := file.Map()
		if err != nil {
			var bad *geometry.Error
			if !errors.As(err, &bad) || bad.Field == "" || m != nil {
				t.Fatalf("%#v", err)
			}
			return
		}
		written, err := json.Marshal(file)
		if err != nil {
			t.Fatalf("a valid file can't be written: %v", err)
		}
		var again calibrate.File
		if err := json.Unmarshal(written, &again); err != nil {
			t.Fatal(err)
		}
		rewritten, err := json.Marshal(again)
		if err != nil || string(rewritten) != string(written) {
			t.Fatalf("written again it is another: %v\n%s\n%s", err, written, rewritten)
		}
		if n, err := again.Map(); err != nil || !reflect.DeepEqual(n, m) {
			t.Fatalf("read again it is another map: %v", err)
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

// A calibration that moved is kept with what was seen, and moves again.
func TestFileMoves(t *testing.T) {
	whole, wholeData := refinedFile(t, false)
	fileMoves(t, whole, wholeData)
	lensed, lensedData := fileOf(t, calibrate.LensFit)
	fileMoves(t, lensed, lensedData)
}

func fileMoves(t *testing.T, s calibrate.Result, data []byte) {
	t.Helper()
	var f calibrate.File
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	m := s.Map
	for i, shift := range []geometry.Point{{X: 0.25, Y: -0.125}, {X: -0.125, Y: 0.0625}} {
		var look calibrate.SecondLook
		for _, c := range m.CheckCrossings(geometry.Inch) {
			// The cross lies right where the picture was before the shift.
			u, v, _ := m.ToScreen(c.X-shift.X, c.Y-shift.Y)
			look.Nudges = append(look.Nudges, calibrate.Nudge{Point: c.Point, U: u, V: v, X: c.X, Y: c.Y})
		}
		c := m.Check(nil, look.Nudges, geometry.Inch)
		if c.Verdict != calibrate.Shifted || c.Shift.Sub(shift).Len() > 0.02 || math.Abs(c.Turn) > 0.05 || !(c.Expected.P95 >= 0.95*c.Before.P95) {
			t.Fatalf("%d: %s, by %v and %v degrees, p95 %v after %v: %v", i, c.Verdict, c.Shift, c.Turn, c.Expected.P95, c.Before.P95, c.Reasons)
		}
		next, err := f.Moved(c, look)
		if err != nil {
			t.Fatal(err)
		}
		again, err := next.Map()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []geometry.Point{{X: 100, Y: 100}, {X: 960, Y: 540}, {X: 1800, Y: 1000}} {
			x, y := m.ToMat(p.X, p.Y)
			nx, ny := again.ToMat(p.X, p.Y)
			cx, cy := c.Map.ToMat(p.X, p.Y)
			if math.Hypot(nx-x-shift.X, ny-y-shift.Y) > 0.03 || math.Hypot(nx-cx, ny-cy) > 1e-9 || math.Abs(again.LocalErrorAt(p.X, p.Y)-c.Map.LocalErrorAt(p.X, p.Y)) > 1e-9 {
				t.Errorf("%v: %v, %v; was %v, %v", p, nx, ny, x, y)
			}
		}
		bad := next
		bad.Homography[0][2] += 0.01
		if _, err := bad.Map(); err == nil {
			t.Error("a moved homography is believed")
		}
		f, m = next, again
	}
	for range calibrate.MostLooks + 1 {
		f.Looks = append(f.Looks, f.Looks[0])
	}
	if err := f.Validate(); err == nil {
		t.Error("too many looks are believed")
	}
}

// Crosses that tell nothing move nothing, whatever they are.
func TestCheckRefuses(t *testing.T) {
	s, _ := refinedFile(t, false)
	at := s.Map.CheckCrossings(geometry.Inch)
	good := func(c calibrate.Crossing) calibrate.Reading {
		return calibrate.Reading{Point: c.Point, U: c.U, V: c.V, X: c.X, Y: c.Y}
	}
	change := func(f func(*calibrate.Reading)) []calibrate.Reading {
		out := []calibrate.Reading{good(at[0]), good(at[1])}
		f(&out[1])
		return out
	}
	for name, list := range map[string][]calibrate.Reading{
		"none":           nil,
		"one":            {good(at[0])},
		"four":           {good(at[0]), good(at[1]), good(at[2]), good(at[0])},
		"the same twice": {good(at[0]), good(at[0])},
		"no number":      change(func(r *calibrate.Reading) { r.X = math.NaN() }),
		"off the mat":    change(func(r *calibrate.Reading) { r.Y = 1e300 }),
		"off the screen": change(func(r *calibrate.Reading) { r.U = 1e6 }),
		"a foot off":     change(func(r *calibrate.Reading) { r.X += 12 }),
	} {
		if c := s.Map.Check(list, nil, geometry.Inch); c.Verdict != calibrate.Again || c.Map != nil || len(c.Reasons) == 0 {
			t.Errorf("%s: %s, %v", name, c.Verdict, c.Reasons)
		}
	}
	if c := s.Map.Check([]calibrate.Reading{good(at[0]), good(at[1])}, nil, geometry.Inch); c.Verdict != calibrate.Good || c.Map == nil {
		t.Errorf("%s, %v", c.Verdict, c.Reasons)
	}
	// Few crosses: good is told, or a large error.
	four, err := calibrate.Targets(fullHD, calibrate.Grid{Columns: 2, Rows: 2}, 1)
	if err != nil {
		t.Fatal(err)
	}
	p := aim(rand.New(rand.NewPCG(3, 3)), 0)
	var readings []calibrate.Reading
	for _, c := range four {
		x, y := p.land(c.U, c.V)
		readings = append(readings, calibrate.Reading{Point: c.Point, U: c.U, V: c.V, X: x, Y: y})
	}
	m := calibrate.Solve(readings, fullHD, calibrate.Options{}).Map
	second := []calibrate.Reading{readings[0], readings[3]}
	if c := m.Check(second, nil, geometry.Inch); c.Verdict != calibrate.Good {
		t.Errorf("four crosses: %s, %v", c.Verdict, c.Reasons)
	}
	second[0].X, second[1].X = second[0].X+0.25, second[1].X+0.25
	if c := m.Check(second, nil, geometry.Inch); c.Verdict == calibrate.Good || !(c.Expected.P95 > c.Before.P95) {
		t.Errorf("four crosses, shifted: %s, %v", c.Verdict, c.Reasons)
	}
}
