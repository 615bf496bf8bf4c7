// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// lockName is the file that stands for a folder being written to. It has the
// prefix of unfinished files: one left over by a run that was killed can be
// deleted, and holds nobody up, for a lock ends with its process.
const lockName = TempPrefix + "lock"

// FolderLock keeps other runs out of a folder; see [LockFolder].
type FolderLock struct {
	dir  string
	file *os.File
	real bool // the file system keeps locks
}

// errLocked says that another process, or another lock of this one, holds it.
var errLocked = errors.New("locked")

// LockFolder waits until no other run holds the lock of the folder, and takes
// it. It gives up with a *[DiskError] after the given time. It holds back
// only those that ask for it as well. Where the file system keeps no locks it
// goes on without one.
func LockFolder(dir string, patience time.Duration) (*FolderLock, error) {
	path := filepath.Join(dir, lockName)
	for begun := time.Now(); ; {
		file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, newFileMode)
		if err != nil && !(transient(err) && time.Since(begun) < time.Second) {
			return nil, &DiskError{"write to", dir, reason(err)}
		}
		if err == nil {
			err = lockFile(file)
			if err == nil && !stands(file, path) {
				// Its holder removed it between the two calls.
				file.Close()
				continue
			}
			if err == nil || errors.Is(err, errors.ErrUnsupported) {
				return &FolderLock{dir, file, err == nil}, nil
			}
			file.Close()
			if !errors.Is(err, errLocked) {
				return nil, &DiskError{"lock", dir, reason(err)}
			}
		}
		if time.Since(begun) > patience {
			return nil, &DiskError{"write to", dir, fmt.Errorf("another run has been writing there for %.0f seconds; wait for it to end, or choose another folder", patience.Seconds())}
		}
		time.Sleep(3 * time.Millisecond)
	}
}

// stands reports whether file is still what path names.
func stands(file *os.File, path string) bool {
	mine, err := file.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(path)
	return err == nil && os.SameFile(mine, there)
}

// Unlock lets others in. It may be called more than once.
func (l *FolderLock) Unlock() {
	if l.file != nil {
		removeLocked(l.file)
		l.file = nil
	}
}

// forgotten is how old an unfinished file of an unknown run must be before it
// is taken for a leftover: no command takes nearly as long.
const forgotten = 24 * time.Hour

// Sweep removes the unfinished files that runs which were killed left in the
// folder: those with the mark of [Options], whose runs have all ended since
// they would hold this lock, and others once they are a day old. Of what
// cannot be removed nothing is said.
func (l *FolderLock) Sweep(mark string) {
	now := l.now()
	entries, err := os.ReadDir(l.dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), TempPrefix)
		if !ok || !e.Type().IsRegular() {
			continue
		}
		marked := strings.HasPrefix(rest, mark) && isTempNumber(rest[len(mark):])
		ended := marked && l.real
		if !ended && (marked || isTempNumber(rest)) {
			info, err := e.Info()
			ended = err == nil && !now.IsZero() && now.Sub(info.ModTime()) > forgotten
		}
		if ended {
			_ = os.Remove(filepath.Join(l.dir, e.Name()))
		}
	}
}

// now is the time by the clock that dates the folder's files, which may be
// another computer's; zero when it can't be told.
func (l *FolderLock) now() time.Time {
	if _, err := l.file.WriteAt([]byte{'\n'}, 0); err != nil {
		return time.Time{}
	}
	info, err := l.file.Stat()
	if err != nil {
		return time.Time{}
	}
	return info.ModTime()
}

// isTempNumber reports whether s is the number in a temporary name.
func isTempNumber(s string) bool {
	return len(s) == 16 && strings.Trim(s, "0123456789abcdef") == ""
}
