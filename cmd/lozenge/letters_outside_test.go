// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lozenge/export/outside"
)

const namesPattern = `name: 夢 Ώρα
designer: Kateřina Żółć İğdır
note: Щёголь
unit: in
strips: [{cut: 2, fabric: umi}, {cut: 2, fabric: sand}]
fabrics:
  umi: {name: 海, colors: [{name: Łęč, color: "#1f5f7a"}, {name: Їжак, color: "#6fb0c2"}]}
  sand: {name: Ş½, colors: [linen]}
columns: 3
rows: 4
`

// Poppler reads every name back as it was written from each PDF of make, out of
// fonts that these bring along, finds what begins on which page, and the language.
func TestPopplerReadsEveryName(t *testing.T) {
	pdftotext, pdffonts, pdftohtml := outside.Tool(t, "pdftotext"), outside.Tool(t, "pdffonts"), outside.Tool(t, "pdftohtml")
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	pattern, font := write("q.yaml", []byte(namesPattern)), write("more.ttf", fontOf("夢海", 0))
	mustRun(t, "make", pattern, "--font", font, "--out", filepath.Join(dir, "q"))
	for file, want := range map[string]struct{ names, marks []string }{
		"templates.pdf": {[]string{"夢 Ώρα", "海", "Ş½"}, []string{
			`<item page="1">Strip gauge</item>`, `<item page="3">Right-leaning edge triangle, 海 on the wide side</item>`}},
		"labels.pdf": {[]string{"夢 Ώρα", "海 Łęč", "海 Їжак", "Ş½ linen"}, []string{
			`<item page="1">Rows</item>`, `<item page="2">Piles</item>`, `<item page="3">Pieces</item>`}},
		"booklet.pdf": {[]string{"夢 Ώρα", "Designed by Kateřina Żółć İğdır", "Щёголь", "海", "Łęč", "Їжак", "Ş½"}, []string{
			`<item page="1">夢 Ώρα</item>`}},
	} {
		path := filepath.Join(dir, "q", file)
		text := strings.Join(strings.Fields(string(outside.Run(t, pdftotext, "-enc", "UTF-8", path, "-"))), " ")
		for _, name := range want.names {
			if !strings.Contains(text, name) {
				t.Errorf("%s: no %q in %.3000s", file, name, text)
			}
		}
		fonts := strings.Split(strings.TrimSpace(string(outside.Run(t, pdffonts, path))), "\n")[2:]
		for _, font := range fonts {
			if !regexp.MustCompile(`CID TrueType +Identity-H +yes yes yes`).MatchString(font) {
				t.Errorf("%s: a font that lacks something: %s", file, font)
			}
		}
		if len(fonts) < 2 {
			t.Errorf("%s: fonts %q", file, fonts)
		}
		outside.Run(t, pdftohtml, "-xml", "-i", path, filepath.Join(dir, file))
		outline, err := os.ReadFile(filepath.Join(dir, file) + ".xml")
		if err != nil {
			t.Fatal(err)
		}
		for _, mark := range want.marks {
			if !bytes.Contains(outline, []byte(mark)) {
				_, all, _ := bytes.Cut(outline, []byte("<outline>"))
				t.Errorf("%s: no %s in %s", file, mark, all)
			}
		}
		if data, err := os.ReadFile(path); err != nil || !bytes.Contains(data, []byte("/Lang (en)")) {
			t.Errorf("%s: no language, %v", file, err)
		}
	}
}

// Names that run from right to left stand in the order of the English words around
// them: the strip nearest you is named first.
func TestNamesFromTheRightKeepTheirOrder(t *testing.T) {
	rsvg, pdftotext := outside.Tool(t, "rsvg-convert"), outside.Tool(t, "pdftotext")
	dir := t.TempDir()
	pattern := filepath.Join(dir, "q.yaml")
	yaml := strings.NewReplacer("海", "שמיים רחבים", "Ş½", "חול").Replace(namesPattern)
	if err := os.WriteFile(pattern, []byte(yaml), 0o644); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "cutter", pattern, "--from", fromOneOfEach, "--out", filepath.Join(dir, "c"))
	pdf := filepath.Join(dir, "pieces.pdf")
	outside.Run(t, rsvg, "-f", "pdf", "-o", pdf, filepath.Join(dir, "c", "pieces.svg"))
	boxes := string(outside.Run(t, pdftotext, "-bbox", pdf, "-"))
	_, line, _ := strings.Cut(boxes, ">below:<")
	var seen []string // from the left, as librsvg places them letter by letter
	for _, m := range regexp.MustCompile(`>([\p{Hebrew},]+)</word>`).FindAllStringSubmatch(line, -1) {
		seen = append(seen, m[1])
	}
	if got := strings.Join(seen, ""); !strings.HasPrefix(got, "םיבחרםיימש,לוח") {
		t.Errorf("from the left: %q in %s", got, boxes)
	}
}

// An SVG leaves letters to the program that shows it, which takes them from any of
// its fonts: librsvg draws those that are in the one that comes with it
// (fonts-dejavu-core of Debian), of which poppler reads them back.
func TestRsvgDrawsNames(t *testing.T) {
	rsvg, pdftotext := outside.Tool(t, "rsvg-convert"), outside.Tool(t, "pdftotext")
	dir := t.TempDir()
	pattern := filepath.Join(dir, "q.yaml")
	if err := os.WriteFile(pattern, []byte(namesPattern), 0o644); err != nil {
		t.Fatal(err)
	}
	svg, pdf := filepath.Join(dir, "picture.svg"), filepath.Join(dir, "picture.pdf")
	mustRun(t, "picture", pattern, "-o", svg)
	outside.Run(t, rsvg, "-f", "pdf", "-o", pdf, svg)
	text := string(outside.Run(t, pdftotext, "-enc", "UTF-8", pdf, "-"))
	for _, name := range []string{"Ώρα", "Łęč", "Їжак", "Ş½"} {
		if !strings.Contains(text, name) {
			t.Errorf("no %q in %q", name, text)
		}
	}
}
