// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
)

// square attacks a drawing of a square and nothing else: what is called true, others
// draw as large.
func (a *armoury) square(t *rapid.T, dir string) ending {
	data := mutated(t, rapid.SampledFrom(a.drawings).Draw(t, "drawing"))
	name := "square." + kindOf(data)
	at := attack{files: map[string][]byte{name: data}, args: []string{"measure", name, "--json"}}
	e := at.run(t, dir)
	a.compare(t, filepath.Join(dir, name), data, e)
	return e
}

// kindOf returns the format of a drawing of a square.
func kindOf(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("%PDF")):
		return "pdf"
	case !bytes.Contains(data, []byte("<svg")):
		return "dxf"
	}
	return "svg"
}

// compare has others draw what was called true, and reports whether it was. What
// ezdxf is to draw waits for [armoury.askEzdxf].
func (a *armoury) compare(t *rapid.T, file string, data []byte, e ending) bool {
	var m jsonMeasure
	if e.status != statusDone || json.Unmarshal(e.out, &m) != nil || m.Verdict != "true" {
		return false
	}
	inch := map[string]float64{"in": 1, "cm": 1 / 2.54, "mm": 1 / 25.4}[m.Unit]
	// Its sides may bend a little.
	want := ink{width: inch * (m.Square.Width + m.Square.Bent), height: inch * (m.Square.Height + m.Square.Bent)}
	a.mu.Lock()
	a.trues++
	n := a.trues
	a.mu.Unlock()
	command := []string{a.readers["svg"], "-b", "white", "-d", "96", "-p", "96", file}
	switch kindOf(data) {
	case "dxf":
		if err := os.WriteFile(filepath.Join(a.doubtful, fmt.Sprintf("%04d %v %v.dxf", n, want.width, want.height)), data, 0o644); err != nil {
			t.Fatal(err)
		}
		return true
	case "pdf":
		command = []string{a.readers["pdf"], "-png", "-cropbox", "-r", "96", file}
	}
	picture, err := pictureOf(command...)
	if err != nil {
		return true // it draws nothing of it
	}
	if ink := inkOf(picture, 96); !ink.asLarge(want, 96) && !framed(picture, 96, want) {
		t.Fatalf("called true, drawn %.3f by %.3f in, not %.3f by %.3f:\n%s", ink.width, ink.height, want.width, want.height, data)
	}
	return true
}

// askEzdxf has ezdxf draw what was called true.
func (a *armoury) askEzdxf(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(a.doubtful, "*.dxf"))
	if err != nil || len(files) == 0 {
		return
	}
	var boxes []any
	if err := json.Unmarshal(outside.Run(t, a.readers["dxf"], append([]string{filepath.Join("testdata", "draw_ezdxf.py")}, files...)...), &boxes); err != nil {
		t.Fatal(err)
	}
	for i, b := range boxes {
		var n int
		var want ink
		fmt.Sscanf(filepath.Base(files[i]), "%d %g %g", &n, &want.width, &want.height)
		box, ok := b.([]any)
		if b == "refused" {
			continue
		}
		drawn := ink{}
		if ok {
			at := func(i int) float64 { return box[i].(float64) }
			drawn = ink{width: at(2) - at(0), height: at(3) - at(1)}
		}
		if !drawn.asLarge(want, 96) {
			data, _ := os.ReadFile(files[i])
			t.Errorf("called true, ezdxf draws %.3f by %.3f, not %.3f by %.3f:\n%s", drawn.width, drawn.height, want.width, want.height, data)
		}
	}
}

