// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// A swatch is never cut: whatever the colours, black and grey among them, the files
// have as many outlines and cut lines as in colours that nobody takes for a line, and
// all that is filled lies in the group of fills and has no line.
func TestSwatchesAreNeverCut(t *testing.T) {
	const pattern = "unit: in\nstrips: [{cut: 2 1/4, fabric: moss}, {cut: 2, fabric: butter}]\ncolumns: 4\nrows: 6\ncolor_order: scattered\nfabrics: {moss: {colors: [%s]}, butter: {colors: [%s]}}\n"
	counts := map[string]string{} // by file
	for i, colours := range [][2]string{{"teal, olive, orchid, sienna, plum", "linen"}, {`black, "#808080", "#303030", "#484848", teal`, "black"}} {
		dir := t.TempDir()
		file := filepath.Join(dir, "q.yaml")
		if err := os.WriteFile(file, fmt.Appendf(nil, pattern, colours[0], colours[1]), 0o666); err != nil {
			t.Fatal(err)
		}
		for name, args := range map[string][]string{
			"make": {"make"}, "sheets": {"cutter"}, "lines": {"cutter", "--lines"}, "single": {"cutter", "--from", "pieces"},
			"die": {"cutter", "--die", "3"}, "paper": {"templates"},
		} {
			mustRun(t, append(args, file, "--out", filepath.Join(dir, name))...)
		}
		all, _ := filepath.Glob(filepath.Join(dir, "*", "*"))
		seen := 0
		for _, path := range all {
			name, _ := filepath.Rel(dir, path)
			if base := filepath.Base(name); base == "picture.svg" || base == "sewing.svg" || base == "layout.svg" || base == "labels.pdf" || base == "booklet.pdf" {
				continue // not true to size
			}
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			count := outlinesOf(t, path, file, data)
			if count == "" {
				continue
			}
			seen++
			if i == 0 {
				counts[name] = count
			} else if counts[name] != count {
				t.Errorf("%s has %s with these colours, %s with others", name, count, counts[name])
			}
		}
		if seen < 10 {
			t.Fatalf("only %d files", seen)
		}
	}
}

// outlinesOf says how much of a file is there to be cut, "" for one in which nothing
// is drawn.
func outlinesOf(t *testing.T, path, pattern string, data []byte) (count string) {
	t.Helper()
	switch filepath.Ext(path) {
	case ".svg":
		cut, fills := cutAndFilled(t, path, data)
		if fills == 0 && filepath.Base(path) != "page-01.svg" { // the strip gauge
			t.Errorf("%s has no swatch", path)
		}
		return fmt.Sprint(cut, " in the group of cuts")
	case ".dxf":
		for _, kind := range []string{"HATCH", "SOLID", "LWPOLYLINE", "LINE"} {
			count += fmt.Sprintln(kind, bytes.Count(data, []byte("\r\n"+kind+"\r\n")))
		}
	case ".pdf":
		var out, talk bytes.Buffer
		run([]string{"measure", path, "--pattern", pattern, "--json"}, nil, &out, &talk)
		if count = regexp.MustCompile(`"closed": \d+,\s+"open": \d+`).FindString(out.String()); count == "" {
			t.Fatalf("%s was not measured: %s%s", path, out.String(), talk.String())
		}
	}
	return count
}

// cutAndFilled returns how many elements an SVG has in its group of cuts and in that
// of fills, none of which has a line.
func cutAndFilled(t *testing.T, name string, data []byte) (cut, fills int) {
	t.Helper()
	group := ""
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := d.Token()
		if err != nil {
			return cut, fills
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		has := map[string]string{}
		for _, a := range e.Attr {
			has[a.Name.Local] = a.Value
		}
		if e.Name.Local == "g" && has["id"] != "" {
			group = has["id"]
			if group == "fill" && has["stroke"] != "" {
				t.Errorf("%s: the group of fills has a line", name)
			}
			continue
		}
		switch _, stroked := has["stroke"]; {
		case group == "fill" && stroked:
			t.Errorf("%s: a fill has a line", name)
		case group == "fill":
			fills++
		case group == "cut":
			cut++
		}
		if fill := has["fill"]; group != "fill" && e.Name.Local == "path" && fill != "" && fill != "none" {
			t.Errorf("%s: filled with %s in the group %s", name, fill, group)
		}
	}
}
