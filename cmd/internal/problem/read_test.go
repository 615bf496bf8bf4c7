// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/iotest"
)

func TestRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a")
	if err := os.WriteFile(path, []byte("12345"), 0o600); err != nil {
		t.Fatal(err)
	}
	for most, want := range map[int64]string{9: "12345", 5: "12345", 4: "12345", 3: "1234"} {
		if name, data, err := Read(path, nil, most, ""); name != path || string(data) != want || err != nil {
			t.Errorf("at most %d: %s %q %v", most, name, data, err)
		}
	}
	if name, data, err := Read("-", strings.NewReader("abc"), 9, ""); name != StandardInput || string(data) != "abc" || err != nil {
		t.Errorf("%s %q %v", name, data, err)
	}
}

// What can't be read is said once, with what to do, and the name once.
func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path  string
		stdin io.Reader
		want  string
	}{
		{dir, nil, dir + ": this is a folder, not a file; name the file in it"},
		{filepath.Join(dir, "no"), nil, filepath.Join(dir, "no") + ": there is no such file; check the name and the folder; or make one"},
		{filepath.Join(file, "in"), nil, filepath.Join(file, "in") + ": there is no such file; check the name and the folder; or make one"},
		{"a\x00b", nil, "a\\x00b: it can't be read: invalid argument; check that the disk or stick is still there and the name is right"},
		{strings.Repeat("x", 300), nil, strings.Repeat("x", 300) + ": it can't be read: file name too long; check that the disk or stick is still there and the name is right"},
		{"-", iotest.ErrReader(errors.New("the stick is gone")), "<standard input>: it can't be read: the stick is gone; give it as a file instead"},
	} {
		_, _, err := Read(c.path, c.stdin, 9, "; or make one")
		var ps List
		if !errors.As(err, &ps) || err.Error() != c.want {
			t.Errorf("%q: %v, want %s", c.path, err, c.want)
		}
	}
	if got := unreadable("p", &os.PathError{Op: "open", Path: "p", Err: syscall.EACCES}, "").Error(); got != "p: you may not read this file; change its permissions, or copy it to a folder of your own" {
		t.Error(got)
	}
}
