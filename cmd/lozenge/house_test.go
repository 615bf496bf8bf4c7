// SPDX-License-Identifier: Apache-2.0

package main

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The rooms and what each may lean on. A room may always use itself.
var house = map[string][]string{
	"lozenge/geometry":  {},
	"lozenge/calibrate": {"lozenge/geometry"},
	"lozenge/export":    {"lozenge/calibrate", "lozenge/geometry"},
	"lozenge/cmd":       {"lozenge/export", "lozenge/calibrate", "lozenge/geometry"},
}

func inRoom(pkg, room string) bool {
	return pkg == room || strings.HasPrefix(pkg, room+"/")
}

// deps lists each package of a pattern with all that it is built from.
func deps(t *testing.T, pattern string) map[string][]string {
	t.Helper()
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Deps " "}}`, pattern).Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	all := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		all[words[0]] = words[1:]
	}
	return all
}

// Dependencies run one way: cmd, export, calibrate, geometry.
func TestRoomsLeanOneWay(t *testing.T) {
	packages := deps(t, "lozenge/...")
	if len(packages) < 8 {
		t.Fatalf("only %d packages found", len(packages))
	}
	for pkg, uses := range packages {
		found := false
		for room, allowed := range house {
			if !inRoom(pkg, room) {
				continue
			}
			found = true
			for _, use := range uses {
				if !inRoom(use, "lozenge") || inRoom(use, room) {
					continue
				}
				ok := false
				for _, a := range allowed {
					ok = ok || inRoom(use, a)
				}
				if !ok {
					t.Errorf("%s uses %s", pkg, use)
				}
			}
		}
		if !found {
			t.Errorf("%s is in no room", pkg)
		}
	}
}

// What writes drawings knows nothing but drawings, and a drawing knows nothing of
// quilts: each may be built from these packages of the house and no others.
func TestWritersKnowOnlyDrawings(t *testing.T) {
	allowed := map[string][]string{
		"lozenge/export/draw": {"lozenge/geometry"},
	}
	for _, writer := range []string{"svg", "dxf", "pdf", "png"} {
		allowed["lozenge/export/"+writer] = []string{"lozenge/export", "lozenge/export/draw", "lozenge/geometry"}
	}
	// dxf reads as well, and follows what it reads through its blocks.
	allowed["lozenge/export/dxf"] = append(allowed["lozenge/export/dxf"], "lozenge/export/trace")
	packages := deps(t, "lozenge/export/...")
	for pkg, may := range allowed {
		uses, ok := packages[pkg]
		if !ok {
			t.Errorf("%s is gone", pkg)
		}
		for _, use := range uses {
			if inRoom(use, "lozenge") && !slices.Contains(may, use) {
				t.Errorf("%s uses %s", pkg, use)
			}
		}
	}
}

// What opens outside programs is for tests: the program is not built with it.
func TestOutsideIsForTests(t *testing.T) {
	for pkg, uses := range deps(t, "lozenge/cmd/lozenge") {
		for _, use := range uses {
			if use == "testing" || inRoom(use, "lozenge/export/outside") || inRoom(use, "github.com/chromedp") {
				t.Errorf("%s is built with %s", pkg, use)
			}
		}
	}
}

// geometry itself is built from the standard library alone and does no input
// or output.
func TestGeometryIsPure(t *testing.T) {
	for pkg, uses := range deps(t, "lozenge/geometry/...") {
		for _, use := range uses {
			first, _, _ := strings.Cut(use, "/")
			if strings.Contains(first, ".") && pkg == "lozenge/geometry" {
				t.Errorf("%s uses %s", pkg, use)
			}
		}
	}
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "lozenge/geometry/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		for _, use := range words[1:] {
			switch use {
			case "os", "io", "io/fs", "net", "net/http", "encoding/json", "encoding/xml":
				t.Errorf("%s uses %s", words[0], use)
			}
		}
	}
}

// DEVELOPERS.md names every package, and of paths, tests and names of the
// code only those that are there.
func TestDevelopersNamesWhatIsThere(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for pkg := range deps(t, "lozenge/...") {
		if !strings.Contains(page, "`"+strings.TrimPrefix(pkg, "lozenge/")+"`") {
			t.Errorf("%s is not named", pkg)
		}
	}
	path := regexp.MustCompile(`^(geometry|calibrate|export|cmd|testdata|\.ci)(/[\w.-]+)*$|^[A-Z]+\.md$`)
	test := regexp.MustCompile(`^Test\w+$`)
	symbol := regexp.MustCompile(`^(geometry|calibrate|export|strip|fabric|quilt|sewing|nest|draw|words|sheet|frames|svg|pattern)(\.[A-Z]\w*){1,2}$`)
	tests, found := checks(t), 0
	for _, name := range regexp.MustCompile("`([^`\n]+)`").FindAllStringSubmatch(page, -1) {
		name := name[1]
		switch {
		case strings.Contains(name, "FORMAT"), name == "testdata/rapid": // beside any test
		case path.MatchString(name):
			found++
			if _, err := os.Stat(filepath.Join("../..", name)); err != nil {
				t.Error(err)
			}
		case test.MatchString(name):
			found++
			if !slices.ContainsFunc(slices.Collect(maps.Values(tests)), func(of map[string]*check) bool { return of[name] != nil }) {
				t.Errorf("no test is called %s", name)
			}
		case symbol.MatchString(name):
			found++
			if out, err := exec.Command("go", "doc", name).CombinedOutput(); err != nil {
				t.Errorf("%s: %s", name, out)
			}
		}
	}
	if found < 60 {
		t.Errorf("only %d names were looked for", found)
	}
}