// What is said of a drawing so that it stays one: none of it is ink outside of the
// square.
var (
	ofElements = []string{
		`transform="translate(.1 -.2)"`, `transform="scale(1)"`, `transform="scale(1.003)"`, `transform="scale(1.02)"`, `transform="rotate(90 3 3)"`, `transform="matrix(1 0 0 1 .5 0)"`, `transform="matrix(-1 0 0 1 6 0)"`, `transform="skewX(.1)"`, `transform="skewX(2)"`, `transform=""`,
		`stroke-width=".01"`, `stroke-width="0.3mm"`, `stroke-width="0"`, `stroke="#eee"`, `stroke="none"`, `color="white"`, `fill="white"`, `fill="none"`, `fill="#eee"`, `fill="transparent"`, `fill-opacity="0"`, `stroke-opacity=".5"`, `stroke-opacity=".02"`,
		`opacity=".9"`, `opacity=".05"`, `visibility="hidden"`, `visibility="visible"`, `display="none"`, `display="inline"`, `stroke-dasharray=".1"`, `stroke-dasharray=".1 3"`, `stroke-linejoin="round"`, `stroke-linecap="square"`, `vector-effect="non-scaling-stroke"`, `overflow="hidden"`, `overflow="visible"`,
		`preserveAspectRatio="none"`, `preserveAspectRatio="xMinYMin slice"`, `clip-path="none"`, `mask="none"`, `filter="none"`, `class="st0"`, `x="0"`, `rx="0"`, `rx=".3"`, `style="fill:none"`, `style="opacity:1"`, `style="stroke:#eee"`, `style="width:3px"`, `xml:space="preserve"`, `shape-rendering="crispEdges"`, `data-size="4in"`, `data-size="2in"`, `id="a"`, `pathLength="1"`,
	}
	sizes  = []string{"6in", "6in", "152.4mm", "15.24cm", "432pt", "36pc", "576px", "576", "576.0", "5.76e2", "150mm", "6.1in", "100%", "6", "12in"}
	groups = []string{
		"62 1", "62 7", "62 256", "62 -1", "370 50", "370 -1", "39 1", "38 2", "48 2", "60 0", "60 1", "6 CONTINUOUS", "6 BYLAYER", "6 DASHED", "210 0 220 0 230 1", "210 0 220 0 230 -1", "210 1 220 0 230 0", "43 0.0", "43 0.1", "67 0", "67 1", "420 16711680", "440 33554432", "8 CUT", "8 0",
	}
	onPages = []string{
		" q 1 0 0 1 10 -10 cm ", " Q ", " 1 w ", " 0.2 w ", " 0 w ", " 1 0 0 1 0 0 cm ", " 1.002 0 0 1.002 0 0 cm ", " .98 0 0 1 0 0 cm ", " 0 1 -1 0 432 0 cm ", " -1 0 0 1 432 0 cm ", " 1 j 1 J ", " [3 2] 0 d ", " [] 0 d ", " 1 0 0 RG ", " 1 G ", " .9 g ", " 0 0 432 432 re W n ", " 0 0 200 432 re W n ", " 1 g 0 0 432 432 re f 0 g ", " h ", " BT ET ", " /Span BMC EMC ", " n ", " S ", " 100 i ", " 10 M ", " q Q ",
	}
	ofPages = []string{"/Rotate 90 ", "/Rotate 180 ", "/UserUnit 1 ", "/UserUnit 1.01 ", "/UserUnit 2 ", "/CropBox [0 0 432 432] ", "/CropBox [36 36 400 400] ", "/CropBox [100 0 432 432] ", "/TrimBox [72 72 360 360] ", "/MediaBox [0 0 500 500] ", "/Annots [] ", "/Group <</S /Transparency>> "}
	number  = regexp.MustCompile(`[-+]?[0-9]*\.?[0-9]+`)
	openTag = regexp.MustCompile(`<[a-zA-Z]+`)
	layered = regexp.MustCompile(`\n8\n[^\n]*\n`)
	object  = regexp.MustCompile(`(?s)\d+ 0 obj\n(.*?)\nendobj`)
	streams = regexp.MustCompile(`(?s)/Length \S+>>stream\n(.*?)\nendstream`)
)

