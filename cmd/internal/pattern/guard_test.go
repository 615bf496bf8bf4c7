// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"strings"
	"testing"
)

// hostile returns files that cost a YAML reader without guards seconds to
// minutes or gigabytes, and a part of what is said about each.
func hostile() map[string][2]string {
	fill := func(unit string) string { return strings.Repeat(unit, maxBytes/len(unit)) }
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c <= 'i'; c++ {
		bomb += fmt.Sprintf("%c: &%c [*%c,*%c,*%c,*%c,*%c,*%c,*%c,*%c,*%c]\n", c, c, c-1, c-1, c-1, c-1, c-1, c-1, c-1, c-1, c-1)
	}
	return map[string][2]string{
		"brackets":           {fill("["), "1:33: it is nested more than 32 deep"},
		"braces":             {fill("{a: "), "1:129: it is nested more than 32 deep"},
		"bracket lines":      {fill("[\n"), "more than 10000"},
		"dashes":             {fill("- "), "1:65: it is nested more than 32 deep"},
		"dash lines":         {fill("-\n"), "more than 10000"},
		"key chain":          {fill("a: "), "1:2001: the line is longer than 2000 characters"},
		"keys":               {fill("a:\n"), "more than 10000"},
		"notes":              {fill("#\n"), "more than 10000"},
		"plain lines":        {fill("a\n"), "10001:1: there are more than 10000 lines"},
		"merge signs":        {"a: " + fill("<")[:maxBytes-3], "1:2001: the line is longer than 2000 characters"},      // 19 s without guards
		"quoted tabs":        {`a: "` + fill("\t")[:maxBytes-6] + `x"`, "1:2001:"},                                     // 21 s
		"block of line ends": {"a: |\n x" + fill("\n")[:maxBytes-8] + "b", "10001:1: there are more than 10000 lines"}, // minutes
		"alias bomb":         {bomb, "1:4: & at the beginning of a value is an anchor"},
		"anchors":            {fill("- &a [*a,*a]\n"), "more than 10000"},
		"one more byte":      {fill("# 56789\n") + "\n", "q.yaml: it is larger than 256 KiB"},
	}
}

func TestHostile(t *testing.T) {
	for name, c := range hostile() {
		t.Run(name, func(t *testing.T) {
			if err := problemsOf(t, c[0]).Error(); !strings.Contains(strings.SplitN(err, "\n", 2)[0], c[1]) {
				t.Errorf("%.300s\nwant %s", err, c[1])
			}
		})
	}
}

// Run with: go test -bench Hostile -benchmem
func BenchmarkHostile(b *testing.B) {
	for name, c := range hostile() {
		b.Run(name, func(b *testing.B) {
			src := []byte(c[0])
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse("q.yaml", src); err == nil {
					b.Fatal("accepted")
				}
			}
		})
	}
}

// As much as the guards let through, of what costs the YAML library most.
func BenchmarkWithinLimits(b *testing.B) {
	pad := func(s string) string { return s + strings.Repeat("\\\n", maxLines-10) }
	for name, src := range map[string]string{
		"keys":       strings.Repeat("a:\n- \n", maxKeys-1),
		"dashes":     strings.Repeat("- a\n", maxMarks-1),
		"flow":       "[\n" + strings.Repeat("{a: b},\n", 1900) + "]",
		"text lines": pad("a:\n  "),
		"line ends":  "a: |\n" + strings.Repeat(" x"+strings.Repeat(" ", 900)+strings.Repeat("\n", 99), 99),
		"signs":      strings.Repeat("a: "+strings.Repeat("< ", 900)+"\n", 140),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse("q.yaml", []byte(src)); err == nil {
					b.Fatal("accepted")
				}
			}
		})
	}
}

