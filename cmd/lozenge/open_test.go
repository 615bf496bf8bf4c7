// SPDX-License-Identifier: Apache-2.0

package main

import (
	"os"
	"path/filepath"
	"testing"
)

// A double click that begins in her home folder looks beside the program;
// everywhere else it looks where it is.
func TestBesideProgram(t *testing.T) {
	home := t.TempDir()
	for _, name := range []string{"HOME", "USERPROFILE"} {
		t.Setenv(name, home)
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for where, want := range map[string]string{home: filepath.Dir(program), t.TempDir(): ""} {
		t.Chdir(where)
		if got := besideProgram(); got != want {
			t.Errorf("in %s: %q, not %q", where, got, want)
		}
	}
}
