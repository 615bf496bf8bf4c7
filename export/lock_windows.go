// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockFile locks a file if nobody else has: errLocked when somebody has,
// errors.ErrUnsupported where the file system can't.
func lockFile(f *os.File) error {
	// A byte far behind the end, so that the file can still be written to.
	at := &windows.Overlapped{OffsetHigh: 1}
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, at)
	switch {
	case errors.Is(err, windows.ERROR_LOCK_VIOLATION), errors.Is(err, windows.ERROR_IO_PENDING):
		return errLocked
	case errors.Is(err, windows.ERROR_NOT_SUPPORTED), errors.Is(err, windows.ERROR_INVALID_FUNCTION):
		return errors.ErrUnsupported
	}
	return err
}

// removeLocked removes the file after closing it: an open file can't be
// removed here. If somebody has opened it meanwhile, it stays, and is theirs
// to remove.
func removeLocked(f *os.File) {
	f.Close()
	_ = os.Remove(f.Name())
}

// transient reports whether opening the file may succeed a moment later: one
// that is being removed refuses to be opened.
func transient(err error) bool {
	return errors.Is(err, windows.ERROR_ACCESS_DENIED) || errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_DELETE_PENDING)
}
