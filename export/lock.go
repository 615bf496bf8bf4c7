// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/gofrs/flock"
)

// lockName is the file that stands for a folder being written to. It has the
// prefix of unfinished files: one left over by a run that was killed can be
// deleted, and holds nobody up, for a lock ends with its process.
const lockName = TempPrefix + "lock"

// FolderLock keeps other runs out of a folder; see [LockFolder].
type FolderLock struct {
	path string       // "" once it is unlocked
	file *flock.Flock // nil where the file system keeps no locks
}

// LockFolder waits until no other run holds the lock of the folder, takes it, and
// removes what runs that were killed left unfinished there. It gives up with a
// *[DiskError] after the given time. It holds back only those that ask for it
// as well. Where the file system keeps no locks it goes on without one.
func LockFolder(dir string, patience time.Duration) (*FolderLock, error) {
	path := filepath.Join(dir, lockName)
	file := flock.New(path, flock.SetFlag(os.O_RDWR|os.O_CREATE), flock.SetPermissions(newFileMode))
	for begun := time.Now(); ; {
		lock, err := tryLock(file)
		switch {
		case lock != nil:
			lock.sweep()
			return lock, nil
		case err != nil && (!onWindows || errors.Is(err, fs.ErrNotExist) || time.Since(begun) > time.Second):
			// On Windows a file that is being removed refuses to be opened.
			return nil, &DiskError{"write to", dir, reason(err)}
		case time.Since(begun) > patience:
			return nil, &DiskError{"write to", dir, fmt.Errorf("another run has been writing there for %.0f seconds; wait for it to end, or choose another folder", patience.Seconds())}
		}
		time.Sleep(3 * time.Millisecond)
	}
}

// tryLock takes the lock of a folder, or returns nil.
func tryLock(file *flock.Flock) (*FolderLock, error) {
	unfinished.Lock()
	defer unfinished.Unlock()
	locked, err := file.TryLock()
	if locked && !stands(file) { // its holder removed it between opening and locking
		return nil, file.Unlock()
	}
	lock := &FolderLock{path: file.Path()}
	switch {
	case locked:
		lock.file = file
	case !keepsNoLocks(err):
		return nil, err
	}
	unfinished.remove[lock.path] = lock.remove
	return lock, nil
}

const onWindows = runtime.GOOS == "windows"

// keepsNoLocks reports whether an error says that the file system can't lock.
func keepsNoLocks(err error) bool {
	const invalidFunction = syscall.Errno(1) // on Windows
	return errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.ENOLCK) || onWindows && errors.Is(err, invalidFunction)
}

// stands reports whether a locked file is still what its path names.
func stands(file *flock.Flock) bool {
	mine, err := file.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(file.Path())
	return err == nil && os.SameFile(mine, there)
}

// Unlock lets others in. It may be called more than once.
func (l *FolderLock) Unlock() {
	unfinished.Lock()
	defer unfinished.Unlock()
	if unfinished.remove[l.path] != nil {
		l.remove()
		delete(unfinished.remove, l.path)
	}
	l.path = ""
}

func (l *FolderLock) remove() {
	// The file goes while it is locked: whoever opened it meanwhile will see
	// that it no longer stands there. Windows removes no open file: there it
	// goes afterwards, unless somebody has opened it meanwhile.
	err := os.Remove(l.path)
	if l.file != nil {
		_ = l.file.Unlock()
	}
	if err != nil && onWindows {
		_ = os.Remove(l.path)
	}
}

// forgotten is how old an unfinished file of an unknown run must be before it
// is taken for a leftover: no command takes nearly as long.
const forgotten = 24 * time.Hour

// sweep removes the unfinished files that runs which were killed left in the
// folder: those that were written under this lock, whose runs have all ended
// since they would hold it, and others once they are a day old. Of what
// cannot be removed nothing is said.
func (l *FolderLock) sweep() {
	now, dir := l.now(), filepath.Dir(l.path)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), TempPrefix)
		if !ok || !e.Type().IsRegular() {
			continue
		}
		number, locked := strings.CutPrefix(rest, lockedMark)
		if !isTempNumber(number) {
			continue
		}
		ended := locked && l.file != nil
		if !ended {
			info, err := e.Info()
			ended = err == nil && !now.IsZero() && now.Sub(info.ModTime()) > forgotten
		}
		if ended {
			_ = os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// now is the time by the clock that dates the folder's files, which may be
// another computer's; zero when it can't be told.
func (l *FolderLock) now() time.Time {
	file, err := os.OpenFile(l.path, os.O_WRONLY|os.O_CREATE, newFileMode)
	if err != nil {
		return time.Time{}
	}
	defer file.Close()
	if _, err := file.WriteAt([]byte{'\n'}, 1); err != nil { // on Windows byte 0 is locked
		return time.Time{}
	}
	info, err := file.Stat()
	if err != nil {
		return time.Time{}
	}
	return info.ModTime()
}

// isTempNumber reports whether s is the number in a temporary name.
func isTempNumber(s string) bool {
	return len(s) == 16 && strings.Trim(s, "0123456789abcdef") == ""
}
