// SPDX-License-Identifier: Apache-2.0

package export_test

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"lozenge/export"
)

// A file is there whole or not at all, and what stands there is kept.
func ExampleSave() {
	dir, _ := os.MkdirTemp("", "")
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "plan.txt")
	write := func(w io.Writer) error {
		_, err := io.WriteString(w, "12 strip sets\n")
		return err
	}
	fmt.Println(export.Save(path, export.Options{}, write))
	err := export.Save(path, export.Options{}, write)
	refused, ok := err.(*export.RefusedError)
	fmt.Println(ok && refused.Why == export.Exists)
	fmt.Println(export.Save(path, export.Options{Force: true}, write))
	// Output:
	// <nil>
	// true
	// <nil>
}
