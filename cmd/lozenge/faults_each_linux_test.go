// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"lozenge/export/outside"
)

// writers are the commands that write files, all of them over what stands
// there: Q is a pattern, C a calibration, R readings, B a scrap bin, OUT the folder.
var writers = []string{
	"new OUT/new.yaml --force",
	"picture Q -o OUT/picture.svg --force",
	"picture Q --png --dpi 60 -o OUT/picture.png --force",
	"mat Q --flat -o OUT/mat.svg --force",
	"mat Q --calibration C --out OUT --force",
	"cutter Q --out OUT --force",
	"templates Q --out OUT --force --png --dpi 40",
	"sewing Q --out OUT --force",
	"scraps Q B --out OUT --force",
	"booklet Q --out OUT --force",
	"calibrate target --screen 1920x1080 -o OUT/target.svg --force",
	"calibrate solve R --screen 1920x1080 -o OUT/projector.json --map OUT/map.svg --accept --force",
	"make Q --out OUT --force",
}

// oldText is what stands where files are written: also a table with no readings yet.
const oldText = "point,u,v,x,y\n1,96,54,,\n"

// An errand is a command and what it writes when nothing happens to it.
type errand struct {
	args    []string
	status  int
	files   map[string]string
	changes int // in the folder
	took    time.Duration
}

// in returns the arguments for a folder.
func (w errand) in(dir string) []string {
	var args []string
	for _, a := range w.args {
		if rest, ok := strings.CutPrefix(a, "OUT"); ok {
			a = dir + rest
		}
		args = append(args, a)
	}
	return args
}

// folder sets out a folder in which old files stand.
func (w errand) folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name := range w.files {
		writeText(t, filepath.Join(dir, name), oldText)
	}
	return dir
}

// whole checks that each file in a folder is the old one or the new one. It
// returns how many are new, and how many are unfinished.
func (w errand) whole(t *testing.T, dir string) (written, left int) {
	t.Helper()
	for name, text := range contents(t, dir) {
		switch want, ok := w.files[name]; {
		case unfinished(name):
			left++
		case !ok:
			t.Errorf("%v: %s should not be there", w.args, name)
		case text == want:
			written++
		case text != oldText:
			t.Errorf("%v: %s is neither the old one nor the new one: %d bytes", w.args, name, len(text))
		}
	}
	return written, left
}

func (y *yard) errands(t *testing.T) []errand {
	t.Helper()
	dir := t.TempDir()
	bin, points := filepath.Join(dir, "bin.csv"), filepath.Join(dir, "points.csv")
	scraps, readings := goodTables()
	writeText(t, bin, string(scraps))
	writeText(t, points, string(readings))
	named := map[string]string{"Q": y.editions[0].pattern, "C": givenCalibration(t), "R": points, "B": bin}
	var out []errand
	for _, line := range writers {
		w := errand{args: strings.Fields(line)}
		for i, a := range w.args {
			if name, ok := named[a]; ok {
				w.args[i] = name
			}
		}
		dir := t.TempDir()
		watch, begin := newWatch(t, dir), time.Now()
		w.status = y.run(t, nil, w.in(dir)...)
		w.took, w.changes, w.files = time.Since(begin), watch.seen(), contents(t, dir)
		watch.close()
		if w.status > statusNo || len(w.files) == 0 {
			t.Fatalf("%s: status %d, %d files", line, w.status, len(w.files))
		}
		out = append(out, w)
	}
	return out
}

// Every command that writes, told to end, ends by that signal and leaves old
// files or new ones and nothing unfinished; killed, it leaves what the next run
// into the folder removes; and where there is no room, it names the file.
func (y *yard) eachCommand(t *testing.T) {
	all := y.errands(t)
	rnd := rand.New(rand.NewPCG(17, 3))
	// at starts a command and sends it a signal after some change in its folder.
	at := func(t *testing.T, w errand, dir string, after int, s syscall.Signal) *os.ProcessState {
		watch := newWatch(t, dir)
		defer watch.close()
		cmd := exec.Command(y.program, w.in(dir)...)
		var said bytes.Buffer
		cmd.Stderr = &said
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		watch.wait(after, 10*w.took)
		_ = cmd.Process.Signal(s) // it may have ended
		_ = cmd.Wait()
		if strings.Contains(said.String(), "goroutine ") {
			t.Errorf("%v: %s", w.args, said.String())
		}
		return cmd.ProcessState
	}
	t.Run("Interrupted", func(t *testing.T) {
		met := map[syscall.Signal]int{}
		for i, w := range all {
			for n := range outside.Of(1, 6) {
				s := []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP}[(i+n)%3]
				dir := w.folder(t)
				state := at(t, w, dir, rnd.IntN(w.changes), s)
				switch how := state.Sys().(syscall.WaitStatus); {
				case how.Signaled() && how.Signal() == s:
					met[s]++
				case state.ExitCode() != w.status:
					t.Errorf("%v: %v", w.args, state)
				}
				if written, left := w.whole(t, dir); left != 0 || written != 0 && written != len(w.files) && w.args[0] != "make" {
					t.Errorf("%v, %v: %d of %d files new, %d unfinished", w.args, s, written, len(w.files), left)
				}
			}
		}
		t.Logf("interrupted: %v", met)
		if len(met) < 3 {
			t.Errorf("the signals did not meet the runs: %v", met)
		}
	})
	t.Run("Killed", func(t *testing.T) {
		littered := 0
		for i, w := range all {
			if !slices.Contains(w.args, "OUT") || i%2 == 1 && !outside.Full() {
				continue
			}
			dir := w.folder(t)
			for range outside.Of(1, 4) {
				at(t, w, dir, 1+rnd.IntN(w.changes/2), syscall.SIGKILL)
				if _, left := w.whole(t, dir); left > 0 {
					littered++
				}
			}
			if s := y.run(t, nil, w.in(dir)...); s != w.status {
				t.Errorf("%v: status %d", w.args, s)
			}
			if written, left := w.whole(t, dir); written != len(w.files) || left != 0 {
				t.Errorf("%v: %d of %d files new, %d unfinished", w.args, written, len(w.files), left)
			}
		}
		if littered == 0 {
			t.Error("no kill left anything unfinished")
		}
	})
	t.Run("NoRoom", func(t *testing.T) {
		for _, w := range all {
			for _, blocks := range outside.Of([]int{0}, []int{0, 1, 2, 8}) {
				dir := w.folder(t)
				largest := 0
				for _, text := range w.files {
					largest = max(largest, len(text))
				}
				if largest <= 1024*blocks {
					continue
				}
				cmd := exec.Command("/bin/sh", append([]string{"-c", fmt.Sprintf(`ulimit -f %d; exec "$0" "$@" >/dev/null`, blocks), y.program}, w.in(dir)...)...)
				var said bytes.Buffer
				cmd.Stderr = &said
				_ = cmd.Run() // its status is looked at
				names := false
				for name := range w.files {
					names = names || strings.Contains(said.String(), "cannot write "+filepath.Join(dir, name)+": file too large")
				}
				if s := cmd.ProcessState.ExitCode(); s != statusDisk || !names {
					t.Errorf("%v, %d blocks: status %d, %s", w.args, blocks, s, said.String())
				}
				if written, left := w.whole(t, dir); written != 0 || left != 0 {
					t.Errorf("%v: %d files new, %d unfinished", w.args, written, left)
				}
			}
		}
	})
}
