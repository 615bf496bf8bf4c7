// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// StandardInput is what messages call it.
const StandardInput = "<standard input>"

// Read reads a file that was named to be read, "-" being standard input: all of
// it, or one byte more than most. name is what messages call it; begin, which
// may be "", says how to come by such a file. The error is a [List].
func Read(path string, stdin io.Reader, most int64, begin string) (name string, data []byte, err error) {
	name = path
	if path == "-" {
		name = StandardInput
	} else {
		f, err := os.Open(path)
		if err != nil {
			return name, nil, unreadable(name, err, begin)
		}
		defer f.Close() // only read from: nothing can be lost
		stdin = f
	}
	var all bytes.Buffer
	if f, ok := stdin.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
			all.Grow(int(min(info.Size(), most)) + bytes.MinRead)
		}
	}
	if _, err := all.ReadFrom(io.LimitReader(stdin, most+1)); err != nil {
		return name, nil, unreadable(name, err, begin)
	}
	return name, all.Bytes(), nil
}

func unreadable(name string, err error, begin string) List {
	p := Problem{File: name, Message: "it can't be read: " + Reason(err), Hint: "check that the disk or stick is still there and the name is right"}
	switch {
	case errors.Is(err, syscall.EISDIR):
		p.Message, p.Hint = "this is a folder, not a file", "name the file in it"
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		p.Message, p.Hint = "there is no such file", "check the name and the folder"+begin
	case errors.Is(err, fs.ErrPermission):
		p.Message, p.Hint = "you may not read this file", "change its permissions, or copy it to a folder of your own"
	case name == StandardInput:
		p.Hint = "give it as a file instead"
	}
	return List{p}
}

// Reason is what the system says is wrong, without the name of the file, which
// stands in front of it.
func Reason(err error) string {
	if where := (*fs.PathError)(nil); errors.As(err, &where) {
		err = where.Err
	}
	return err.Error()
}
