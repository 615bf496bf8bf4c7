// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Of many that want the folder one has it at a time, though the lock's file
// comes and goes; none is left.
func TestLockFolder(t *testing.T) {
	dir := t.TempDir()
	var inside, turns atomic.Int32
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 20 {
				l, err := LockFolder(dir, time.Minute)
				if err != nil {
					t.Error(err)
					return
				}
				if n := inside.Add(1); n != 1 {
					t.Errorf("%d at once", n)
				}
				turns.Add(1)
				inside.Add(-1)
				l.Unlock()
				l.Unlock()
			}
		})
	}
	wait.Wait()
	if turns.Load() != 160 {
		t.Errorf("%d turns", turns.Load())
	}
	wantFiles(t, dir)
}

func TestLockFolderGivesUp(t *testing.T) {
	dir := t.TempDir()
	l, err := LockFolder(dir, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Unlock()
	var disk *DiskError
	if _, err := LockFolder(dir, 20*time.Millisecond); !errors.As(err, &disk) || disk.Path != dir {
		t.Errorf("error %v", err)
	}
	if _, err := LockFolder(filepath.Join(dir, "missing"), 0); !errors.As(err, &disk) || !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error %v", err)
	}
}

// A lock taken while a leftover lies there is as good as a fresh one, and the
// leftover goes with it.
func TestLockFolderAfterLeftover(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, lockName), "x")
	l, err := LockFolder(dir, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := LockFolder(dir, 0); err == nil {
		t.Error("locked twice")
	}
	l.Unlock()
	wantFiles(t, dir)
}

// Only what a run under the lock left, and what is a day old, goes.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	old := time.Now().Add(-25 * time.Hour)
	for name, age := range map[string]bool{
		".tmp-locked-0000000000000000": false, // goes
		".tmp-locked-00000000000000ff": true,  // goes
		".tmp-0000000000000001":        true,  // goes
		".tmp-0000000000000002":        false,
		".tmp-000000000000000x":        true,
		".tmp-other-000000000000003":   true,
		".tmp-":                        true,
		"mat.svg":                      true,
	} {
		path := filepath.Join(dir, name)
		write(t, path, "half")
		if age {
			if err := os.Chtimes(path, old, old); err != nil {
				t.Fatal(err)
			}
		}
	}
	l, err := LockFolder(dir, 0)
	if err != nil {
		t.Fatal(err)
	}
	l.Unlock()
	wantFiles(t, dir, ".tmp-", ".tmp-0000000000000002", ".tmp-000000000000000x", ".tmp-other-000000000000003", "mat.svg")
}

// Files added together are written at the same time, and the error is that of
// the first in their order whichever failed first; nothing is left then.
func TestAddAll(t *testing.T) {
	dir := t.TempDir()
	first, second := errors.New("first"), errors.New("second")
	failed := make(chan bool)
	b := NewBatch(Options{Locked: true})
	ready := 0
	err := b.AddAll([]File{
		{filepath.Join(dir, "a"), func(w io.Writer) error { _, err := io.WriteString(w, "a"); return err }},
		{filepath.Join(dir, "b"), func(io.Writer) error { <-failed; return first }},
		{filepath.Join(dir, "c"), func(io.Writer) error { close(failed); return second }},
	}, func(int) { ready++ })
	if err != first || ready != 1 {
		t.Errorf("error %v, %d ready", err, ready)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, TempPrefix+lockedMark+"*")); len(left) != 1 {
		t.Errorf("unfinished: %v", left)
	}
	b.Discard()
	wantFiles(t, dir)
	nothing := func(io.Writer) error { return nil }
	wantRefused(t, b.AddAll([]File{{filepath.Join(dir, "a"), nothing}, {filepath.Join(dir, ".", "a"), nothing}}, nil), WrittenTwice)
	wantFiles(t, dir)
}
