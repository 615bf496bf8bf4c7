// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"lozenge/export"
	"lozenge/export/outside"
)

// The faults that a run of make may meet: it is killed, the disk is full, the
// folder is read-only, a folder stands where a file should, others write to the
// same folder. Here the program as it is built is run as a process of its own.
// Afterwards every file is missing, the old one, or the new one; old and new
// are those of runs without faults, which 'lozenge measure' found true; and the
// manifest lists every file that is there (the kinds of fault are those of
// golang/go#22397 and tailscale/tailscale#538).

// An edition is what make writes for one pattern.
type edition struct {
	pattern string
	status  int
	files   map[string]string // with the manifest
}

// The two editions differ in every file, and the second has neither mat.svg nor
// booklet.pdf: no strip set is long enough.
var editionPatterns = []string{`
name: Ebb
unit: in
strips: [{cut: 2 1/2, fabric: silt}, {cut: 2, fabric: foam}]
columns: 20
rows: 20
`, `
name: Flood
unit: cm
strips: [{cut: 6, fabric: silt}, {cut: 5, fabric: foam}]
usable_width: 8
setting: chevron
columns: 22
rows: 21
`}

func TestFaults(t *testing.T) {
	t.Parallel()
	y := newYard(t)
	t.Run("Killed", y.killed)
	t.Run("DiskFull", y.diskFull)
	t.Run("ReadOnlyFolder", y.readOnlyFolder)
	t.Run("SwappedForAFolder", y.swappedForAFolder)
	t.Run("EightCopies", y.eightCopies)
	t.Run("EachCommand", y.eachCommand)
}

// A yard is a program, the editions, and where to try them.
type yard struct {
	program  string
	editions []edition
}

// programOf returns the program's path: what testscript has for it, or in full one
// that is built as for people.
func programOf(t *testing.T) string {
	t.Helper()
	if !outside.Full() {
		path, err := exec.LookPath("lozenge")
		if err != nil {
			t.Fatal(err)
		}
		return path
	}
	path := filepath.Join(t.TempDir(), "lozenge")
	if out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return path
}

func newYard(t *testing.T) *yard {
	t.Helper()
	dir := t.TempDir()
	y := &yard{program: programOf(t)}
	for i, text := range editionPatterns {
		e := edition{pattern: filepath.Join(dir, fmt.Sprintf("edition%d.yaml", i))}
		writeText(t, e.pattern, text)
		out := filepath.Join(dir, fmt.Sprintf("edition%d", i))
		e.status = y.run(t, nil, "make", e.pattern, "--out", out)
		e.files = contents(t, out)
		var drawings []string
		for name := range e.files {
			if ext := filepath.Ext(name); name != "labels.pdf" && (ext == ".svg" || ext == ".dxf" || ext == ".pdf") {
				drawings = append(drawings, filepath.Join(out, name))
			}
		}
		if s := y.run(t, nil, append([]string{"measure", "--pattern", e.pattern}, drawings...)...); s != statusDone || len(drawings) < 4 {
			t.Fatalf("%d drawings of edition %d, status %d", len(drawings), i, s)
		}
		y.editions = append(y.editions, e)
	}
	if y.editions[0].status != statusDone || y.editions[1].status != statusNo {
		t.Fatalf("statuses %d and %d", y.editions[0].status, y.editions[1].status)
	}
	for name, text := range y.editions[0].files {
		if y.editions[1].files[name] == text {
			t.Fatalf("%s is the same in both editions", name)
		}
	}
	return y
}

// run runs the program to its end and returns its status; how may change how.
func (y *yard) run(t *testing.T, how func(*exec.Cmd), args ...string) int {
	t.Helper()
	cmd := exec.Command(y.program, args...)
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	if how != nil {
		how(cmd)
	}
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	if cmd.ProcessState.ExitCode() < 0 || strings.Contains(said.String(), "goroutine ") {
		t.Errorf("%v: %v\n%s", args, cmd.ProcessState, said.String())
	}
	return cmd.ProcessState.ExitCode()
}

// contents returns the files of a folder, none if it is not there.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

func unfinished(name string) bool { return strings.HasPrefix(name, export.TempPrefix) }

