// SPDX-License-Identifier: Apache-2.0

package export_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lozenge/export"
)

// A writer that panics leaves neither its own file nor those beside it, and
// its fault can be told from what a disk does.
func TestFaultOfAWriter(t *testing.T) {
	dir := t.TempDir()
	good := func(w io.Writer) error {
		_, err := io.WriteString(w, "a drawing")
		return err
	}
	bad := func(w io.Writer) error {
		var none []int
		_, err := w.Write(make([]byte, none[3]))
		return err
	}
	b := export.NewBatch(export.Options{})
	err := b.AddAll([]export.File{{Path: filepath.Join(dir, "a.svg"), Write: good}, {Path: filepath.Join(dir, "b.svg"), Write: bad}}, nil)
	b.Discard()
	var fault *export.Fault
	if !errors.As(err, &fault) || !strings.Contains(fault.What, "index out of range [3]") {
		t.Fatalf("%#v", err)
	}
	if len(fault.Where) < 2 || !strings.Contains(fault.Where[0], "TestFaultOfAWriter") || !strings.Contains(fault.Where[0], "fault_test.go:") {
		t.Errorf("where: %q", fault.Where)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
}
