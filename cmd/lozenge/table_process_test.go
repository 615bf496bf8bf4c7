// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"lozenge/calibrate"
	"lozenge/export"
	"lozenge/export/outside"
	"lozenge/export/outside/virtual"
)

// do tells the page's server something, as the page does.
func (r *running) do(action string) error {
	answer, err := http.Post(r.address+"do", "application/json", strings.NewReader(action))
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	io.Copy(io.Discard, answer.Body)
	if answer.StatusCode != 200 {
		return fmt.Errorf("%s: %s", action, answer.Status)
	}
	return nil
}

const openWindow = `{"do":"window","window":{"ratio":1,"wide":1920,"high":1080,"left":0,"top":0,"device":[1920,1080],"screen":"1920x1080","pinch":1,"secure":true,"awake":true}}`

func pressed(key string) string { return fmt.Sprintf(`{"do":"key","text":%q}`, key) }

// givenCalibration writes a calibration for the virtual projector.
func givenCalibration(t testing.TB) string {
	t.Helper()
	f, err := virtual.Tilted().Calibrated(calibrate.Grid{Columns: 5, Rows: 5})
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "projector.json")
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// The address stands alone on standard output and answers; Ctrl and C ends it
// with status 0, and where she stopped is kept.
func TestTableStopsCleanly(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no Ctrl and C from another process on Windows")
	}
	folder := t.TempDir()
	r := startTable(t, folder, "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	answer, err := http.Get(r.address)
	if err != nil || answer.StatusCode != 200 {
		t.Fatalf("%v, %v", answer, err)
	}
	answer.Body.Close()
	for _, a := range []string{openWindow, pressed("1"), pressed(" "), pressed(" ")} {
		if err := r.do(a); err != nil {
			t.Fatal(err)
		}
	}
	if v := r.view(t); !strings.HasPrefix(v.Say, "Cut 2") || v.Face != "right side up" {
		t.Errorf("%+v", v)
	}
	if err := r.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	rest := <-r.rest
	if err := r.Wait(); err != nil {
		t.Errorf("%v; %s", err, r.said)
	}
	if rest != "" || r.said.Len() > 0 {
		t.Errorf("it also said %q and %q", rest, r.said)
	}
	r = startTable(t, folder, "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	for _, a := range []string{openWindow, pressed("1")} {
		if err := r.do(a); err != nil {
			t.Fatal(err)
		}
	}
	if v := r.view(t); !strings.HasPrefix(v.Say, "Cut 2") {
		t.Errorf("next time: %+v", v)
	}
}

