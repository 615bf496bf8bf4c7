// SPDX-License-Identifier: Apache-2.0

// Package outside finds programs that were not written here, so that tests
// can have them judge a file. Nothing but tests may import it.
package outside

import (
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
)

// Require is the environment variable that, set to 1, makes a program that
// is missing a failure: continuous integration sets it, so that no check
// goes quiet there.
const Require = "LOZENGE_REQUIRE_OUTSIDE"

// Package returns the Debian package that has a program or a module of Python
// 3, or nothing.
func Package(name string) string {
	return map[string]string{
		"chromium":     "chromium",
		"cv2":          "python3-opencv",
		"ezdxf":        "python3-ezdxf",
		"glpsol":       "glpk-utils",
		"librecad":     "librecad",
		"matplotlib":   "python3-matplotlib",
		"mpmath":       "python3-mpmath",
		"pdffonts":     "poppler-utils",
		"pdfinfo":      "poppler-utils",
		"pdftocairo":   "poppler-utils",
		"pdftohtml":    "poppler-utils",
		"pdftoppm":     "poppler-utils",
		"pdftotext":    "poppler-utils",
		"rsvg-convert": "librsvg2-bin",
		"scipy":        "python3-scipy",
		"shapely":      "python3-shapely",
		"wine":         "wine",

		"qemu-aarch64-static": "qemu-user-static",
		"qemu-x86_64-static":  "qemu-user-static",

		"x86_64-w64-mingw32-gcc": "gcc-mingw-w64-x86-64",
	}[name]
}

// Has reports whether a program or a module of Python 3 is there.
func Has(name string) bool {
	if strings.HasPrefix(Package(name), "python3-") {
		return python(name) != ""
	}
	_, err := exec.LookPath(name)
	return err == nil
}

// python returns the path of a Python 3 that can import modules, or nothing.
func python(modules string) string {
	if path, ok := pythons.Load(modules); ok {
		return path.(string)
	}
	found := ""
	for _, name := range []string{"python3", "/usr/bin/python3", "python"} {
		path, err := exec.LookPath(name)
		if err == nil && exec.Command(path, "-c", "import "+modules).Run() == nil {
			found = path
			break
		}
	}
	pythons.Store(modules, found)
	return found
}

var pythons sync.Map // by modules: to import them takes its time

// Lacks skips the test for want of what only an administrator or another system
// has, such as a disk of its own; where [Require] asks for everything it fails.
func Lacks(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv(Require) == "1" {
		t.Fatalf(format+", and %s=1 asks for it", append(args, Require)...)
		return
	}
	t.Skipf(format+"; this check did not run", args...)
}

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

// Axe names the variable that holds the path of axe.min.js of the npm package
// axe-core, which finds what a screen reader or a keyboard trips over.
const Axe = "LOZENGE_AXE"

// AxeCore returns that program, or skips the test.
func AxeCore(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile(os.Getenv(Axe))
	if err != nil {
		missing(t, "axe-core")
	}
	return string(data)
}

// Python returns the path of a Python 3 that can import modules, which commas
// part, or skips the test with a line that names them.
func Python(t testing.TB, modules string) string {
	t.Helper()
	path := python(modules)
	if path == "" {
		var lack []string
		for module := range strings.SplitSeq(modules, ", ") {
			if !Has(module) {
				lack = append(lack, module)
			}
		}
		missing(t, lack...)
	}
	return path
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

func missing(t testing.TB, names ...string) {
	t.Helper()
	var install []string
	for _, name := range names {
		install = append(install, Package(name))
	}
	what := strings.Join(names, " and ") + " is not installed"
	if p := strings.TrimSpace(strings.Join(install, " ")); p != "" {
		what += " (apt-get install " + p + ")"
	}
	Lacks(t, "%s", what)
}
