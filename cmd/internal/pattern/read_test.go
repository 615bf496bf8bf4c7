// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
)

func TestReadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "Tide.yaml")
	if err := os.WriteFile(path, []byte(base), 0o600); err != nil {
		t.Fatal(err)
	}
	p, err := Read(path, nil)
	if err != nil || p.Path != path || p.Spec.Name != "Tide" {
		t.Errorf("%+v, %v", p, err)
	}
}

func TestReadStandardInput(t *testing.T) {
	p, err := Read("-", strings.NewReader(base))
	if err != nil || p.Path != "<standard input>" || p.Spec.Name != "Untitled" {
		t.Errorf("%+v, %v", p, err)
	}
	if _, err = Read("-", strings.NewReader("unit: in")); !strings.HasPrefix(err.Error(), "<standard input>:1:1: ") {
		t.Error(err)
	}
}

// counting counts what is read from an endless stream.
type counting struct{ n int }

func (c *counting) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '#'
	}
	c.n += len(p)
	return len(p), nil
}

func TestReadStopsEarly(t *testing.T) {
	c := &counting{}
	_, err := Read("-", c)
	if err == nil || !strings.Contains(err.Error(), "it is larger than 256 KiB") || c.n > 2*maxBytes {
		t.Errorf("%d bytes read, %v", c.n, err)
	}
}

func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		path  string
		stdin io.Reader
		want  string
	}{
		{dir, nil, dir + ": this is a folder, not a pattern file; name the file in it"},
		{filepath.Join(dir, "no.yaml"), nil, filepath.Join(dir, "no.yaml") + ": there is no such file; check the name"},
		{"", nil, ": there is no such file"},
		{"a\x00b", nil, "a\\x00b: it can't be read: invalid argument; check"},
		{"-", iotest.ErrReader(errors.New("the stick is gone")), "<standard input>: it can't be read: the stick is gone; give the pattern as a file"},
	} {
		p, err := Read(c.path, c.stdin)
		var ps Problems
		if p != nil || !errors.As(err, &ps) || len(ps) != 1 || ps[0].Line != 0 || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s", c.path, err, c.want)
		}
	}
	if message, _ := whyUnreadable(&os.PathError{Op: "open", Path: "p", Err: os.ErrPermission}); message != "you may not read this file" {
		t.Error(message)
	}
}
