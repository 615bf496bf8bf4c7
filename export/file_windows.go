// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"os"
	"syscall"
)

// syncFolder does nothing: a folder cannot be opened for that here.
func syncFolder(string) error { return nil }

func notFolder(error) bool { return false }

func isStream(string) bool { return false }

func standardStream(string) *os.File { return nil }

// isHeld reports whether another program has the file open in a way that keeps
// it from being replaced, as viewers of PDF do.
func isHeld(path string) bool {
	const (
		mayDelete        = 0x10000 // DELETE
		sharingViolation = syscall.Errno(32)
		lockViolation    = syscall.Errno(33)
	)
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return false
	}
	h, err := syscall.CreateFile(name, mayDelete, syscall.FILE_SHARE_READ|syscall.FILE_SHARE_WRITE|syscall.FILE_SHARE_DELETE, nil, syscall.OPEN_EXISTING, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err == nil {
		_ = syscall.CloseHandle(h)
	}
	return errors.Is(err, sharingViolation) || errors.Is(err, lockViolation)
}
