// SPDX-License-Identifier: Apache-2.0

package words_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What this package writes is not written a second time elsewhere.
func TestOneDoorForPhrases(t *testing.T) {
	second := map[string]*regexp.Regexp{
		"a plural (words.Count, words.Noun)":         regexp.MustCompile(`%ss\b|\+= ?"s"|\+ ?"s"`),
		"a list (words.List, words.Either)":          regexp.MustCompile(`Join\(.*" (and|or) "\)|" (and|or) " ?\+ \w+\[`),
		"a large first letter (words.Capital)":       regexp.MustCompile(`ToUpper\(.*\[:1\]`),
		"a fraction (geometry.FormatFraction)":       regexp.MustCompile(`%[dv] %[dv]/%[dv]`),
		"a lean (words.LeanOf, words.Leaning)":       regexp.MustCompile(`%[sv]-leaning|\+ ?"-leaning`),
		"a kind of piece (words.Shape)":              regexp.MustCompile(`:?= "(diamond|edge triangle)"`),
		"a side of a piece (words.OnWideSide)":       regexp.MustCompile(`[%+].*on the wide side"`),
		"a side of the fabric (words.Face)":          regexp.MustCompile(`[:=(] ?"(right|wrong) side up"`),
		"an angle (words.Degrees)":                   regexp.MustCompile(`%[vg](°| degrees)`),
		"a text in lines of 78 columns (words.Wrap)": regexp.MustCompile(`> 7[68]\b`),
	}
	files := 0
	for _, room := range []string{"../../cmd", ".."} {
		err := filepath.WalkDir(room, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() && (d.Name() == "words" || d.Name() == "outside") {
				return errOr(err, fs.SkipDir)
			}
			if filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			files++
			data, err := os.ReadFile(path)
			for i, line := range strings.Split(string(data), "\n") {
				code, _, _ := strings.Cut(line, "// ")
				for what, pattern := range second {
					if pattern.MatchString(code) {
						t.Errorf("%s:%d writes %s: %s", path, i+1, what, strings.TrimSpace(line))
					}
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 100 {
		t.Fatalf("only %d files were read", files)
	}
}

func errOr(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}
