// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"image/png"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lozenge/export/outside"
)

// What the program writes is the same, byte for byte, on another processor
// (as QEMU carries it out), under other locales and time zones (a decimal
// comma, a dotless i: nodebox/nodebox#404, apache/hop#4240), and on one
// processor as on several.
func TestSameBytesEverywhere(t *testing.T) {
	outside.OnlyFull(t)
	t.Parallel()
	dir := t.TempDir()
	other := map[string]string{"amd64": "arm64", "arm64": "amd64"}[runtime.GOARCH]
	emulator := map[string]string{"arm64": "qemu-aarch64-static", "amd64": "qemu-x86_64-static"}[other]
	build := func(arch string) string {
		t.Helper()
		path := filepath.Join(dir, "lozenge-"+arch)
		cmd := exec.Command("go", "build", "-o", path, ".")
		cmd.Env = append(os.Environ(), "GOARCH="+arch, "CGO_ENABLED=0")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("go build for %s: %v\n%s", arch, err, out)
		}
		return path
	}
	here := build(runtime.GOARCH) // beside another processor's, built alike
	want := everything(t, filepath.Join(dir, "here"), nil, here)
	if len(want) < 60 {
		t.Fatalf("only %d files and answers", len(want))
	}
	places := [][]string{
		{"LC_ALL=ar_EG.UTF-8", "LANGUAGE=ar", "TZ=UTC+14", "GOMAXPROCS=1", "NO_COLOR=1"},
		{"LANG=de_DE.UTF-8", "LC_NUMERIC=de_DE.UTF-8", "TZ=Asia/Kathmandu"},
		{"LC_ALL=tr_TR.UTF-8", "TZ=America/St_Johns"},
		{"LC_ALL=C", "LANG=", "TZ="},
	}
	for _, env := range places {
		t.Run(strings.Join(env, " "), func(t *testing.T) {
			same(t, want, everything(t, filepath.Join(t.TempDir(), "there"), env, here), true)
		})
	}
	t.Run("GOARCH="+other, func(t *testing.T) {
		if other == "" {
			t.Skipf("no other processor is known for %s; this check did not run", runtime.GOARCH)
		}
		qemu := outside.Tool(t, emulator)
		same(t, want, everything(t, filepath.Join(t.TempDir(), "there"), nil, qemu, build(other)), false)
	})
}

// Numbers that are not rounded may differ in their last digits, where
// processors multiply and add in one step or in two: those of the calibration
// and of what was measured. Of pictures in pixels the rims of areas may.
func notRounded(name string) bool {
	return name == "projector.json" || strings.HasPrefix(name, "measure --json")
}

var aNumber = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?(e[-+]?[0-9]+)?`)

// alike reports whether two texts are the same but for numbers, which are the
// same to 1e-9.
func alike(a, b string) bool {
	if aNumber.ReplaceAllString(a, "0") != aNumber.ReplaceAllString(b, "0") {
		return false
	}
	as, bs := aNumber.FindAllString(a, -1), aNumber.FindAllString(b, -1)
	for i := range as {
		x, err := strconv.ParseFloat(as[i], 64)
		y, err2 := strconv.ParseFloat(bs[i], 64)
		if err != nil || err2 != nil || math.Abs(x-y) > 1e-9*(1+math.Abs(x)) {
			return false
		}
	}
	return true
}

// looksAlike reports whether two pictures have the same pixels, to 2 of 255.
func looksAlike(a, b string) bool {
	x, err := png.Decode(strings.NewReader(a))
	y, err2 := png.Decode(strings.NewReader(b))
	if err != nil || err2 != nil || x.Bounds() != y.Bounds() {
		return false
	}
	off := func(p, q uint32) bool { return max(p, q)-min(p, q) > 2*257 }
	for i := range x.Bounds().Dx() {
		for j := range x.Bounds().Dy() {
			r, g, b, _ := x.At(i, j).RGBA()
			r2, g2, b2, _ := y.At(i, j).RGBA()
			if off(r, r2) || off(g, g2) || off(b, b2) {
				return false
			}
		}
	}
	return true
}

// same compares files and answers by name.
func same(t *testing.T, want, got map[string]string, exactly bool) {
	t.Helper()
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s is there, and not here", name)
		}
	}
	for name, text := range want {
		switch {
		case got[name] == text:
		case !exactly && notRounded(name) && alike(text, got[name]):
		case !exactly && strings.HasSuffix(name, ".png") && looksAlike(text, got[name]):
		default:
			t.Errorf("%s differs: %s", name, firstDifference(text, got[name]))
		}
	}
}

func firstDifference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	part := func(s string) string { return s[max(min(i-40, len(s)), 0):min(i+40, len(s))] }
	return fmt.Sprintf("byte %d of %d and %d: %q and %q", i, len(a), len(b), part(a), part(b))
}

// everything runs every command that writes, in dir, and returns what came
// out: files by their paths, answers by the command. program is what runs
// the program, and the program.
func everything(t *testing.T, dir string, env []string, program ...string) map[string]string {
	t.Helper()
	patterns, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(patterns) < 3 {
		t.Fatalf("%d examples, %v", len(patterns), err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	run := func(args ...string) {
		t.Helper()
		cmd := exec.Command(program[0], slices.Concat(program[1:], args)...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), env...)
		var said, talk bytes.Buffer
		cmd.Stdout, cmd.Stderr = &said, &talk
		if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() != statusNo {
			t.Fatalf("%v: %v\n%s", args, err, talk.String())
		}
		out[strings.Join(args, " ")] = fmt.Sprintf("status %d\n%s%s", cmd.ProcessState.ExitCode(), said.String(), talk.String())
	}
	var names []string
	for _, p := range patterns {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, filepath.Base(p))
		writeText(t, filepath.Join(dir, filepath.Base(p)), string(data))
	}
	writeText(t, filepath.Join(dir, "points.csv"), readTwelve)
	run(append(append([]string{"make"}, names...), "--out", "made")...)
	for _, name := range names {
		to := strings.TrimSuffix(name, ".yaml")
		run("cutter", name, "--out", to+"-cutter")
		run("cutter", name, "--lines", "--dxf", "r12", "--out", to+"-lines")
		run("templates", name, "--out", to+"-templates")
	}
	run("picture", names[0], "--png", "--dpi", "60", "-o", "picture.png")
	run("calibrate", "target", "--screen", "1920x1080", "-o", "target.svg")
	run("calibrate", "solve", "points.csv", "--screen", "1920x1080", "-o", "projector.json", "--map", "map.svg")
	run("mat", names[0], "--calibration", "projector.json", "--out", "frames")
	run("measure", "--json", filepath.Join(strings.TrimSuffix(names[0], ".yaml")+"-templates", "templates.pdf"), "--pattern", names[0])
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(rel)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// readTwelve are twelve crosses as read to 1/32 in.
const readTwelve = `point,u,v,x,y
1,96,54,2 13/16,20
2,960,54,19,20
3,1824,54,35 3/16,20
4,96,540,2 13/16,10 7/8
5,960,540,19,10 7/8
6,1824,540,35 3/16,10 7/8
7,96,1026,2 13/16,1 3/4
8,960,1026,19,1 3/4
9,1824,1026,35 3/16,1 3/4
`