// With --open the desktop is asked to open an address that leads to the page
// that is printed, once: others may read it meanwhile.
func TestTableOpensTheBrowser(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("xdg-open is Linux's")
	}
	bin := t.TempDir()
	asked := filepath.Join(bin, "asked")
	if err := os.WriteFile(filepath.Join(bin, "xdg-open"), []byte("#!/bin/sh\nprintf %s \"$1\" > "+asked+".new && mv "+asked+".new "+asked+"\n"), 0o777); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", bin+string(filepath.ListSeparator)+os.Getenv("PATH"))
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--open")
	for range 500 {
		if data, err := os.ReadFile(asked); err == nil {
			answer, err := http.Get(string(data))
			if err != nil {
				t.Fatal(err)
			}
			answer.Body.Close()
			if string(data) == r.address || answer.StatusCode != 200 || answer.Request.URL.String() != r.address {
				t.Errorf("%s was opened and leads to %v, not to %s: %s", data, answer.Request.URL, r.address, answer.Status)
			}
			if answer, err = http.Get(string(data)); err != nil || answer.StatusCode != 404 {
				t.Errorf("the second time: %v, %v", answer, err)
			}
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("nothing was opened; %s", r.said)
}

// Killed at any moment, it leaves what it keeps whole: every file can be read,
// and the next run goes on from it.
func TestKilledAtAnyMoment(t *testing.T) {
	folder := t.TempDir()
	given := givenCalibration(t)
	rnd := rand.New(rand.NewPCG(9, 9))
	stops := 0
	for i := range outside.Of(12, 25) {
		r := startTable(t, folder, "../../testdata/tide-lap.yaml", "--calibration", given)
		for _, a := range []string{openWindow, pressed("1")} {
			if err := r.do(a); err != nil {
				t.Fatal(err)
			}
		}
		// The moment is counted in what was asked of it, not in time: the
		// machine may be slow.
		busy, until := make(chan struct{}), rnd.IntN(60)
		var asked atomic.Int64
		go func() {
			defer close(busy)
			for k := 0; ; k++ {
				// The square again and again keeps the calibration again and again.
				keys := []string{pressed(" "), pressed(" "), pressed("s"), pressed("s")}
				for range 4 {
					keys = append(keys, `{"do":"type","text":"12 in"}`)
				}
				keys[6], keys[7] = `{"do":"type","text":"16 31/32"}`, `{"do":"type","text":"16 31/32"}`
				for _, a := range append(keys, pressed("Enter"), pressed(" "), fmt.Sprintf(`{"do":"look","look":{"width":%d,"bright":1,"words":1}}`, 1+k%9)) {
					if r.do(a) != nil {
						return
					}
					asked.Add(1)
				}
			}
		}()
		for wait := time.Now(); asked.Load() < int64(until) && time.Since(wait) < 10*time.Second; {
			time.Sleep(50 * time.Microsecond)
		}
		time.Sleep(time.Duration(rnd.IntN(3000)) * time.Microsecond)
		r.Process.Kill()
		r.Wait()
		<-busy
		err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), export.TempPrefix) {
				return err
			}
			data, err := os.ReadFile(path)
			var v map[string]any
			if err == nil {
				err = json.Unmarshal(data, &v)
			}
			if err != nil || len(v) < 3 {
				t.Errorf("run %d left %s as %q: %v", i, path, data, err)
			}
			if strings.Contains(path, "progress") {
				stops++
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if stops < 5 {
		t.Errorf("only %d times was a stop kept: the runs are too short to mean anything", stops)
	}
	files, _ := filepath.Glob(filepath.Join(folder, "lozenge", "calibrations", "*.json"))
	if len(files) != 1 {
		t.Fatalf("%d calibrations were kept", len(files))
	}
	if m := keptMap(t, folder); m == nil {
		t.Error("no map")
	}
	r := startTable(t, folder, "../../testdata/tide-lap.yaml")
	if err := r.do(openWindow); err != nil {
		t.Fatal(err)
	}
	if v := r.view(t); len(v.Notes) > 0 || !strings.Contains(strings.Join(v.More, " "), "1  projector") {
		t.Errorf("%+v", v)
	}
}

// presses presses a key so many times.
func (r *running) presses(t testing.TB, key string, times int) {
	t.Helper()
	for range times {
		if err := r.do(pressed(key)); err != nil {
			t.Fatal(err)
		}
	}
}

// Killed at any moment, it has kept every cut that the page was told of, and
// none that was not made.
func TestNoCutIsLost(t *testing.T) {
	given, folder := givenCalibration(t), t.TempDir()
	begin := func() *running {
		r := startTable(t, folder, "../../testdata/tide-lap.yaml", "--calibration", given)
		for _, a := range []string{openWindow, pressed("1")} {
			if err := r.do(a); err != nil {
				t.Fatal(err)
			}
		}
		return r
	}
	what := func(v shown) string { return fmt.Sprintf("%d pieces; %s", v.Done, v.Say) }
	// What it says after so many steps when nothing happens to it.
	r := begin()
	states := []string{what(r.view(t))}
	const most = 60
	for range most {
		r.presses(t, "On", 1)
		states = append(states, what(r.view(t)))
	}
	r.presses(t, "Back", most)
	r.Process.Kill()
	r.Wait()
	rnd, at := rand.New(rand.NewPCG(19, 1)), 0
	runs := 12
	if outside.Full() {
		runs = 60
	}
	for i := range runs {
		r := begin()
		if got := what(r.view(t)); got != states[at] {
			if at+1 < len(states) && got == states[at+1] {
				at++ // it was done, and killed before it could say so
			} else {
				t.Fatalf("run %d: %q, not %q", i, got, states[at])
			}
		}
		if at > most-12 {
			r.presses(t, "Back", at)
			at = 0
		}
		moment := time.AfterFunc(time.Duration(rnd.IntN(25_000))*time.Microsecond, func() { r.Process.Kill() })
		for range 10 {
			if r.do(pressed("On")) != nil {
				break
			}
			at++
		}
		moment.Stop()
		r.Process.Kill()
		r.Wait()
	}
	t.Logf("killed %d times", runs)
}

// After thousands of steps and dozens of pages that came and went the server
// has never taken more than 40 MB of the memory: it keeps nothing of the views
// that it sent.
func TestTableMemory(t *testing.T) {
	outside.OnlyFull(t)
	r := startTable(t, t.TempDir(), "../../testdata/tide-lap.yaml", "--calibration", givenCalibration(t))
	r.peak(t)
	for _, a := range []string{openWindow, pressed("1")} {
		if err := r.do(a); err != nil {
			t.Fatal(err)
		}
	}
	steps := outside.Of(200, 10_000)
	for i := range steps {
		if i%(steps/50) == 0 {
			answer, err := http.Get(fmt.Sprintf("%sevents?page=p%d&as=hand", r.address, i))
			if err != nil || answer.StatusCode != 200 {
				t.Fatalf("%v, %v", answer, err)
			}
			defer answer.Body.Close()
			if i%(steps/10) == 0 {
				answer.Body.Close()
			}
		}
		key := "On"
		if i/400%2 == 1 {
			key = "Back"
		}
		if err := r.do(pressed(key)); err != nil {
			t.Fatal(err)
		}
	}
	for _, a := range []string{pressed("q"), pressed("q"), pressed("p")} {
		if err := r.do(a); err != nil {
			t.Fatal(err)
		}
	}
	most := r.peak(t)
	if most > 40<<10 {
		t.Errorf("it took %d kB", most)
	}
	t.Logf("%d steps, at most %d kB", steps, most)
}