// sound checks a folder after a fault. It returns how many files are of each
// edition, and how many are unfinished.
func (y *yard) sound(t *testing.T, dir string) (of []int, left int) {
	t.Helper()
	of = make([]int, len(y.editions))
	files := contents(t, dir)
	var m manifest
	text, listed := files[manifestName]
	if listed {
		if err := json.Unmarshal([]byte(text), &m); err != nil {
			t.Errorf("%s: %v", manifestName, err)
		}
	}
	for name, text := range files {
		if unfinished(name) {
			left++
			continue
		}
		if name == manifestName {
			continue
		}
		if !m.lists(name) {
			t.Errorf("%s is not in the manifest (there: %v)", name, listed)
		}
		i := slices.IndexFunc(y.editions, func(e edition) bool { return e.files[name] == text })
		if i < 0 {
			t.Errorf("%s is neither the old one nor the new one: %d bytes", name, len(text))
			continue
		}
		of[i]++
	}
	return of, left
}

// is checks that a folder holds an edition, all of it and nothing else, and
// that the sums of its manifest are true.
func (y *yard) is(t *testing.T, dir string, e edition) {
	t.Helper()
	files := contents(t, dir)
	for name := range files {
		if _, ok := e.files[name]; !ok {
			t.Errorf("%s should not be there", name)
		}
	}
	for name, want := range e.files {
		if files[name] != want {
			t.Errorf("%s is not the one of %s", name, e.pattern)
		}
	}
	var m manifest
	if err := json.Unmarshal([]byte(files[manifestName]), &m); err != nil {
		t.Fatal(err)
	}
	for _, f := range m.Files {
		if text := files[f.Name]; int64(len(text)) != f.Bytes || hash([]byte(text)) != f.SHA256 {
			t.Errorf("%s is not as listed", f.Name)
		}
	}
}

// kills is how many times the program is killed.
var kills = outside.Of(6, 200)

// Killed at random moments: half of them after a time, over the whole run and
// a little more, half of them after a number of changes in the folder, so that
// the short time in which files are put in place is met as well.
func (y *yard) killed(t *testing.T) {
	const folders = 4
	var mu sync.Mutex
	var met struct{ survived, mixed, left, none int }
	t.Run("folders", func(t *testing.T) {
		for f := range folders {
			t.Run(fmt.Sprint(f), func(t *testing.T) {
				t.Parallel()
				rnd := rand.New(rand.NewPCG(200, uint64(f)))
				dir := filepath.Join(t.TempDir(), "out")
				if err := os.Mkdir(dir, 0o755); err != nil {
					t.Fatal(err)
				}
				// How long a run takes, and how many changes it makes.
				begin, w := time.Now(), newWatch(t, dir)
				y.run(t, nil, "make", y.editions[0].pattern, "--out", dir)
				whole, changes := time.Since(begin), w.seen()
				w.close()
				if changes < 20 {
					t.Fatalf("%d changes seen", changes)
				}
				for k := range kills / folders {
					if rnd.IntN(4) == 0 { // as if never made
						if err := os.RemoveAll(dir); err != nil {
							t.Fatal(err)
						}
						if err := os.Mkdir(dir, 0o755); err != nil {
							t.Fatal(err)
						}
					}
					e := y.editions[rnd.IntN(len(y.editions))]
					cmd := exec.Command(y.program, "make", e.pattern, "--out", dir)
					w := newWatch(t, dir)
					if err := cmd.Start(); err != nil {
						t.Fatal(err)
					}
					ended := make(chan error, 1)
					go func() { ended <- cmd.Wait() }()
					if k%2 == 0 {
						select {
						case <-time.After(time.Duration(rnd.Float64() * 1.2 * float64(whole))):
						case err := <-ended:
							ended <- err
						}
					} else {
						w.wait(rnd.IntN(changes+1), 10*whole)
					}
					_ = cmd.Process.Kill() // it may have ended
					<-ended
					w.close()
					of, left := y.sound(t, dir)
					if t.Failed() {
						t.Fatalf("kill %d", k)
					}
					mu.Lock()
					switch {
					case cmd.ProcessState.Exited():
						met.survived++
					case of[0] > 0 && of[1] > 0:
						met.mixed++
					case of[0]+of[1] == 0:
						met.none++
					}
					if left > 0 {
						met.left++
					}
					mu.Unlock()
				}
				// The next run puts everything right.
				for _, e := range y.editions {
					if s := y.run(t, nil, "make", e.pattern, "--out", dir); s != e.status {
						t.Errorf("status %d after all kills", s)
					}
					y.is(t, dir, e)
				}
			})
		}
	})
	t.Logf("%d kills: %d came too late, %d met a folder of old and new files, %d an empty one, %d left unfinished files", kills, met.survived, met.mixed, met.none, met.left)
	if met.survived > kills/2 || met.left < kills/20 {
		t.Errorf("the kills did not meet the run: %+v", met)
	}
}

