// SPDX-License-Identifier: Apache-2.0

package table

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/outside/virtual"
	"lozenge/geometry"
)

// One way through, in inches and in centimetres, face up and face down: what
// is said is exact is exact against the projector that is really there.
func TestFromStartToFirstCut(t *testing.T) {
	for _, name := range []string{"tide-lap", "meadow-cot", "ember-throw"} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			p := sits(t, planOf(t, name), folder, virtual.Tilted())
			p.rnd = rand.New(rand.NewPCG(1, 2))
			v := p.cuts()
			if !strings.HasPrefix(v.Say, "Lay strip set 1 down") || v.Panel == nil || len(v.Lines) == 0 {
				t.Errorf("%+v", v)
			}
			if len(v.Notes) > 0 {
				t.Errorf("%q", v.Notes)
			}
			m := p.s.using.m
			_, area := m.Area()
			box := area.Bounds()
			var errs []float64
			for x := box.Min.X; x < box.Max.X; x++ {
				for y := box.Min.Y; y < box.Max.Y; y++ {
					u, w, ok := m.ToScreen(x, y)
					if !ok {
						continue
					}
					lx, ly := p.mat.Land(u, w)
					errs = append(errs, math.Hypot(lx-x, ly-y))
				}
			}
			slices.Sort(errs)
			p95 := errs[len(errs)*95/100]
			if said := m.Expected().P95; p95 > 1.5*said || p95 > 0.02 {
				t.Errorf("19 of 20 places are off by up to %.4f in, %.4f was said", p95, said)
			}
			all, damaged := p.s.keeper.calibrations()
			if len(all) != 1 || len(damaged) != 0 || !all[0].Checked || all[0].Mat != "cutting table" || len(all[0].Taken) != 9 || len(all[0].Nudges) == 0 || all[0].Window == nil {
				t.Errorf("kept: %+v, damaged: %v", all, damaged)
			}
		})
	}
}

// A slip in a reading is named with what it should have been, and only that
// cross is read again.
func TestSlipIsNamed(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	p.presses("n")
	v := p.types("table")
	var right string
	for i := range 9 {
		at := crossOf(v)
		text := p.reads(at.X, at.Y)
		if i == 6 {
			right = text
			x, y := p.mat.Land(at.X, at.Y)
			text = calibrate.WriteReading(x+1, 0) + ", " + calibrate.WriteReading(y, 0)
		}
		v = p.types(text)
	}
	p.stage(v, "read")
	if v.Say != "Something stands out." || !strings.Contains(strings.Join(v.More, " "), "cross 7") && !strings.Contains(strings.Join(v.More, " "), "Cross 7") {
		t.Fatalf("%q %q", v.Say, v.More)
	}
	x, _, _ := strings.Cut(right, ",")
	if !strings.Contains(strings.Join(v.More, " "), x) {
		t.Errorf("it should say %s: %q", right, v.More)
	}
	v = p.presses("Enter")
	p.stage(v, "read")
	if !strings.HasPrefix(v.Say, "Cross 7:") || v.Field.Text == "" {
		t.Fatalf("%q %+v", v.Say, v.Field)
	}
	v = p.types(right)
	p.stage(v, "read")
	if !strings.HasPrefix(v.Say, "The readings fit") {
		t.Errorf("%q %q", v.Say, v.More)
	}
}

// Readings that can't be read are refused with what to type, and nothing is
// lost.
func TestWhatSheTypes(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	p.presses("n")
	if v := p.types("  "); v.Stage != "begin" || v.Field.Wrong == "" {
		t.Errorf("%+v", v)
	}
	if v := p.types("table\u202e"); v.Stage != "begin" || v.Field.Wrong == "" {
		t.Errorf("%+v", v)
	}
	p.types("table")
	for _, text := range []string{"", "12 3/32 4 1/2", "12, 4, 5", "twelve, 4", "30 cm, 4", "1,5, 2,5", "12 3/32,", "1e3, 4"} {
		v := p.types(text)
		if v.Stage != "read" || v.Field.Wrong == "" || !strings.HasPrefix(v.Say, "Cross 1") {
			t.Errorf("%q: %q %+v", text, v.Say, v.Field)
		}
	}
	for i, text := range []string{"2, 21 3/8", "2 in, 21.375 in"} {
		if v := p.types(text); !strings.HasPrefix(v.Say, fmt.Sprintf("Cross %d", i+2)) {
			t.Errorf("%q: %q %+v", text, v.Say, v.Field)
		}
	}
	if v := p.presses("Backspace"); !strings.HasPrefix(v.Say, "Cross 2") || v.Field.Text != "2 in" || v.Field.Other.Text != "21.375 in" {
		t.Errorf("%q %+v", v.Say, v.Field)
	}
}

