// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

const standardInput = "<standard input>"

// Read reads and parses the pattern file at path; "-" is standard input. The
// error is a [Problems].
func Read(path string, stdin io.Reader) (*Pattern, error) {
	if path == "-" {
		src, err := readLimited(stdin)
		if err != nil {
			return nil, Problems{{File: standardInput, Message: fmt.Sprintf("it can't be read: %v", err), Hint: "give the pattern as a file instead"}}
		}
		return Parse(standardInput, src)
	}
	src, err := readFile(path)
	if err != nil {
		p := Problem{File: path}
		p.Message, p.Hint = whyUnreadable(err)
		return nil, Problems{p}
	}
	return Parse(path, src)
}

func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() // only read from: nothing can be lost
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, errDirectory
	}
	return readLimited(f)
}

// readLimited reads one byte more than a pattern may have, so that Parse sees
// that it is too large.
func readLimited(r io.Reader) ([]byte, error) {
	return io.ReadAll(io.LimitReader(r, maxBytes+1))
}

var errDirectory = errors.New("it is a folder")

func whyUnreadable(err error) (message, hint string) {
	switch {
	case errors.Is(err, errDirectory):
		return "this is a folder, not a pattern file", "name the file in it, such as pattern.yaml"
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file", "check the name and the folder; `lozenge new` writes a pattern to begin with"
	case errors.Is(err, fs.ErrPermission):
		return "you may not read this file", "change its permissions, or copy it to a folder of your own"
	}
	// The path stands in front of the message already.
	if pe := (*fs.PathError)(nil); errors.As(err, &pe) {
		err = pe.Err
	}
	return fmt.Sprintf("it can't be read: %v", err), "check that the disk or stick is still there and the name is right"
}
