// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"lozenge/export/outside"
	"lozenge/export/outside/browser"
	"lozenge/export/pdfread"
)

func TestMain(m *testing.M) {
	testscript.Main(browser.Sharing(m), map[string]func(){
		"lozenge":  main,
		"pdfwords": func() { os.Exit(pdfWords(os.Args[1])) },
		"testfont": func() { os.Exit(testFont(os.Args[1], os.Args[2], os.Args[3])) },
	})
}

// pdfWords prints the words of a PDF, those of each place on a line.
func pdfWords(path string) int {
	file, err := os.Open(path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer file.Close()
	d, err := pdfread.Read(file)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	for _, p := range d.Pages {
		for _, x := range p.Texts {
			fmt.Println(x.Value)
		}
	}
	return 0
}

// testFont writes a font of these letters with that fsType.
func testFont(path, letters, kind string) int {
	fsType, err := strconv.ParseUint(kind, 0, 16)
	if err == nil {
		err = os.WriteFile(path, fontOf(letters, uint16(fsType)), 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// fontOf returns a font of these letters: they look like others.
func fontOf(letters string, fsType uint16) []byte {
	as := map[rune]rune{}
	for i, r := range []rune(letters) {
		as[r] = 'A' + rune(i%26)
	}
	return outside.Font(as, fsType)
}

// Every command is specified by scripts; see the comment at the top of each.
// $PATTERNS is the folder of the example patterns.
func TestScripts(t *testing.T) {
	patterns, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("PATTERNS", patterns)
			return nil
		},
		Condition: func(cond string) (bool, error) {
			// /dev/full is a disk that is always full.
			if cond == "devfull" {
				_, err := os.Stat("/dev/full")
				return err == nil && runtime.GOOS == "linux", nil
			}
			return false, nil
		},
	})
}