// Whatever separates the two lengths and their decimals where she lives, it
// is read as she means it, or asked for again; with two fields nothing needs
// to stand between them.
func TestPlacesAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		text string
		unit geometry.Unit
		x, y float64 // in the unit
	}{
		{"12, 5", geometry.Inch, 12, 5}, {"12,5", geometry.Inch, 12, 5}, {"12; 5", geometry.Inch, 12, 5}, {"12 3/32, 4 1/2", geometry.Inch, 12.09375, 4.5},
		{"12 3/32;4 1/2", geometry.Inch, 12.09375, 4.5}, {"30 cm, 4 cm", geometry.Inch, 30 / 2.54, 4 / 2.54},
		{"5,1; 54,2", geometry.Centimetre, 5.1, 54.2}, {"30,7 11,45", geometry.Centimetre, 30.7, 11.45}, {"30.7, 11.45", geometry.Centimetre, 30.7, 11.45},
		{"30 11,5", geometry.Centimetre, 30, 11.5}, {"12, 5", geometry.Centimetre, 12, 5}, {"5 cm; 54,3 cm", geometry.Centimetre, 5, 54.3},
	} {
		x, y, _, err := parsePlace(c.text, c.unit)
		if err != nil || math.Abs(c.unit.FromInches(x)-c.x) > 1e-9 || math.Abs(c.unit.FromInches(y)-c.y) > 1e-9 {
			t.Errorf("%q: %v, %v, %v", c.text, c.unit.FromInches(x), c.unit.FromInches(y), err)
		}
	}
	for _, text := range []string{"1,5, 2,5", "30,7, 11,45", "30,7", "12", "1 2 3"} {
		if x, y, _, err := parsePlace(text, geometry.Centimetre); err == nil {
			t.Errorf("%q is taken for %v, %v", text, x, y)
		} else if !strings.Contains(err.Error(), "30.7, 11.45") {
			t.Errorf("%q: %v", text, err)
		}
	}
	p := sits(t, planOf(t, "meadow-cot"), t.TempDir(), virtual.Tilted())
	p.presses("n")
	p.types("table")
	if v := p.types("5,1"); v.Field.At != 1 || v.Field.Wrong != "" || v.Field.Text != "5,1" {
		t.Errorf("%+v", v.Field)
	}
	if v := p.does(action{Do: doType, Text: "5,1", Other: "54,2"}); !strings.HasPrefix(v.Say, "Cross 2") {
		t.Errorf("%q %+v", v.Say, v.Field)
	}
	if v := p.presses("Back"); v.Field.Text != "5,1" || v.Field.Other.Text != "54,2" {
		t.Errorf("%+v", v.Field)
	}
}

// A square that does not measure true is said so, and the calibration is not
// taken for checked.
func TestSquareThatIsOff(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	v := p.measures(p.calibrates(), [4]float64{0.25, 0.25, 0.25 * math.Sqrt2, 0.25 * math.Sqrt2})
	if v.Say != "The square is not true." {
		t.Errorf("%q %q", v.Say, v.More)
	}
	if v := p.presses("Enter"); v.Field == nil {
		t.Errorf("not measured again: %+v", v)
	}
	p.presses("Backspace")
	v = p.measures(p.s.now(), [4]float64{0, 0, 1, 0})
	if !strings.HasPrefix(v.Say, "These four lengths") {
		t.Errorf("%q %q", v.Say, v.More)
	}
	p.presses("U")
	if v = p.types("yes"); v.Stage != "square" || v.Field.Wrong == "" {
		t.Errorf("%q is enough: %+v", "yes", v)
	}
	v = p.types("use")
	p.stage(v, "cut")
	if !slices.ContainsFunc(v.Notes, func(n string) bool { return strings.Contains(n, "did not measure true") }) {
		t.Errorf("%q", v.Notes)
	}
	if all, _ := p.s.keeper.calibrations(); len(all) != 1 || all[0].Checked {
		t.Errorf("%+v", all)
	}
}

