// SPDX-License-Identifier: Apache-2.0

//go:build unix

package export

import (
	"errors"
	"os"
	"strings"
	"syscall"
)

// syncFolder makes a rename last through a power cut. Some network file
// systems cannot, and say so; the file itself is safe all the same.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		// A folder that may be written to but not listed.
		if errors.Is(err, os.ErrPermission) {
			return nil
		}
		return err
	}
	defer d.Close()
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOSYS) {
		return nil
	}
	return err
}

// notFolder reports whether err says that part of a path is a file.
func notFolder(err error) bool { return errors.Is(err, syscall.ENOTDIR) }

// isHeld is for Windows: elsewhere a file that is open can be replaced.
func isHeld(string) bool { return false }

// isStream reports whether path names an open file of this process, whatever
// that leads to: a terminal, a pipe, or a file that the shell opened and that
// must not be replaced under its hands.
func isStream(path string) bool {
	return path == "/dev/stdout" || path == "/dev/stderr" ||
		strings.HasPrefix(path, "/dev/fd/") || strings.HasPrefix(path, "/proc/self/fd/")
}

func standardStream(path string) *os.File {
	switch path {
	case "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1":
		return os.Stdout
	case "/dev/stderr", "/dev/fd/2", "/proc/self/fd/2":
		return os.Stderr
	}
	return nil
}
