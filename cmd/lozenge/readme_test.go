// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lozenge/export/booklet"
	"lozenge/export/pages"
	"lozenge/geometry"

	"github.com/spf13/cobra"
)

var update = flag.Bool("update", false, "rewrite expected files")

// The pictures in the README are what the program draws today. What is not the
// picture of a pattern that lies beside it is listed here.
func TestReadmePictures(t *testing.T) {
	const folder = "testdata/pictures/"
	dir, zigzag := t.TempDir(), "../../"+folder+"zigzag.yaml"
	others := map[string]func() []byte{
		folder + "row.svg": func() []byte {
			mustRun(t, "sewing", zigzag, "--out", filepath.Join(dir, "sewing"))
			return fileOf(t, filepath.Join(dir, "sewing", "row-05-E.svg"))
		},
		folder + "frame.svg": func() []byte {
			mustRun(t, "mat", zigzag, "--calibration", givenCalibration(t), "--out", filepath.Join(dir, "frames"))
			return fileOf(t, filepath.Join(dir, "frames", "frame-01.svg"))
		},
		folder + "booklet.png": func() []byte {
			_, plan, err := talk{}.planOf(zigzag)
			if err != nil {
				t.Fatal(err)
			}
			paper, _ := pages.Named("letter", geometry.Inch)
			b, err := booklet.Make([]booklet.Size{{Plan: plan}}, booklet.Options{Paper: paper})
			if err != nil {
				t.Fatal(err)
			}
			var page bytes.Buffer
			if err := pngOf(b.Pages[bookletPage], 60, lettering{})(&page); err != nil {
				t.Fatal(err)
			}
			return page.Bytes()
		},
	}
	files := regexp.MustCompile(`\b(testdata/[\w/-]+)\.svg\b|\btestdata/pictures/[\w-]+\.png\b`).FindAllStringSubmatch(readme(t), -1)
	if len(files) < 11 {
		t.Fatalf("%d pictures", len(files))
	}
	for _, f := range files {
		made, ok := others[f[0]]
		if !ok {
			made = func() []byte {
				out := filepath.Join(dir, "picture.svg")
				mustRun(t, "picture", "../../"+f[1]+".yaml", "-o", out, "--force")
				return fileOf(t, out)
			}
		}
		got, file := made(), "../../"+f[0]
		if *update {
			if err := os.WriteFile(file, got, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(got, fileOf(t, file)) {
			t.Errorf("%s is not what the program draws; rewrite it with -update and look at it", f[0])
		}
	}
}

// bookletPage is the page of the booklet that the README shows, from 0.
const bookletPage = 1

func readme(t *testing.T) string { return string(fileOf(t, "../../README.md")) }

func fileOf(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Every example pattern is valid, in every sense: it plans, and nothing is
// remarked on.
func TestExamplePatternsAreValid(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d example patterns, %v", len(files), err)
	}
	for _, f := range files {
		var out, talk bytes.Buffer
		if s := run([]string{"make", f, "--out", t.TempDir()}, nil, &out, &talk); s != statusDone || talk.Len() > 0 {
			t.Errorf("%s: status %d: %s", f, s, talk.String())
		}
	}
}

// The README names every command, every file that make writes, every example
// pattern, and every caution of the plan.
func TestReadmeIsComplete(t *testing.T) {
	page := strings.Join(strings.Fields(readme(t)), " ")
	has := func(what string) {
		t.Helper()
		if !strings.Contains(page, what) {
			t.Errorf("README.md does not name %s", what)
		}
	}
	for _, c := range newRoot(talk{out: &checkedWriter{w: &bytes.Buffer{}}}).Commands() {
		if c.Name() != "help" && c.Name() != "completion" && !c.Hidden {
			has("lozenge " + c.Name())
		}
	}
	dir := t.TempDir()
	var out, talk bytes.Buffer
	if s := run([]string{"make", "../../testdata/tide-lap.yaml", "--out", dir}, nil, &out, &talk); s != statusDone {
		t.Fatalf("status %d: %s", s, talk.String())
	}
	files, _ := os.ReadDir(dir)
	for _, f := range files {
		has("`" + f.Name() + "`")
	}
	examples, _ := filepath.Glob("../../testdata/*.yaml")
	for _, f := range examples {
		has("testdata/" + filepath.Base(f))
	}
	modules := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
	modules.Env = append(os.Environ(), "GOOS=windows") // with what only Windows needs
	list, err := modules.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, module := range strings.Fields(string(list)) {
		has(module) // its licence asks to be named
	}
	for _, word := range []string{"close the blade", "retire dull blades", "let fresh air in", "keep hands clear", "never", "licensed person", "one test piece"} {
		has(word)
	}
}

// Every command of the tree explains itself: two examples at least, whose flags
// exist, and what its exit status says.
func TestHelp(t *testing.T) {
	example := regexp.MustCompile(`(?m)^  lozenge `)
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		name := strings.TrimSpace(strings.TrimPrefix(c.CommandPath(), "lozenge"))
		var out, talk bytes.Buffer
		if s := run(append(strings.Fields(name), "--help"), nil, &out, &talk); s != statusDone {
			t.Fatalf("%s --help: status %d", name, s)
		}
		help := out.String()
		_, examples, _ := strings.Cut(help, "Examples:")
		examples, _, _ = strings.Cut(examples, "\n\n")
		if n := len(example.FindAllString(examples, -1)); n < 2 {
			t.Errorf("%s --help has %d examples", name, n)
		}
		for _, flag := range regexp.MustCompile(`--([a-z-]+)`).FindAllStringSubmatch(examples, -1) {
			if c.Runnable() && !c.HasSubCommands() && c.Flags().Lookup(flag[1]) == nil {
				t.Errorf("%s: an example has %s, which is no flag", name, flag[0])
			}
		}
		if !strings.Contains(help, exitStatusHelp) {
			t.Errorf("%s --help lacks its exit statuses", name)
		}
		if !strings.Contains(help, strings.TrimSpace("lozenge "+name)) {
			t.Errorf("%s --help does not show the command", name)
		}
		for _, sub := range c.Commands() {
			if sub.Name() != "help" && sub.Name() != "completion" {
				walk(sub)
			}
		}
	}
	walk(newRoot(talk{out: &checkedWriter{}}))
}