// What was kept is offered next time, and she goes on where she stopped: also
// under another projector.
func TestNextTime(t *testing.T) {
	folder := t.TempDir()
	plan := planOf(t, "tide-lap")
	p := sits(t, plan, folder, virtual.Tilted())
	v := p.cuts()
	for range 30 {
		v = p.presses(" ")
	}
	said, done := v.Say, v.More[1]
	if err := p.s.close(); err != nil {
		t.Fatal(err)
	}

	q := sits(t, plan, folder, virtual.Tilted())
	v = q.s.now()
	if !strings.Contains(strings.Join(v.More, "\n"), "1  cutting table: lines within 0.0") {
		t.Fatalf("%q", v.More)
	}
	q.stage(q.presses("1"), "move")
	q.stage(q.presses(" "), "square")
	v = q.presses(" ")
	q.stage(v, "cut")
	if v.Say != said || v.More[1] != done || len(v.Notes) != 1 {
		t.Errorf("%q, was %q; %q, was %q; %q", v.Say, said, v.More[1], done, v.Notes)
	}
	if v = q.presses("Home"); !strings.HasPrefix(v.Say, "Lay strip set 2") || len(v.Notes) != 0 {
		t.Errorf("%q %q", v.Say, v.Notes)
	}
	for range 11 {
		v = q.presses(" ")
	}
	tips := v.Say

	// With a smaller picture the strip set is slid more often.
	small := virtual.Tilted()
	small.Wide = 26
	q.presses("o")
	q.mat = small
	v = q.cuts()
	if v.Say != tips {
		t.Errorf("%q, was %q", v.Say, tips)
	}

	// Another pattern begins at its beginning.
	r := sits(t, planOf(t, "ember-throw"), folder, virtual.Tilted())
	r.presses("1")
	r.presses(" ")
	if v := r.presses(" "); !strings.HasPrefix(v.Say, "Lay strip set 1 ") {
		t.Errorf("%q", v.Say)
	}
}

// A calibration that was kept can be brought up to date by moving its crosses
// alone, when the projector was bumped.
func TestMoveAgain(t *testing.T) {
	folder := t.TempDir()
	plan := planOf(t, "tide-lap")
	sits(t, plan, folder, virtual.Tilted()).cuts()
	bumped := virtual.Tilted()
	bumped.X += 0.2
	bumped.Turn += 0.2
	p := sits(t, plan, folder, bumped)
	p.presses("1")
	p.presses(" ")
	v := p.presses("m")
	n := 0
	for ; v.Cross != nil; n++ {
		v = p.moves(v)
	}
	p.stage(v, "move")
	if n < 8 || !strings.HasPrefix(v.Say, "Done: Lines land within ") {
		t.Fatalf("%d crosses: %q %q", n, v.Say, v.More)
	}
	v = p.measures(p.presses("Enter"), [4]float64{})
	if !strings.HasPrefix(v.Say, "The square is true") {
		t.Errorf("%q", v.More)
	}
	for _, at := range [][2]float64{{200, 200}, {960, 540}, {1700, 900}} {
		x, y := bumped.Land(at[0], at[1])
		u, w, _ := p.s.using.m.ToScreen(x, y)
		if math.Hypot(u-at[0], w-at[1]) > 1 {
			t.Errorf("%v is taken for %v, %v", at, u, w)
		}
	}
}

// The page tells what has become of its window, and the session says what
// that means: lines that would lie are not drawn.
func TestWindowChanges(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	p.cuts()
	p.presses(" ")
	hd := p.mat.Screen
	for _, c := range []struct {
		name   string
		change func(*window)
		says   string // "" for nothing
		draws  bool
	}{
		{"as it was", func(*window) {}, "", true},
		{"zoom", func(w *window) { w.Ratio, w.Wide, w.High = 1.25, 1536, 864 }, "zoom", true},
		{"smaller", func(w *window) { w.High, w.Device[1] = 980, 980 }, "make it fill the screen", false},
		{"other screen", func(w *window) { w.Screen = "2560x1440" }, "2560x1440", true},
		{"moved", func(w *window) { w.Left = 40 }, "moved on the screen", true},
		{"pinched", func(w *window) { w.Pinch = 1.3 }, "two fingers", false},
		{"asleep", func(w *window) { w.Awake = false }, "awake", true},
		{"as it was again", func(*window) {}, "", true},
	} {
		w := fullScreen(hd, 1)
		c.change(w)
		v := p.does(action{Do: doWindow, Window: w})
		notes := strings.Join(v.Notes, " ")
		if c.says == "" && notes != "" || !strings.Contains(notes, c.says) {
			t.Errorf("%s: %q", c.name, notes)
		}
		if drawn := len(v.Lines) > 0; drawn != c.draws {
			t.Errorf("%s: %d lines", c.name, len(v.Lines))
		}
	}
	// In the middle of the readings another size means other crosses.
	p.presses("n")
	p.types("table")
	p.types("2, 21")
	w := fullScreen(calibrate.Screen{Width: 1280, Height: 720}, 1)
	v := p.does(action{Do: doWindow, Window: w})
	if !strings.HasPrefix(v.Say, "Cross 1") || len(v.Notes) != 1 || crossOf(v).X != 64 {
		t.Errorf("%q %q %v", v.Say, v.Notes, crossOf(v))
	}
}