// A watch counts the changes in a folder: files made and renamed.
type watch struct{ fd int }

func newWatch(t *testing.T, dir string) *watch {
	t.Helper()
	fd, err := syscall.InotifyInit1(syscall.IN_NONBLOCK | syscall.IN_CLOEXEC)
	if err == nil {
		_, err = syscall.InotifyAddWatch(fd, dir, syscall.IN_CREATE|syscall.IN_MOVED_TO|syscall.IN_CLOSE_WRITE|syscall.IN_DELETE)
	}
	if err != nil {
		t.Fatal(err)
	}
	return &watch{fd}
}

// seen returns the number of changes since it was last called.
func (w *watch) seen() int {
	count := 0
	buf := make([]byte, 1<<14)
	for {
		n, err := syscall.Read(w.fd, buf)
		if n <= 0 || err != nil {
			return count
		}
		for at := 0; at+syscall.SizeofInotifyEvent <= n; count++ {
			// The length of the name stands last in the event.
			name := buf[at+12 : at+16]
			at += syscall.SizeofInotifyEvent + int(name[0]) + int(name[1])<<8
		}
	}
}

// wait waits for a number of changes, though not for ever.
func (w *watch) wait(n int, most time.Duration) {
	for begin := time.Now(); n > 0 && time.Since(begin) < most; {
		n -= w.seen()
	}
}

func (w *watch) close() { syscall.Close(w.fd) }

// A disk that is full after so many bytes, or has room for so few files: the
// run ends with status 3, nothing unfinished is left, and the old files stand.
func (y *yard) diskFull(t *testing.T) {
	total := 0
	for _, text := range y.editions[1].files {
		total += len(text)
	}
	full := func(t *testing.T, dir string, how func(*exec.Cmd)) {
		t.Helper()
		e := y.editions[1]
		if s := y.run(t, how, "make", e.pattern, "--out", dir); s != statusDisk {
			t.Errorf("status %d", s)
		}
		if of, left := y.sound(t, dir); of[1] != 0 || left != 0 {
			t.Errorf("%d new files, %d unfinished ones", of[1], left)
		}
	}
	t.Run("bytes and files", func(t *testing.T) {
		for _, options := range []string{"", "nr_inodes=+1", "nr_inodes=+3", "nr_inodes=+6"} {
			for tenth := 0; tenth < 10; tenth += outside.Of(9, 1) {
				dir := filepath.Join(t.TempDir(), "disk")
				mountTemp(t, dir, "size=16m")
				y.run(t, nil, "make", y.editions[0].pattern, "--out", dir)
				y.is(t, dir, y.editions[0])
				var disk syscall.Statfs_t
				if err := syscall.Statfs(dir, &disk); err != nil {
					t.Fatal(err)
				}
				used := int64(disk.Blocks-disk.Bfree) * int64(disk.Bsize)
				room := fmt.Sprintf("size=%d", used+int64(total)*int64(tenth)/10)
				if more, ok := strings.CutPrefix(options, "nr_inodes=+"); ok {
					var n uint64
					fmt.Sscan(more, &n)
					room = fmt.Sprintf("size=16m,nr_inodes=%d", disk.Files-disk.Ffree+n)
				}
				remount(t, dir, 0, room)
				full(t, dir, nil)
				y.is(t, dir, y.editions[0])
				remount(t, dir, 0, "size=16m,nr_inodes=100")
				if s := y.run(t, nil, "make", y.editions[1].pattern, "--out", dir); s != y.editions[1].status {
					t.Errorf("status %d with room again", s)
				}
				y.is(t, dir, y.editions[1])
				if options != "" {
					break
				}
			}
		}
	})
	t.Run("size of a file", func(t *testing.T) {
		for _, blocks := range outside.Of([]int{0, 8}, []int{0, 1, 8, 20}) { // of 512 or 1024 bytes, as the shell counts
			dir := filepath.Join(t.TempDir(), "out")
			y.run(t, nil, "make", y.editions[0].pattern, "--out", dir)
			full(t, dir, func(c *exec.Cmd) {
				c.Path = "/bin/sh"
				c.Args = append([]string{"sh", "-c", fmt.Sprintf(`ulimit -f %d; exec "$0" "$@" 2>/dev/null >&2`, blocks)}, c.Args...)
			})
			y.is(t, dir, y.editions[0])
		}
	})
	t.Run("standard output", func(t *testing.T) {
		device, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			outside.Lacks(t, "there is no device that is always full: %v", err)
		}
		defer device.Close()
		for _, e := range y.editions {
			dir := filepath.Join(t.TempDir(), "out")
			if s := y.run(t, func(c *exec.Cmd) { c.Stdout = device }, "make", e.pattern, "--out", dir); s != statusDisk {
				t.Errorf("status %d", s)
			}
			y.is(t, dir, e)
		}
	})
}

