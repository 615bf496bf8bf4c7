// SPDX-License-Identifier: Apache-2.0

package export

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// write makes a file, and read reads one.
func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func wantFiles(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

func wantRefused(t *testing.T, err error, why Refusal) {
	t.Helper()
	var refused *RefusedError
	if !errors.As(err, &refused) || refused.Why != why {
		t.Errorf("error %v, want refusal %d", err, why)
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mat.svg")
	if err := writeFile(path, []byte("one"), Options{}); err != nil {
		t.Fatal(err)
	}
	wantRefused(t, writeFile(path, []byte("two"), Options{}), Exists)
	if got := read(t, path); got != "one" {
		t.Errorf("the old file holds %q", got)
	}
	if err := writeFile(path, []byte("two"), Options{Force: true}); err != nil {
		t.Fatal(err)
	}
	if got := read(t, path); got != "two" {
		t.Errorf("the new file holds %q", got)
	}
	wantFiles(t, dir, "mat.svg")
}

func TestRefusals(t *testing.T) {
	dir := t.TempDir()
	input := filepath.Join(dir, "quilt.yaml")
	write(t, input, "name: Harbour steps")
	opts := Options{Force: true, Inputs: []string{filepath.Join(dir, "missing"), filepath.Join(dir, ".", "quilt.yaml")}}
	for _, c := range []struct {
		path string
		why  Refusal
	}{
		{"", NoName},
		{dir, IsFolder},
		{filepath.Join(dir, "new") + string(filepath.Separator), IsFolder},
		{filepath.Join(dir, "missing", "mat.svg"), NoFolder},
		{filepath.Join(input, "mat.svg"), NoFolder},
		{input, IsInput},
	} {
		wantRefused(t, writeFile(c.path, []byte("x"), opts), c.why)
	}
	if got := read(t, input); got != "name: Harbour steps" {
		t.Errorf("the input holds %q", got)
	}
	wantFiles(t, dir, "quilt.yaml")
}

// Nothing is seen before all is complete, and a failure leaves all as it was
// (golang/go#22397, tailscale/tailscale#538).
func TestWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	old := filepath.Join(dir, "a.svg")
	write(t, old, "old")
	trouble := errors.New("cut line 12 is no line")
	b := NewBatch(Options{Force: true})
	for _, name := range []string{"a.svg", "b.svg"} {
		err := b.Add(filepath.Join(dir, name), func(w io.Writer) error {
			_, err := io.WriteString(w, "new")
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if e.Name() != "a.svg" && !strings.HasPrefix(e.Name(), TempPrefix) {
			t.Errorf("%s is there before the end", e.Name())
		}
	}
	err := b.Add(filepath.Join(dir, "c.svg"), func(w io.Writer) error {
		io.WriteString(w, "half")
		return trouble
	})
	if err != trouble {
		t.Errorf("error %v, want that of the writer as it is", err)
	}
	b.Discard()
	wantFiles(t, dir, "a.svg")
	if got := read(t, old); got != "old" {
		t.Errorf("the old file holds %q", got)
	}
	if err := b.Commit(); err != nil {
		t.Errorf("an empty batch: %v", err)
	}
}

func TestBatch(t *testing.T) {
	dir := t.TempDir()
	b := NewBatch(Options{})
	defer b.Discard()
	put := func(name string) error {
		return b.Add(filepath.Join(dir, name), func(w io.Writer) error {
			_, err := io.WriteString(w, name)
			return err
		})
	}
	for _, name := range []string{"a.svg", "b.dxf"} {
		if err := put(name); err != nil {
			t.Fatal(err)
		}
	}
	for _, one := range []string{"." + string(filepath.Separator) + "a.svg", "A.SVG", "a.svg.", "b.dxf . "} { // on some systems
		wantRefused(t, put(one), WrittenTwice)
	}
	if err := b.Commit(); err != nil {
		t.Fatal(err)
	}
	b.Discard()
	wantFiles(t, dir, "a.svg", "b.dxf")
	if got := read(t, filepath.Join(dir, "b.dxf")); got != "b.dxf" {
		t.Errorf("b.dxf holds %q", got)
	}
}

// A file that another program made in the meantime is not lost.
func TestMadeMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mat.svg")
	err := Save(path, Options{}, func(w io.Writer) error {
		write(t, path, "theirs")
		_, err := io.WriteString(w, "ours")
		return err
	})
	wantRefused(t, err, Exists)
	wantFiles(t, dir, "mat.svg")
	if got := read(t, path); got != "theirs" {
		t.Errorf("the file holds %q", got)
	}
}

// The names of errors must tell what to do, and which file.
func TestRefusedMessages(t *testing.T) {
	for why := Exists; why <= WrittenTwice; why++ {
		msg := (&RefusedError{Path: "mat.svg", Why: why}).Error()
		if msg == "mat.svg is not written" || why != NoName && !strings.Contains(msg, "mat.svg") {
			t.Errorf("refusal %d: %q", why, msg)
		}
	}
}

// writeFile saves data.
func writeFile(path string, data []byte, opts Options) error {
	return Save(path, opts, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
