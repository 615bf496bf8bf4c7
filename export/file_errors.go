// SPDX-License-Identifier: Apache-2.0

package export

import "fmt"

// Refusal is why a file is not written.
type Refusal int

// The refusals.
const (
	Exists       Refusal = iota // a file stands there, and Force is not set
	IsFolder                    // the name is that of a folder
	IsInput                     // it is one of the files that are read
	NoFolder                    // the folder it should go to is not there
	NotFolder                   // a file stands where a folder is wanted
	NoName                      // the name is empty
	LongName                    // the name is longer than the disk takes
	WrittenTwice                // the batch already holds a file of that name
)

var refusals = [...]string{
	Exists:       "%s exists and is not replaced without --force",
	IsFolder:     "%s is a folder; name a file in it",
	IsInput:      "%s is also an input and would be lost; choose another name",
	NoFolder:     "%s: its folder does not exist; make it first",
	NotFolder:    "%s is a file, not a folder; choose another name",
	NoName:       "the name of the file to write is empty%.0s",
	LongName:     "the name %s is longer than this disk takes; choose a shorter one",
	WrittenTwice: "%s would be written twice; give each file a name of its own",
}

// RefusedError says that a file was not written because it should not be:
// wrong usage. Nothing was changed.
type RefusedError struct {
	Path string
	Why  Refusal
}

func (e *RefusedError) Error() string { return fmt.Sprintf(refusals[e.Why], e.Path) }

// DiskError says that the system failed to write a file. What stood there
// before still stands, unless it is a device or a pipe.
type DiskError struct {
	Op   string // "write", "rename", ...
	Path string
	Err  error // of the system, for errors.Is
}

func (e *DiskError) Error() string { return fmt.Sprintf("cannot %s %s: %v", e.Op, e.Path, e.Err) }

// Unwrap returns the error of the system.
func (e *DiskError) Unwrap() error { return e.Err }