func TestLimits(t *testing.T) {
	nest := func(n int) string { return base + "name: " + strings.Repeat("[", n) + strings.Repeat("]", n) + "\n" }
	checkProblems(t, nest(32), "7:7: a text is wanted here, not a list")
	checkProblems(t, nest(33), "7:39: it is nested more than 32 deep")
	checkProblems(t, base+"name: "+strings.Repeat("{a: [", 17)+"\n", "7:87: it is nested more than 32 deep")
	checkProblems(t, strings.Repeat("- ", 32)+"a\n", "1:1: is wanted here, not a list")
	checkProblems(t, strings.Repeat("- ", 33)+"a\n", "1:65: it is nested more than 32 deep")
	var steps strings.Builder
	for i := range 40 {
		fmt.Fprintf(&steps, "%sa:\n", strings.Repeat(" ", i))
	}
	checkProblems(t, steps.String(), "33:33: it is nested more than 32 deep")
	// Brackets in notes and quotes are only text.
	parse(t, base+"# "+strings.Repeat("[", 1000)+"\nname: '"+strings.Repeat("[", 100)+"'\n")

	parse(t, base+"# "+strings.Repeat("½", 1998)+"\n")
	checkProblems(t, base+"# "+strings.Repeat("½", 1999)+"\n", "7:2001: the line is longer than 2000 characters")
	parse(t, base+strings.Repeat("\n", 100)+"angle: 60\n")
	checkProblems(t, base+strings.Repeat("\n", 101)+"angle: 60\n", "7:1: more than 100 empty lines in a row")
	checkProblems(t, strings.Repeat("a: b\n", 2001), "2001:2: up to here there are more than 2000 keys")

	full := base + strings.Repeat("# "+strings.Repeat("x", 97)+"\n", (maxBytes-len(base))/100)
	full += strings.Repeat("#", maxBytes-len(full)-1) + "\n"
	parse(t, full)
	checkProblemWithoutLine(t, full+"\n", "it is larger than 256 KiB")
}

func checkProblemWithoutLine(t *testing.T, src, fragment string) {
	t.Helper()
	ps := problemsOf(t, src)
	if len(ps) != 1 || ps[0].Line != 0 || !strings.HasPrefix(ps[0].String(), "q.yaml: "+fragment) {
		t.Errorf("%v, want %s", ps, fragment)
	}
}

func TestNotText(t *testing.T) {
	checkProblemWithoutLine(t, "\xff\xfeu\x00n\x00", "the text is UTF-16, not UTF-8; save the file again with the encoding UTF-8")
	checkProblemWithoutLine(t, "\xfe\xff\x00u\x00n", "the text is UTF-16")
	checkProblemWithoutLine(t, "u\x00n\x00i\x00t\x00", "the text is UTF-16")
	checkProblemWithoutLine(t, "\x00u\x00n\x00i\x00t", "the text is UTF-16")
	checkProblems(t, "# ½\nname: caf\xe9\n", "2:10: the byte 0xe9 is not UTF-8 text")
	checkProblems(t, base+"name: ½\x01\n", "7:8: an invisible control character (U+0001)")
	checkProblems(t, base+"name: \u0085\n", "7:7: (U+0085)")
	checkProblems(t, "\x7fELF\x00", "1:1: (U+007F)")
	checkProblems(t, "%pdf\r\x00", "2:1: (U+0000)")
	// Files of other kinds, by how they begin.
	for src, what := range map[string]string{
		"{\\rtf1\\ansi\\deff0\n" + base + "}":      "a word processor's file (RTF)",
		"\ufeff{\\rtf1\n":                          "a word processor's file (RTF)",
		"PK\x03\x04\x14\x00\x06\x00":               "a spreadsheet's or word processor's own file",
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\x00\x00": "a spreadsheet's or word processor's own file",
		"%PDF-1.7\r\x00":                           "a PDF",
		"\x89PNG\r\n\x1a\n":                        "a picture",
		"\xff\xd8\xff\xe0":                         "a picture",
		"\n<!DOCTYPE html>\n":                      "a web page or drawing (HTML, XML or SVG)",
		"<svg xmlns=\"x\"/>":                       "a web page or drawing (HTML, XML or SVG)",
	} {
		checkProblemWithoutLine(t, src, "this is "+what+", not plain text; give the pattern file")
	}
}

// What the library prints is put into plain words, also a message that is not
// known yet.
func TestPlainSyntax(t *testing.T) {
	for message, want := range map[string]string{
		`invalid header option: "3"`:          "a value can't begin with | or >",
		"could not find multi-line content":   "a value can't begin with | or >",
		"found invalid tag character '}'":     "a value can't begin with !",
		"unexpected scalar value type *ast.X": "this does not belong here",
		"the moon is full":                    "this does not belong here",
	} {
		if got, hint := plainSyntax(message); got != want || hint == "" {
			t.Errorf("%s: %s; %s", message, got, hint)
		}
	}
}
