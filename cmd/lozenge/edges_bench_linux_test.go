// SPDX-License-Identifier: Apache-2.0

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// BenchmarkAtTheEdges runs every command, as a process of its own, on the largest
// quilts that are planned, on tiny strips and on very long strip sets, and reports
// the most memory that it held. It fails above 10 s of processors or 500 MB, or where
// a command neither does its work nor says in a line why not.
func BenchmarkAtTheEdges(b *testing.B) {
	dir := b.TempDir()
	program := filepath.Join(dir, "lozenge")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	const two = "unit: in\nstrips: [{cut: 2 1/2, fabric: a}, {cut: 2 1/2, fabric: b}]\nfabrics: {a: {colors: [navy, teal, skyblue, linen]}, b: {colors: [white]}}\n"
	const tiny = "unit: cm\nseam: 0.1\nstrips: [{cut: 1, fabric: a}]\nfabrics: {a: {colors: [navy, teal, skyblue, linen]}}\n"
	for name, text := range map[string]string{
		"largest":   two + "columns: 316\nrows: 316\n",
		"short":     two + "columns: 316\nrows: 316\nusable_width: 12\n",
		"scattered": two + "columns: 316\nrows: 316\ncolor_order: scattered\nedges: matched\n",
		"tiny":      tiny + "usable_width: 10\nfinish: {width: 280, height: 500}\n",
		"tiny-long": tiny + "usable_width: 400\nfinish: {width: 280, height: 500}\n",
		"wide":      tiny + "usable_width: 100\nfinish: {width: 9999, height: 10}\n",
		"lap":       two + "columns: 50\nrows: 50\n",
		"long":      two + "columns: 50\nrows: 50\nusable_width: 400\n",
		"longest":   two + "columns: 50\nrows: 50\nusable_width: 2300\n",
		"thin":      "unit: in\nseam: 1/8\nstrips: [{cut: 3/4, fabric: a}]\nfabrics: {a: {colors: [navy, teal, skyblue, linen]}}\ncolumns: 100\nrows: 100\nusable_width: 400\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name+".yaml"), []byte(text), 0o666); err != nil {
			b.Fatal(err)
		}
	}
	commands := []string{"plan", "plan --json", "picture -o X", "picture --labels -o X", "picture --png -o X", "sewing", "sewing --json", "sewing --out X",
		"booklet --out X", "templates --out X", "mat --flat -o X", "cutter --out X", "cutter --lines --from pieces --out X", "cutter --die 4 --out X", "make --out X"}
	patterns, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	for _, pattern := range patterns {
		for _, command := range commands {
			b.Run(strings.TrimSuffix(filepath.Base(pattern), ".yaml")+"/"+strings.ReplaceAll(command, " ", "_"), func(b *testing.B) {
				var most int64
				for b.Loop() {
					args := strings.Fields(command)
					args = append([]string{args[0], pattern}, args[1:]...)
					if args[len(args)-1] == "X" {
						args[len(args)-1] = filepath.Join(b.TempDir(), "out")
					}
					cmd := exec.Command(program, args...)
					var talk strings.Builder
					cmd.Stderr = &talk
					_ = cmd.Run() // its status is looked at
					state := cmd.ProcessState
					use := state.SysUsage().(*syscall.Rusage)
					most = max(most, use.Maxrss>>10)
					if s := state.ExitCode(); s != statusDone && (talk.Len() == 0 || s != statusNo && s != statusUsage) {
						b.Errorf("status %d: %s", s, talk.String())
					}
					if took := state.UserTime() + state.SystemTime(); took > 10*time.Second || most > 500 {
						b.Errorf("%v of processors, %d MB", took, most)
					}
				}
				b.ReportMetric(float64(most), "MB")
			})
		}
	}
}
