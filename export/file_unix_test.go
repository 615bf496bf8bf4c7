// SPDX-License-Identifier: Apache-2.0

//go:build unix

package export

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

func TestModes(t *testing.T) {
	old := syscall.Umask(0o027)
	defer syscall.Umask(old)
	dir := t.TempDir()
	path := filepath.Join(dir, "mat.svg")
	wantMode := func(want os.FileMode) {
		t.Helper()
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := info.Mode().Perm(); got != want {
			t.Errorf("mode %o, want %o", got, want)
		}
	}
	if err := writeFile(path, []byte("one"), Options{}); err != nil {
		t.Fatal(err)
	}
	wantMode(0o640)
	for _, mode := range []os.FileMode{0o600, 0o664, 0o444, 0} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		if err := writeFile(path, []byte("two"), Options{Force: true}); err != nil {
			t.Fatal(err)
		}
		wantMode(mode)
	}
}

// The link stays and its target is replaced; a link to nothing makes the
// target.
func TestSymlinks(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "real", "deep"), 0o755); err != nil {
		t.Fatal(err)
	}
	link := func(to, name string) string {
		name = filepath.Join(dir, name)
		if err := os.Symlink(to, name); err != nil {
			t.Fatal(err)
		}
		return name
	}
	target := filepath.Join(dir, "real", "mat.svg")
	write(t, target, "old")
	link("real/deep", "folder")
	for _, path := range []string{
		link(target, "absolute"),
		link("real/mat.svg", "relative"),
		link("relative", "twice"),
		link("folder/../mat.svg", "through"), // the parent of real/deep, not of folder
	} {
		wantRefused(t, writeFile(path, []byte("new"), Options{}), Exists)
		wantRefused(t, writeFile(path, []byte("new"), Options{Force: true, Inputs: []string{target}}), IsInput)
		if err := writeFile(path, []byte(path), Options{Force: true}); err != nil {
			t.Fatal(err)
		}
		if got := read(t, target); got != path {
			t.Errorf("%s: the target holds %q", path, got)
		}
		if info, err := os.Lstat(path); err != nil || info.Mode()&os.ModeSymlink == 0 {
			t.Errorf("%s is no link any more", path)
		}
	}
	if err := writeFile(link("real/new.svg", "dangling"), []byte("new"), Options{}); err != nil {
		t.Fatal(err)
	}
	if got := read(t, filepath.Join(dir, "real", "new.svg")); got != "new" {
		t.Errorf("the new target holds %q", got)
	}
	var disk *DiskError
	if err := writeFile(link("loop", "loop"), nil, Options{}); !errors.As(err, &disk) {
		t.Errorf("a loop of links: %v", err)
	}
	wantRefused(t, writeFile(link("real", "dir"), nil, Options{Force: true}), IsFolder)
	wantFiles(t, filepath.Join(dir, "real"), "deep", "mat.svg", "new.svg")
}

func TestHardLinkToInput(t *testing.T) {
	dir := t.TempDir()
	input, output := filepath.Join(dir, "quilt.yaml"), filepath.Join(dir, "mat.svg")
	write(t, input, "name: Harbour steps")
	if err := os.Link(input, output); err != nil {
		t.Fatal(err)
	}
	wantRefused(t, writeFile(output, nil, Options{Force: true, Inputs: []string{input}}), IsInput)
}

func TestLongName(t *testing.T) {
	long := filepath.Join(t.TempDir(), strings.Repeat("x", 300))
	wantRefused(t, writeFile(long, nil, Options{}), LongName)
	wantRefused(t, MakeDir(long, 0o777), LongName)
	wantRefused(t, writeFile(filepath.Join(long, "a"), nil, Options{}), LongName)
}

// A disk that fills up: the file size limit makes the system refuse a write
// half-way, as a full disk does.
func TestDiskFull(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mat.svg")
	write(t, path, "old")
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		t.Fatal(err)
	}
	low := limit
	low.Cur = 1 << 17
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &low); err != nil {
		t.Fatal(err)
	}
	line := bytes.Repeat([]byte("x"), 1000)
	dropped := Save(path, Options{Force: true}, func(w io.Writer) error {
		for range 1000 {
			w.Write(line) // a writer that drops errors must not pass
		}
		return nil
	})
	told := Save(path, Options{Force: true}, func(w io.Writer) error {
		for range 1000 {
			if _, err := w.Write(line); err != nil {
				return fmt.Errorf("writing page 3: %w", err)
			}
		}
		return nil
	})
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{dropped, told} {
		var disk *DiskError
		if !errors.As(err, &disk) || !errors.Is(err, syscall.EFBIG) || disk.Path != path || !strings.Contains(err.Error(), "cannot write "+path+": ") {
			t.Errorf("error %v", err)
		}
	}
	wantFiles(t, dir, "mat.svg")
	if got := read(t, path); got != "old" {
		t.Errorf("the old file holds %q", got)
	}
}

func TestNamedPipe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	got := make(chan string)
	go func() { got <- read(t, path) }()
	if err := writeFile(path, []byte("through"), Options{}); err != nil {
		t.Fatal(err)
	}
	if s := <-got; s != "through" {
		t.Errorf("the reader got %q", s)
	}
	if info, err := os.Lstat(path); err != nil || info.Mode()&os.ModeNamedPipe == 0 {
		t.Error("the pipe was replaced")
	}
}

// Standard output may be a file that the shell opened: it is written to where
// it stands, not replaced, not written over.
func TestStandardOutput(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	stdout := os.Stdout
	os.Stdout = file
	io.WriteString(file, "before,")
	err = writeFile("/dev/stdout", []byte("through"), Options{})
	os.Stdout = stdout
	if closing := file.Close(); err != nil || closing != nil {
		t.Fatal(err, closing)
	}
	if got := read(t, path); got != "before,through" {
		t.Errorf("the file holds %q", got)
	}
}

func TestDevices(t *testing.T) {
	if err := writeFile("/dev/null", []byte("x"), Options{}); err != nil {
		t.Error(err)
	}
	if info, err := os.Stat("/dev/null"); err != nil || info.Mode().IsRegular() {
		t.Fatal("/dev/null was replaced")
	}
	if runtime.GOOS != "linux" {
		return
	}
	var disk *DiskError
	err := writeFile("/dev/full", []byte("x"), Options{})
	if !errors.As(err, &disk) || !errors.Is(err, syscall.ENOSPC) || disk.Path != "/dev/full" {
		t.Errorf("a full device: %v", err)
	}
	// A folder in which not even the administrator makes files.
	if err := writeFile("/proc/lozenge.svg", []byte("x"), Options{}); !errors.As(err, &disk) {
		t.Errorf("a folder that takes no files: %v", err)
	}
}
