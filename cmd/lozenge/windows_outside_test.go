// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bufio"
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lozenge/export/outside"
)

// windows runs programs for Windows in Wine.
type windows struct {
	wine string
	env  []string
}

// randomBytes is the one function of bcryptprimitives.dll that Go's runtime asks
// for; Wine 8 has no such library.
const randomBytes = `#include <windows.h>
BOOLEAN NTAPI SystemFunction036(PVOID, ULONG);
__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE to, SIZE_T n) { return SystemFunction036(to, (ULONG)n); }
`

// holding is a program that has a file open as viewers do, so that it can't be
// replaced, until something comes from standard input.
const holding = `#include <windows.h>
#include <stdio.h>
int main(int n, char **name) {
	if (CreateFileA(name[1], GENERIC_READ, FILE_SHARE_READ, NULL, OPEN_EXISTING, 0, NULL) == INVALID_HANDLE_VALUE) return 1;
	puts("held"); fflush(stdout); getchar();
	return 0;
}
`

// newWindows makes a Windows of its own for a test, and the programs in dir.
func newWindows(t *testing.T, dir string) windows {
	t.Helper()
	compiler := outside.Tool(t, "x86_64-w64-mingw32-gcc")
	prefix, err := os.MkdirTemp("", "wine")
	if err != nil {
		t.Fatal(err)
	}
	w := windows{outside.Tool(t, "wine"), append(os.Environ(), "WINEPREFIX="+prefix, "WINEDEBUG=-all", "WINEDLLOVERRIDES=mscoree,mshtml=", "DISPLAY=")}
	t.Cleanup(func() {
		_ = w.command("wineboot", "--kill").Run()
		for range 100 { // its server writes there until it ends
			if err = os.RemoveAll(prefix); err == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		t.Error(err)
	})
	if out, err := w.command("cmd", "/c", "exit").CombinedOutput(); err != nil {
		t.Fatalf("wine: %v\n%s", err, out)
	}
	writeText(t, filepath.Join(dir, "random.c"), randomBytes)
	outside.Run(t, compiler, "-shared", "-o", filepath.Join(prefix, "drive_c", "windows", "system32", "bcryptprimitives.dll"), filepath.Join(dir, "random.c"), "-ladvapi32")
	writeText(t, filepath.Join(dir, "holding.c"), holding)
	outside.Run(t, compiler, "-o", filepath.Join(dir, "holding.exe"), filepath.Join(dir, "holding.c"))
	build := exec.Command("go", "build", "-buildvcs=false", "-o", filepath.Join(dir, "lozenge.exe"), ".")
	build.Env = append(os.Environ(), "GOOS=windows", "GOARCH=amd64", "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return w
}

func (w windows) command(args ...string) *exec.Cmd {
	cmd := exec.Command(w.wine, args...)
	cmd.Env = w.env
	return cmd
}

// On Windows, as Wine plays it, make writes the same bytes as here. While a viewer
// has one of the files open it changes none and says what to do; once that is
// closed it replaces them all.
func TestWindows(t *testing.T) {
	outside.OnlyFull(t) // half a minute, and a compiler
	dir := t.TempDir()
	w := newWindows(t, dir)
	lozenge := func(status int, args ...string) string {
		t.Helper()
		cmd := w.command(append([]string{"lozenge.exe"}, args...)...)
		cmd.Dir = dir
		out, _ := cmd.CombinedOutput()
		if got := cmd.ProcessState.ExitCode(); got != status {
			t.Fatalf("%v: status %d, not %d\n%s", args, got, status, out)
		}
		return string(out)
	}
	here := func(pattern string) map[string]string {
		t.Helper()
		var out, talk bytes.Buffer
		made := filepath.Join(t.TempDir(), "out")
		if s := run([]string{"make", pattern, "--out", made}, nil, &out, &talk); s != statusDone {
			t.Fatalf("status %d: %s", s, talk.String())
		}
		return files(t, made)
	}
	patterns, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(patterns) < 3 {
		t.Fatalf("%d examples, %v", len(patterns), err)
	}
	for _, pattern := range patterns {
		if strings.Contains(readText(t, pattern), "\nscraps:") {
			continue // beside another file
		}
		name := filepath.Base(pattern)
		writeText(t, filepath.Join(dir, name), readText(t, pattern))
		lozenge(statusDone, "make", name, "--out", `made\`+name)
		same(t, here(pattern), files(t, filepath.Join(dir, "made", name)), true)
	}

	lozenge(statusDone, "make", "tide-lap.yaml", "--out", "out")
	before := files(t, filepath.Join(dir, "out"))
	// hold has a viewer open a file until it is told to let go.
	hold := func(path string) (release func()) {
		t.Helper()
		viewer := w.command("holding.exe", path)
		viewer.Dir = dir
		close, err := viewer.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		said, err := viewer.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := viewer.Start(); err != nil {
			t.Fatal(err)
		}
		if line, err := bufio.NewReader(said).ReadString('\n'); strings.TrimSpace(line) != "held" {
			t.Fatalf("%q, %v", line, err)
		}
		return func() {
			t.Helper()
			close.Close()
			if err := viewer.Wait(); err != nil {
				t.Fatal(err)
			}
		}
	}
	release := hold(`out\templates.pdf`)
	talk := lozenge(statusDisk, "make", "ember-throw.yaml", "--out", "out")
	if !strings.Contains(talk, `cannot replace out\templates.pdf: another program has it open; close it in the other program and run this again`) {
		t.Error(talk)
	}
	same(t, before, files(t, filepath.Join(dir, "out")), true)
	talk = lozenge(statusDisk, "templates", "ember-throw.yaml", "--out", "out", "--force")
	if !strings.Contains(talk, "close it in the other program") {
		t.Error(talk)
	}
	same(t, before, files(t, filepath.Join(dir, "out")), true)
	release()
	lozenge(statusDone, "make", "ember-throw.yaml", "--out", "out")
	same(t, here("../../testdata/ember-throw.yaml"), files(t, filepath.Join(dir, "out")), true)

	// A file that is no longer made is told before any other is replaced.
	lozenge(statusDone, "make", "tide-lap.yaml", "--kits", "2", "--out", "out")
	before = files(t, filepath.Join(dir, "out"))
	release = hold(`out\kits.pdf`)
	if talk = lozenge(statusDisk, "make", "ember-throw.yaml", "--out", "out"); !strings.Contains(talk, `cannot remove out\kits.pdf: another program has it open`) {
		t.Error(talk)
	}
	same(t, before, files(t, filepath.Join(dir, "out")), true)
	release()
}

// files returns what the files of a folder hold, by name.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		out[e.Name()] = readText(t, filepath.Join(dir, e.Name()))
	}
	return out
}
