// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// MakeDir makes a folder and those above it, if they are not there, with a mode
// less the umask. A file in its place is a *[RefusedError], anything else a
// *[DiskError].
func MakeDir(path string, mode fs.FileMode) error {
	if path == "" {
		return &RefusedError{Why: NoName}
	}
	err := os.MkdirAll(path, mode)
	if err == nil {
		return nil
	}
	var where *fs.PathError
	if errors.As(err, &where) && errors.Is(err, syscall.ENOTDIR) {
		return &RefusedError{Path: where.Path, Why: NotFolder}
	}
	if errors.Is(err, syscall.ENAMETOOLONG) {
		return &RefusedError{Path: path, Why: LongName}
	}
	return &DiskError{Op: "make the folder", Path: path, Err: reason(err)}
}