// Readings survive a window of another size, Escape from full screen and the
// end of the program: she goes on at the same cross.
func TestReadingsSurvive(t *testing.T) {
	folder, plan := t.TempDir(), planOf(t, "tide-lap")
	p := sits(t, plan, folder, virtual.Tilted())
	p.presses("n")
	v := p.types("table")
	for range 4 {
		at := crossOf(v)
		v = p.types(p.reads(at.X, at.Y))
	}
	small := fullScreen(calibrate.Screen{Width: 1920, Height: 940}, 1)
	v = p.does(action{Do: doWindow, Window: small})
	if !strings.HasPrefix(v.Say, "Cross 1") || len(v.Notes) != 1 {
		t.Errorf("%q %q", v.Say, v.Notes)
	}
	v = p.does(action{Do: doWindow, Window: fullScreen(p.mat.Screen, 1)})
	if !strings.HasPrefix(v.Say, "Cross 5") || len(v.Notes) != 1 || !strings.Contains(v.Notes[0], "4 crosses") {
		t.Errorf("%q %q", v.Say, v.Notes)
	}
	p.s.close()

	p = sits(t, plan, folder, virtual.Tilted())
	if v = p.presses("n"); !strings.Contains(v.Say, "crosses 1, 2, 3 and 4 on table") {
		t.Errorf("%q", v.Say)
	}
	v = p.presses("On")
	for i := range 5 {
		if !strings.HasPrefix(v.Say, fmt.Sprintf("Cross %d", i+5)) {
			t.Fatalf("%q", v.Say)
		}
		at := crossOf(v)
		v = p.types(p.reads(at.X, at.Y))
	}
	if !strings.HasPrefix(v.Say, "The readings fit together") {
		t.Errorf("%q %q", v.Say, v.More)
	}
	// They can be left alone, and are gone when something has come of them.
	p.presses("Back")
	p.s.stage = &beginning{}
	p.presses("n")
	if v = p.presses("n"); v.Field == nil || v.Field.Label != "mat" {
		t.Errorf("%+v", v)
	}
	p.presses("Back")
	p.cuts()
	p.presses("o")
	if v = p.presses("n"); v.Field == nil || v.Field.Label != "mat" {
		t.Errorf("%q", v.Say)
	}
}

// When the window changes while the crosses of a kept calibration are moved
// again, they are read afresh, and seen.
func TestWindowChangesWhileMoving(t *testing.T) {
	p := sits(t, planOf(t, "tide-lap"), t.TempDir(), virtual.Tilted())
	p.cuts()
	v := p.presses("m")
	p.stage(v, "move")
	if v = p.presses("Backspace"); v.Stage != "square" {
		t.Errorf("%+v", v)
	}
	p.presses("m")
	v = p.does(action{Do: doWindow, Window: fullScreen(calibrate.Screen{Width: 1280, Height: 720}, 1)})
	if v.Stage != "read" || crossOf(v).X != 64 || len(v.Notes) != 1 {
		t.Errorf("%+v", v)
	}
	if v = p.does(action{Do: doWindow, Window: fullScreen(calibrate.Screen{Width: 200, Height: 100}, 1)}); v.Stage != "begin" {
		t.Errorf("%+v", v)
	}
}

// Damaged files are left alone and not offered.
func TestDamagedCalibrations(t *testing.T) {
	folder := t.TempDir()
	plan := planOf(t, "tide-lap")
	sits(t, plan, folder, virtual.Tilted()).cuts()
	k := keeper{folder}
	for name, text := range map[string]string{"half.json": `{"mat": "x", "kind": "proj`, "other.json": `{}`, "empty.json": ``, "two.json": `{} {}`, "newer.json": `{"kind": "projector calibration", "version": 3, "lamp": 1}`} {
		writeFile(t, filepath.Join(folder, calibrations, name), text)
	}
	all, damaged := k.calibrations()
	if len(all) != 1 || len(damaged) != 5 {
		t.Errorf("%d good, damaged: %v", len(all), damaged)
	}
	p := &person{t: t, s: newSession(Config{Plan: plan, Folder: folder})}
	t.Cleanup(func() { p.s.close() })
	v := p.does(action{Do: doWindow, Window: fullScreen(virtual.Tilted().Screen, 1)})
	if len(v.Notes) != 5 || !strings.Contains(v.Notes[0], "damaged") || !strings.Contains(v.Notes[2], "newer.json in the folder of calibrations was written by a newer lozenge and is left alone.") || !strings.Contains(strings.Join(v.More, " "), "1  cutting table") {
		t.Errorf("%q %q", v.Notes, v.More)
	}
}
