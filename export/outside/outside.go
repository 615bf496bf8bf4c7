// SPDX-License-Identifier: Apache-2.0

// Package outside finds programs that were not written here, so that tests
// can have them judge a file. Nothing but tests may import it.
package outside

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Require is the environment variable that, set to 1, makes a program that
// is missing a failure: continuous integration sets it, so that no check
// goes quiet there.
const Require = "LOZENGE_REQUIRE_OUTSIDE"

// Tool returns the path of a program, or skips the test with a line that
// names it.
func Tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		missing(t, name)
	}
	return path
}

// Python returns the path of a Python 3 that can import the module, or skips
// the test with a line that names it.
func Python(t testing.TB, module string) string {
	t.Helper()
	for _, name := range []string{"python3", "/usr/bin/python3", "python"} {
		path, err := exec.LookPath(name)
		if err == nil && exec.Command(path, "-c", "import "+module).Run() == nil {
			return path
		}
	}
	missing(t, "python3 with the module "+module)
	return ""
}

// Run runs a program and returns what it printed; if it fails, so does the
// test, with what it complained of.
func Run(t testing.TB, path string, args ...string) []byte {
	t.Helper()
	var complaint strings.Builder
	cmd := exec.Command(path, args...)
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", path, strings.Join(args, " "), err, complaint.String())
	}
	return out
}

func missing(t testing.TB, what string) {
	t.Helper()
	if os.Getenv(Require) == "1" {
		t.Fatalf("%s is not installed, and %s=1 asks for it", what, Require)
		return
	}
	t.Skipf("%s is not installed; this check did not run", what)
}
