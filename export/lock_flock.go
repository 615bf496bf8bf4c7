// SPDX-License-Identifier: Apache-2.0

//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package export

import (
	"errors"
	"os"
	"syscall"
)

// lockFile locks a file if nobody else has: errLocked when somebody has,
// errors.ErrUnsupported where the file system can't.
func lockFile(f *os.File) error {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		switch {
		case errors.Is(err, syscall.EINTR):
			continue
		case errors.Is(err, syscall.EWOULDBLOCK):
			return errLocked
		case errors.Is(err, syscall.ENOLCK):
			return errors.ErrUnsupported
		}
		return err // ENOSYS and ENOTSUP are errors.ErrUnsupported already
	}
}

// removeLocked removes the file while it is still locked: whoever opened it
// meanwhile will see that it no longer stands there.
func removeLocked(f *os.File) {
	_ = os.Remove(f.Name())
	f.Close()
}

// transient reports whether opening the file may succeed a moment later.
func transient(error) bool { return false }
