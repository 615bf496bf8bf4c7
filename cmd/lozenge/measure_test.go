// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/export/outside"
)

// exact is within what every file is promised to measure, in inches.
const exact = 0.0005

// measureJSONOf runs measure --json and returns its answer.
func measureJSONOf(t *testing.T, want int, args ...string) jsonMeasure {
	t.Helper()
	var out, talk bytes.Buffer
	if s := run(append([]string{"measure", "--json", "--unit", "in"}, args...), nil, &out, &talk); s != want {
		t.Fatalf("measure %v: status %d: %s%s", args, s, talk.String(), out.String())
	}
	var m jsonMeasure
	if err := json.Unmarshal(out.Bytes(), &m); err != nil {
		t.Fatalf("%v: %s", err, out.String())
	}
	return m
}

// isExact checks square, diagonals and pieces of a report.
func isExact(t *testing.T, file string, m jsonMeasure, within float64) {
	t.Helper()
	if q := m.Square; q != nil {
		for _, off := range []float64{q.Width - q.Nominal, q.Height - q.Nominal, q.Diagonals[0]/math.Sqrt2 - q.Nominal, q.Diagonals[1]/math.Sqrt2 - q.Nominal} {
			if math.Abs(off) > within {
				t.Errorf("%s: the square is off by %v: %+v", file, off, q)
			}
		}
	}
	for _, p := range m.Pieces {
		if p.Worst > within || p.Piece == nil || p.Mirrored {
			t.Errorf("%s: %+v", file, p)
		}
	}
	// Whole outlines side by side share edges; everything else is cut once.
	sheet := strings.HasPrefix(filepath.Base(file), "sheet-")
	if m.Overlaps != 0 && !(sheet && filepath.Base(filepath.Dir(file)) != "lines") {
		t.Errorf("%s: %d overlaps", file, m.Overlaps)
	}
}