// mountTemp makes a disk in memory at dir, or skips the test.
func mountTemp(t *testing.T, dir, options string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, options); err != nil {
		outside.Lacks(t, "no disk can be mounted: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
}

func remount(t *testing.T, dir string, flags uintptr, options string) {
	t.Helper()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT|flags, options); err != nil {
		t.Fatal(err)
	}
}

// A folder that may not be written to: status 3, and it is as it was.
func (y *yard) readOnlyFolder(t *testing.T) {
	try := func(t *testing.T, dir string, how func(*exec.Cmd)) {
		t.Helper()
		for _, out := range []string{dir, filepath.Join(dir, "new")} {
			if s := y.run(t, how, "make", y.editions[1].pattern, "--out", out); s != statusDisk {
				t.Errorf("%s: status %d", out, s)
			}
		}
		y.is(t, dir, y.editions[0])
	}
	t.Run("permission", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "out")
		y.run(t, nil, "make", y.editions[0].pattern, "--out", dir)
		if err := os.Chmod(dir, 0o555); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(dir, 0o755)
		var how func(*exec.Cmd)
		if os.Geteuid() == 0 {
			// The administrator may write anywhere; nobody may not.
			const nobody = 65534
			for _, path := range []string{dir, y.program, y.editions[0].pattern} { // the folder of a test is its user's own
				if err := os.Chmod(filepath.Dir(filepath.Dir(path)), 0o755); err != nil {
					t.Fatal(err)
				}
			}
			how = func(c *exec.Cmd) {
				c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
			}
			test := exec.Command(y.program, "--help")
			how(test)
			if err := test.Run(); err != nil {
				outside.Lacks(t, "nobody can't run the program: %v", err)
			}
		}
		try(t, dir, how)
	})
	t.Run("disk", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "disk")
		mountTemp(t, dir, "size=16m")
		y.run(t, nil, "make", y.editions[0].pattern, "--out", dir)
		remount(t, dir, syscall.MS_RDONLY, "")
		try(t, dir, nil)
	})
}

