// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
	p, err := Read(filepath.Join(t.TempDir(), "no.yaml"), nil)
	var ps Problems
	if p != nil || !errors.As(err, &ps) || len(ps) != 1 || ps[0].Message != "there is no such file" || !strings.HasSuffix(ps[0].Hint, "`lozenge new` writes a pattern to begin with") {
		t.Error(err)
	}
}