// touched changes a drawing as another program may have: numbers a little, units,
// transforms, widths, layers and looks, so that mostly it is still one.
func touched(t *rapid.T, data []byte) []byte {
	s, format := string(data), kindOf(data)
	word := func(words []string) string { return rapid.SampledFrom(words).Draw(t, "word") }
	// at puts text after one of the places, if there are any.
	at := func(places [][]int, text string) {
		if len(places) > 0 {
			i := rapid.SampledFrom(places).Draw(t, "place")[1]
			s = s[:i] + text + s[i:]
		}
	}
	for n := range rapid.IntRange(1, 4).Draw(t, "touches") {
		switch how := rapid.IntRange(0, 5).Draw(t, "how"); {
		case how == 0:
			s = nudged(t, s)
		case format == "svg" && how == 1:
			head := strings.Index(s, ">") + 1
			if end := strings.LastIndex(s, "</svg>"); strings.HasPrefix(s, "<svg") && end > head {
				s = s[:head] + around(t, s[head:end], 20+n) + s[end:]
			}
		case format == "svg" && how == 2:
			side := word([]string{"width", "height"})
			s = strings.Replace(s, side+`="6in"`, side+`="`+word(sizes)+`"`, 1)
		case format == "svg":
			at(openTag.FindAllStringIndex(s, -1), " "+word(ofElements))
		case format == "dxf" && how == 1:
			s = strings.Replace(s, "$INSUNITS\n70\n1\n", "$INSUNITS\n70\n"+word([]string{"1", "1", "1", "0", "4"})+"\n", 1)
		case format == "dxf" && how == 2:
			s = strings.Replace(s, "ENDSEC\n", strings.ReplaceAll("9 $"+word([]string{"MEASUREMENT 70 1", "LUNITS 70 4", "LUPREC 70 2", "EXTMIN 10 1 20 1", "EXTMAX 10 5 20 5", "CLAYER 8 CUT", "LTSCALE 40 3", "ELEVATION 40 2", "FILLMODE 70 0"})+" ENDSEC\n", " ", "\n"), 1)
		case format == "dxf":
			at(layered.FindAllStringIndex(s, -1), strings.ReplaceAll(word(groups), " ", "\n")+"\n")
		case how == 1:
			s = strings.Replace(s, "/MediaBox", word(ofPages)+"/MediaBox", 1)
		default:
			at(regexp.MustCompile(`stream\n| (re|S|l|h|cm|w|n|Q)\b`).FindAllStringIndex(s, -1), word(onPages))
		}
	}
	if format == "pdf" { // whole again: lengths and table
		var objects []string
		for _, o := range object.FindAllStringSubmatch(s, -1) {
			objects = append(objects, streams.ReplaceAllStringFunc(o[1], func(all string) string {
				content := streams.FindStringSubmatch(all)[1]
				return fmt.Sprintf("/Length %d>>stream\n%s\nendstream", len(content), content)
			}))
		}
		s = pdfText(objects)
	}
	return []byte(s)
}

// nudged changes one number, mostly a little.
func nudged(t *rapid.T, s string) string {
	places := slices.DeleteFunc(number.FindAllStringIndex(s, -1), func(p []int) bool { // a broader line is more ink
		return strings.HasSuffix(s[:p[0]], `stroke-width="`) || strings.HasPrefix(s[p[1]:], " w ")
	})
	if len(places) == 0 {
		return s
	}
	p := rapid.SampledFrom(places).Draw(t, "number")
	var v float64
	fmt.Sscan(s[p[0]:p[1]], &v)
	v *= rapid.SampledFrom([]float64{1, 1.0005, 0.9995, 1.003, 0.997, 1.01, 0.98, 1.2, 2, -1}).Draw(t, "factor")
	return s[:p[0]] + fmt.Sprintf("%.7g", v) + s[p[1]:]
}

// What other programs do to a drawing of a square without spoiling it: of what measure
// then calls true, librsvg, ezdxf and poppler draw every one as large.
func TestAttackOnSquares(t *testing.T) {
	a := newArmoury(t)
	all, trues := map[string]int{}, map[string]int{}
	outside.Cases(t, 30, 1000)
	file := filepath.Join(t.TempDir(), "square.")
	drawings := map[string][][]byte{}
	for _, data := range a.drawings {
		if bytes.Contains(data, []byte(`fill="#000"`)) {
			continue // what is filled may be moved and seen
		}
		drawings[kindOf(data)] = append(drawings[kindOf(data)], data)
	}
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom([]string{"svg", "dxf", "pdf"}).Draw(t, "format")
		data := touched(t, rapid.SampledFrom(drawings[format]).Draw(t, "drawing"))
		if err := os.WriteFile(file+format, data, 0o644); err != nil {
			t.Fatal(err)
		}
		var out, said bytes.Buffer
		e := ending{status: run([]string{"measure", file + format, "--json"}, nil, &out, &said), out: out.Bytes()}
		if e.status > statusUsage {
			t.Fatalf("status %d: %s\n%s", e.status, said.String(), data)
		}
		all[format]++
		if a.compare(t, file+format, data, e) {
			trues[format]++
		}
	})
	a.askEzdxf(t)
	for _, format := range slices.Sorted(maps.Keys(all)) {
		t.Logf("%s: %d of %d called true, and drawn so", format, trues[format], all[format])
		if all[format] > 100 && trues[format]*100 < 15*all[format] {
			t.Errorf("%s: too few are called true for this to say anything", format)
		}
	}
}