// A folder where a file should be, from the start or from one moment to the
// next: status 2 for what is read, 2 or 3 for what is written.
func (y *yard) swappedForAFolder(t *testing.T) {
	old, e := y.editions[0], y.editions[1]
	mkdir := func(path string) {
		t.Helper()
		if err := os.MkdirAll(path, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	t.Run("the pattern", func(t *testing.T) {
		dir := t.TempDir()
		out, input := filepath.Join(dir, "out"), filepath.Join(dir, "q.yaml")
		y.run(t, nil, "make", old.pattern, "--out", out)
		mkdir(input)
		if s := y.run(t, nil, "make", input, "--out", out); s != statusUsage {
			t.Errorf("status %d", s)
		}
		y.is(t, out, old)
	})
	t.Run("a file to write", func(t *testing.T) {
		names := slices.Sorted(maps.Keys(old.files))
		for _, name := range outside.Of(names[:4], names) {
			dir := filepath.Join(t.TempDir(), "out")
			y.run(t, nil, "make", old.pattern, "--out", dir)
			if err := os.Remove(filepath.Join(dir, name)); err != nil {
				t.Fatal(err)
			}
			mkdir(filepath.Join(dir, name))
			want := statusUsage
			if _, made := e.files[name]; !made { // only to be removed
				want = e.status
			}
			if s := y.run(t, nil, "make", e.pattern, "--out", dir); s != want {
				t.Errorf("%s: status %d", name, s)
			}
			files := contents(t, dir)
			for other := range files {
				if from := old; want != statusUsage {
					from = e
				} else if files[other] != from.files[other] {
					t.Errorf("%s is a folder, and %s has changed", name, other)
				}
			}
			if info, err := os.Stat(filepath.Join(dir, name)); err != nil || !info.IsDir() {
				t.Errorf("the folder %s is gone: %v", name, err)
			}
		}
	})
	t.Run("the pattern, again and again", func(t *testing.T) {
		dir := t.TempDir()
		out, input := filepath.Join(dir, "out"), filepath.Join(dir, "q.yaml")
		text, err := os.ReadFile(e.pattern)
		if err != nil {
			t.Fatal(err)
		}
		file, folder := filepath.Join(dir, "file"), filepath.Join(dir, "folder")
		writeText(t, file, string(text))
		mkdir(folder)
		stop, stopped := make(chan bool), make(chan bool)
		go func() {
			defer close(stopped)
			for {
				for _, what := range []string{file, folder} {
					os.Rename(what, input)
					time.Sleep(time.Millisecond)
					os.Rename(input, what)
				}
				select {
				case <-stop:
					return
				default:
				}
			}
		}()
		againAndAgain(t, e.status, func() int {
			s := y.run(t, nil, "make", input, "--out", out)
			if s != e.status && s != statusUsage {
				t.Errorf("status %d", s)
			}
			if of, left := y.sound(t, out); of[0] != 0 || left != 0 {
				t.Errorf("%v files, %d unfinished", of, left)
			}
			return s
		})
		close(stop)
		<-stopped
	})
	t.Run("a file to write, again and again", func(t *testing.T) {
		dir := t.TempDir()
		y.run(t, nil, "make", old.pattern, "--out", dir)
		stop, stopped := make(chan bool), make(chan bool)
		go func() {
			defer close(stopped)
			name := filepath.Join(dir, "picture.svg")
			for {
				os.Remove(name)
				os.Mkdir(name, 0o755)
				time.Sleep(3 * time.Millisecond)
				os.Remove(name)
				time.Sleep(time.Duration(rand.IntN(6)) * time.Millisecond)
				select {
				case <-stop:
					return
				default:
				}
			}
		}()
		againAndAgain(t, e.status, func() int {
			s := y.run(t, nil, "make", e.pattern, "--out", dir)
			if s != e.status && s != statusUsage && s != statusDisk {
				t.Errorf("status %d", s)
			}
			if _, left := y.sound(t, dir); left != 0 {
				t.Errorf("%d unfinished", left)
			}
			return s
		})
		close(stop)
		<-stopped
		if s := y.run(t, nil, "make", e.pattern, "--out", dir); s != e.status {
			t.Errorf("status %d in the end", s)
		}
		y.is(t, dir, e)
	})
}

// againAndAgain runs something some times, and until it has both been done and
// been refused.
func againAndAgain(t *testing.T, done int, run func() int) {
	t.Helper()
	seen := map[int]int{}
	both := func() bool { return seen[done] > 0 && len(seen) > 1 }
	for n := 0; n < outside.Of(6, 40) || !both() && n < 200; n++ {
		seen[run()]++
	}
	t.Logf("runs by status: %v", seen)
	if !both() {
		t.Errorf("either it was never done or never refused: %v", seen)
	}
}

// Eight copies at once into one folder, of two patterns: each is done as if it
// were alone, and the folder holds what one of them wrote. Then some of them
// are killed, and the others don't mind.
func (y *yard) eightCopies(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 8))
	dir := filepath.Join(t.TempDir(), "out")
	rounds := outside.Of(2, 12)
	for round := range rounds {
		killing := round >= rounds/2
		var wait sync.WaitGroup
		for i := range 8 {
			e := y.editions[(round+i)%2]
			after := time.Duration(0)
			if killing && i%2 == 0 {
				after = time.Duration(1+rnd.IntN(150)) * time.Millisecond
			}
			wait.Go(func() {
				cmd := exec.Command(y.program, "make", e.pattern, "--out", dir)
				if err := cmd.Start(); err != nil {
					t.Error(err)
					return
				}
				if after > 0 {
					time.AfterFunc(after, func() { cmd.Process.Kill() })
				}
				_ = cmd.Wait()
				if s := cmd.ProcessState.ExitCode(); s != e.status && after == 0 {
					t.Errorf("round %d, copy %d: status %d", round, i, s)
				}
			})
		}
		wait.Wait()
		of, left := y.sound(t, dir)
		if !killing {
			if left != 0 {
				t.Errorf("round %d: %d unfinished", round, left)
			}
			of[0], of[1] = max(of[0], of[1]), min(of[0], of[1])
			if of[1] != 0 {
				t.Errorf("round %d: %v files of the two patterns", round, of)
			}
		}
	}
	for _, e := range y.editions {
		if s := y.run(t, nil, "make", e.pattern, "--out", dir); s != e.status {
			t.Errorf("status %d in the end", s)
		}
		y.is(t, dir, e)
	}
}
