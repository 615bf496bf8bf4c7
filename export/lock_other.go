// SPDX-License-Identifier: Apache-2.0

//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package export

import (
	"errors"
	"os"
)

// lockFile locks nothing: this system has no locks that end with a process.
func lockFile(*os.File) error { return errors.ErrUnsupported }

func removeLocked(f *os.File) {
	f.Close()
	_ = os.Remove(f.Name())
}

func transient(error) bool { return false }