// drawings returns the SVG, DXF and PDF files below a folder.
func drawings(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if ext := filepath.Ext(path); err == nil && (ext == ".svg" || ext == ".dxf" || ext == ".pdf") {
			out = append(out, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func mustRun(t *testing.T, args ...string) {
	t.Helper()
	var talk bytes.Buffer
	if s := run(args, nil, &talk, &talk); s != statusDone {
		t.Fatalf("%v: status %d: %s", args, s, talk.String())
	}
}

// Every drawing that any command writes measures true, and every outline is
// the piece that it should be.
func TestEveryFileMeasuresTrue(t *testing.T) {
	t.Parallel()
	patterns, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(patterns) < 3 {
		t.Fatalf("%d examples, %v", len(patterns), err)
	}
	for _, pattern := range outside.Of(patterns[:1], patterns) {
		dir := t.TempDir()
		mustRun(t, "make", pattern, "--out", filepath.Join(dir, "make"))
		mustRun(t, "cutter", pattern, "--sheet", "12x24in", "--sheet", "24x24in", "--out", filepath.Join(dir, "outlines"))
		mustRun(t, "cutter", pattern, "--lines", "--sheet", "12x24in", "--sheet", "24x24in", "--out", filepath.Join(dir, "lines"))
		for _, form := range []string{"ac1015", "r12", "d6673"} {
			mustRun(t, "cutter", pattern, "--from", "one-of-each", "--dxf", form, "--out", filepath.Join(dir, form))
		}
		mustRun(t, "mat", pattern, "--flat", "-o", filepath.Join(dir, "mat.svg"))
		mustRun(t, "picture", pattern, "-o", filepath.Join(dir, "picture.svg"))
		for _, paper := range []string{"letter", "a4"} {
			mustRun(t, "templates", pattern, "--paper", paper, "--out", filepath.Join(dir, paper))
		}
		files := drawings(t, dir)
		if len(files) < 10 {
			t.Fatalf("%s: only %v", pattern, files)
		}
		pieces := 0
		for _, file := range files {
			if filepath.Base(file) == "labels.pdf" {
				continue // cut apart, but of no size to prove
			}
			m := measureJSONOf(t, statusDone, file, "--pattern", pattern)
			isExact(t, file, m, exact)
			pieces += len(m.Pieces)
			picture := filepath.Base(file) == "picture.svg" || filepath.Base(file) == "sewing.svg" || filepath.Base(file) == "layout.svg"
			if picture != (m.Square == nil) || picture != (m.Verdict == "page only") || !picture && m.Verdict != "true" {
				t.Errorf("%s: %+v", file, m)
			}
			if size, ok := map[string][2]float64{"letter": {8.5, 11}, "a4": {210 / 25.4, 297 / 25.4}}[filepath.Base(filepath.Dir(file))]; ok {
				// Within 0.005 pt.
				if math.Abs(m.Page.Width-size[0]) > 0.005/72 || math.Abs(m.Page.Height-size[1]) > 0.005/72 {
					t.Errorf("%s: the page is %+v, want %v", file, m.Page, size)
				}
			}
		}
		if pieces < 8 {
			t.Errorf("%s: only %d outlines were compared", pattern, pieces)
		}
	}
}

// Other programs read our files and write them anew; what they wrote measures
// as what we wrote, so reader and writer are not wrong together.
func TestMeasureAgreesWithOtherPrograms(t *testing.T) {
	t.Parallel()
	rsvg := outside.Tool(t, "rsvg-convert")
	cairo := outside.Tool(t, "pdftocairo")
	python := outside.Python(t, "ezdxf")
	const pattern = "../../testdata/tide-lap.yaml"
	dir := t.TempDir()
	mustRun(t, "cutter", pattern, "--from", "one-of-each", "--out", dir)
	mustRun(t, "templates", pattern, "--paper", "letter", "--out", dir)
	// librsvg: SVG to PDF.
	pieces := filepath.Join(dir, "pieces.svg")
	out := filepath.Join(dir, "rsvg.pdf")
	outside.Run(t, rsvg, "-f", "pdf", "-o", out, pieces)
	own := measureJSONOf(t, statusDone, pieces, "--pattern", pattern)
	m := measureJSONOf(t, statusDone, out, "--pattern", pattern)
	isExact(t, out, m, exact)
	if m.Square.FoundBy != "shape" || len(m.Pieces) != len(own.Pieces) || math.Abs(m.Page.Width-own.Page.Width) > exact || math.Abs(m.Page.Height-own.Page.Height) > exact {
		t.Errorf("rsvg: %+v, ours: %+v", m, own)
	}
	for i, p := range m.Pieces {
		if *p.Piece != *own.Pieces[i].Piece {
			t.Errorf("rsvg: outline %d is a %s, ours a %s", p.Outline, *p.Piece, *own.Pieces[i].Piece)
		}
	}
	// poppler: PDF to SVG, a page of a whole number of points.
	for page := 1; page <= 3; page++ {
		out := filepath.Join(dir, fmt.Sprintf("cairo-%d.svg", page))
		outside.Run(t, cairo, "-svg", "-f", fmt.Sprint(page), "-l", fmt.Sprint(page), filepath.Join(dir, "templates.pdf"), out)
		// Its letters are shapes; the size is told here.
		m := measureJSONOf(t, statusDone, out, "--square", "4in", "--pattern", pattern)
		isExact(t, out, m, exact)
		if m.Square == nil || math.Abs(m.Page.Width-8.5) > 1e-9 || page > 1 && len(m.Pieces) != 1 {
			t.Errorf("pdftocairo, page %d: %+v", page, m)
		}
	}
	// ezdxf: DXF read and written as another version, each edge a line of its
	// own.
	out = filepath.Join(dir, "ezdxf.dxf")
	outside.Run(t, python, "-c", `
import sys, ezdxf
old = ezdxf.readfile(sys.argv[1])
new = ezdxf.new("R2010", units=old.header["$INSUNITS"])
for e in old.modelspace():
    if e.dxftype() == "LWPOLYLINE":
        for line in e.virtual_entities():
            new.modelspace().add_line(line.dxf.start, line.dxf.end, dxfattribs={"layer": e.dxf.layer})
    elif e.dxftype() == "LINE":
        new.modelspace().add_line(e.dxf.start, e.dxf.end, dxfattribs={"layer": e.dxf.layer})
new.saveas(sys.argv[2])
`, filepath.Join(dir, "pieces.dxf"), out)
	m = measureJSONOf(t, statusDone, out, "--square", "4in", "--pattern", pattern)
	isExact(t, out, m, exact)
	if m.Square.FoundBy != "layer" || m.Outlines != own.Outlines || len(m.Pieces) != len(own.Pieces) {
		t.Errorf("ezdxf: %+v, ours: %+v", m, own)
	}
}

// scaleSVG changes the size of the root.
func scaleSVG(src string, x, y float64) string {
	side := regexp.MustCompile(`(width|height)="([0-9.]+)(in|cm)"`)
	n := 0
	return side.ReplaceAllStringFunc(src, func(s string) string {
		if n++; n > 2 {
			return s
		}
		m := side.FindStringSubmatch(s)
		var v float64
		fmt.Sscan(m[2], &v)
		k := x
		if m[1] == "height" {
			k = y
		}
		more := ""
		if n == 1 {
			more = ` preserveAspectRatio="none"`
		}
		return fmt.Sprintf(`%s="%.9f%s"%s`, m[1], v*k, m[3], more)
	})
}

// scaleDXF multiplies coordinates.
func scaleDXF(src string, x, y float64) string {
	lines := strings.Split(src, "\r\n")
	for i := 0; i+1 < len(lines); i += 2 {
		k := 0.0
		switch strings.TrimSpace(lines[i]) {
		case "10", "11":
			k = x
		case "20", "21":
			k = y
		default:
			continue
		}
		var v float64
		fmt.Sscan(lines[i+1], &v)
		lines[i+1] = fmt.Sprintf("%.9f", v*k)
	}
	return strings.Join(lines, "\r\n")
}

// scalePDF puts a transform before all else on every page. Its streams are
// not packed; offsets after the first are mended by a new table.
func scalePDF(src string, x, y float64) string {
	object := regexp.MustCompile(`(?s)\d+ 0 obj\n.*?endobj\n`)
	var b strings.Builder
	b.WriteString("%PDF-1.6\n")
	var offsets []int
	for _, o := range object.FindAllString(src, -1) {
		if i := strings.Index(o, "stream\n"); i >= 0 {
			body := strings.TrimSuffix(o[i+7:], "\nendstream\nendobj\n")
			body = fmt.Sprintf("%.9f 0 0 %.9f 0 0 cm\n%s", x, y, body)
			o = regexp.MustCompile(`/Length \d+`).ReplaceAllString(o[:i], fmt.Sprintf("/Length %d", len(body))) + "stream\n" + body + "\nendstream\nendobj\n"
		}
		offsets = append(offsets, b.Len())
		b.WriteString(o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, at := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", at)
	}
	trailer := src[strings.LastIndex(src, "trailer"):strings.LastIndex(src, "startxref")]
	fmt.Fprintf(&b, "%sstartxref\n%d\n%%%%EOF\n", trailer, table)
	return b.String()
}

// What goes wrong on the way through other programs is caught in all three
// formats, with the factor named and a cause in words.
func TestWrongScaleIsCaught(t *testing.T) {
	t.Parallel()
	const pattern = "../../testdata/tide-lap.yaml"
	dir := t.TempDir()
	mustRun(t, "cutter", pattern, "--from", "one-of-each", "--out", dir)
	mustRun(t, "templates", pattern, "--paper", "letter", "--out", dir)
	for name, scale := range map[string]func(string, float64, float64) string{
		"pieces.svg": scaleSVG, "pieces.dxf": scaleDXF, "templates.pdf": scalePDF,
	} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "wrong-"+name)
		for _, c := range []struct {
			x, y  float64
			words []string
		}{
			{1, 1, nil},
			{72. / 96, 72. / 96, []string{"72/96", "points"}},
			{90. / 96, 90. / 96, []string{"90/96", "older drawing programs"}},
			{0.97, 0.97, []string{"97 %", "fit to page"}},
			{25.4, 25.4, []string{"25.4 times", "millimetres"}},
			{1 / 25.4, 1 / 25.4, []string{"1/25.4", "millimetres"}},
			{1.01, 1, []string{"101 % of its width", "stretched"}},
			{1, 1.01, []string{"101 % of its height", "stretched"}},
			{-1, 1, []string{"mirrored"}},
			{1, -1, []string{"mirrored"}},
		} {
			if name == "pieces.svg" && c.x*c.y < 0 {
				continue // a size is not negative; see the scripts
			}
			if err := os.WriteFile(file, []byte(scale(string(data), c.x, c.y)), 0o666); err != nil {
				t.Fatal(err)
			}
			want := statusNo
			if c.words == nil {
				want = statusDone
			}
			m := measureJSONOf(t, want, file)
			all := strings.Join(m.Reasons, "\n")
			for _, w := range c.words {
				if !strings.Contains(all, w) {
					t.Errorf("%s by %v, %v: no %q in %s", name, c.x, c.y, w, all)
				}
			}
			if c.words != nil && m.Verdict != "not true" {
				t.Errorf("%s by %v, %v: %s", name, c.x, c.y, m.Verdict)
			}
			// With the pattern the answer is the same, and says what it makes
			// of the quilt.
			m = measureJSONOf(t, want, file, "--pattern", pattern)
			if c.words != nil && m.Verdict != "not true" {
				t.Errorf("%s by %v, %v, with the pattern: %s", name, c.x, c.y, m.Verdict)
			}
		}
	}
}

// The keys of the JSON are a promise.
func TestMeasureJSONKeys(t *testing.T) {
	dir := t.TempDir()
	mustRun(t, "cutter", "../../testdata/tide-lap.yaml", "--from", "one-of-each", "--out", dir)
	var out, talk bytes.Buffer
	file := filepath.Join(dir, "pieces.svg")
	if s := run([]string{"measure", "--json", file}, nil, &out, &talk); s != statusDone {
		t.Fatal(talk.String())
	}
	keys := func(m map[string]any) []string {
		var out []string
		for k := range m {
			out = append(out, k)
		}
		slices.Sort(out)
		return out
	}
	var m map[string]any
	if err := json.Unmarshal(out.Bytes(), &m); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		of   any
		want string
	}{
		{m, "format outlines overlaps page reasons square unit verdict"},
		{m["page"], "height width"},
		{m["square"], "bent diagonals found_by height nominal width"},
		{m["outlines"], "closed open"},
	} {
		if got := strings.Join(keys(c.of.(map[string]any)), " "); got != c.want {
			t.Errorf("keys %q, want %q", got, c.want)
		}
	}
	out.Reset()
	if s := run([]string{"measure", "--json", file, file}, nil, &out, &talk); s != statusDone {
		t.Fatal(talk.String())
	}
	var several []map[string]any
	if err := json.Unmarshal(out.Bytes(), &several); err != nil || len(several) != 2 || several[1]["file"] != file {
		t.Errorf("%v: %s", err, out.String())
	}
}
