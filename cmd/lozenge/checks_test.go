// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/outside"
)

// A check is a function of a package's tests: a test, a benchmark, a fuzz target
// or what one of them calls.
type check struct {
	calls []string // functions and methods, by name
	needs []string // programs and modules of Python
	full  bool     // it runs when everything is tried
}

// checks reads the tests of all packages: by folder, then by name.
func checks(t *testing.T) map[string]map[string]*check {
	t.Helper()
	const root = "../.."
	all := map[string]map[string]*check{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		dir, err := filepath.Rel(root, filepath.Dir(path))
		if dir = filepath.ToSlash(dir); all[dir] == nil {
			all[dir] = map[string]*check{}
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				c := &check{}
				ast.Inspect(f, c.see)
				all[dir][f.Name.Name] = c
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// see notes what a call in a function is for.
func (c *check) see(n ast.Node) bool {
	call, ok := n.(*ast.CallExpr)
	if !ok {
		return true
	}
	name := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		if name = f.Sel.Name; slices.Contains([]string{"outside", "browser"}, fmt.Sprint(f.X)) {
			name = fmt.Sprint(f.X, ".", name)
		}
	}
	switch name {
	case "outside.Tool", "outside.Python":
		// A name that is no literal is the emulator of another processor.
		need := "qemu-aarch64-static"
		if lit, ok := call.Args[1].(*ast.BasicLit); ok {
			need, _ = strconv.Unquote(lit.Value)
		}
		c.needs = append(c.needs, strings.Split(need, ", ")...)
	case "browser.Open":
		c.needs = append(c.needs, "chromium")
	case "outside.OnlyFull":
		c.full = true
	default:
		c.calls = append(c.calls, name)
	}
	return true
}

// needsOf adds to needs what a check and all that it calls need.
func needsOf(name string, of map[string]*check, seen, needs map[string]bool) {
	c := of[name]
	if c == nil || seen[name] {
		return
	}
	seen[name] = true
	for _, need := range c.needs {
		needs[need] = true
	}
	for _, call := range c.calls {
		needsOf(call, of, seen, needs)
	}
}

// What other programs check, of how many checks they are here to judge, and what
// to install for the others. Go hides what passing tests say, so ask for it:
//
//	go test -v ./cmd/lozenge -run Outside
func TestOutsideChecks(t *testing.T) {
	t.Parallel()
	all, rest, full := 0, 0, 0
	missing := map[string]int{} // checks, by what they lack
	for _, of := range checks(t) {
		for name, c := range of {
			if !strings.HasPrefix(name, "Test") {
				continue
			}
			needs, lacks := map[string]bool{}, false
			needsOf(name, of, map[string]bool{}, needs)
			delete(needs, "go")
			delete(needs, "cat")
			for need := range needs {
				if outside.Package(need) == "" {
					t.Errorf("%s needs %s, and outside.Package doesn't know where that comes from", name, need)
				}
				if !outside.Has(need) {
					missing[need]++
					lacks = true
				}
			}
			switch {
			case len(needs) == 0:
				continue
			case lacks:
				rest++
			case c.full && !outside.Full():
				full++
			}
			all++
		}
	}
	if all < 30 {
		t.Errorf("only %d checks by other programs were found", all)
	}
	t.Logf("%d of %d checks by other programs do not run here", rest, all)
	for _, need := range slices.Sorted(maps.Keys(missing)) {
		t.Logf("  %d for want of %s: apt-get install %s", missing[need], need, outside.Package(need))
	}
	if full > 0 {
		t.Logf("%d more run with %s=1 only; others try fewer cases without it", full, outside.Everything)
	}
	// Continuous integration installs them all.
	script := readText(t, "../../.ci/run")
	for _, of := range checks(t) {
		for name := range of {
			needs := map[string]bool{}
			if needsOf(name, of, map[string]bool{}, needs); strings.HasPrefix(name, "Test") {
				for need := range needs {
					if p := outside.Package(need); p != "" && !strings.Contains(script, p) {
						t.Errorf(".ci/run does not install %s, which %s needs", p, name)
					}
				}
			}
		}
	}
}

func readText(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Each word that a documented command, or one of continuous integration, asks go
// test for is in the name of a test of those packages.
func TestCommandsFindTheirTests(t *testing.T) {
	all := checks(t)
	find := func(where, packages, kind, words string) {
		for word := range strings.SplitSeq(words, "|") {
			if word, _, _ = strings.Cut(word, "/"); word == "^$" {
				continue
			}
			is := regexp.MustCompile(word)
			found := false
			for dir, of := range all {
				if !slices.ContainsFunc(strings.Fields(packages), func(p string) bool {
					p = strings.TrimPrefix(p, "./")
					return p == dir || p == "..." || strings.HasSuffix(p, "/...") && strings.HasPrefix(dir+"/", strings.TrimSuffix(p, "..."))
				}) {
					continue
				}
				for name := range of {
					found = found || strings.HasPrefix(name, kind) && is.MatchString(name)
				}
			}
			if !found {
				t.Errorf("%s: no %s in %s is called %q", where, kind, packages, word)
			}
		}
	}
	command := regexp.MustCompile("go test( [^`\n]*)")
	flag := regexp.MustCompile(` -(run|bench|fuzz)[ =]'?([^' ]+)`)
	packages := regexp.MustCompile(` (\./[a-z0-9/.]*)`)
	kinds := map[string]string{"run": "Test", "bench": "Benchmark", "fuzz": "Fuzz"}
	seen := 0
	for _, file := range []string{".ci/run", ".ci/bench", "DEVELOPERS.md", "README.md"} {
		for _, m := range command.FindAllStringSubmatch(readText(t, "../../"+file), -1) {
			in := ""
			for _, p := range packages.FindAllStringSubmatch(m[1], -1) {
				in += p[1] + " "
			}
			for _, f := range flag.FindAllStringSubmatch(m[1], -1) {
				if in != "" && !strings.ContainsAny(f[2], "$.\"") || f[2] == "^$" {
					seen++
					find(file, in, kinds[f[1]], f[2])
				}
			}
		}
	}
	// The sets of .ci/bench.
	for _, m := range regexp.MustCompile(`(?m)^\t"(\./\S+) (\w+)"$`).FindAllStringSubmatch(readText(t, "../../.ci/bench"), -1) {
		seen++
		find(".ci/bench", m[1], "Benchmark", m[2])
	}
	if seen < 20 {
		t.Errorf("only %d words were looked up", seen)
	}
}
