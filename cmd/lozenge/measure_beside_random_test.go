// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lozenge/export/outside"
)

// around puts what there is so far into something else: groups that move and
// scale, viewports, uses, clips, styles, and white over or under it.
func around(t *rapid.T, body string, n int) string {
	f := func(low, high float64, name string) float64 {
		return math.Round(100*rapid.Float64Range(low, high).Draw(t, name)) / 100
	}
	usually := func(usual, low, high float64, name string) float64 {
		return rapid.OneOf(rapid.Just(usual), rapid.Just(usual), rapid.Just(f(low, high, name))).Draw(t, name+" or not")
	}
	white := func() string {
		x, y := f(-1, 6, "x"), f(-1, 6, "y")
		return fmt.Sprintf(`<rect x="%v" y="%v" width="%v" height="%v" fill="#fff" fill-opacity="%v"/>`, x, y, f(0, 7, "width"), f(0, 7, "height"), f(0, 1, "alpha"))
	}
	switch rapid.IntRange(0, 12).Draw(t, "around") {
	case 0:
		return fmt.Sprintf(`<g transform="translate(%v %v)">%s</g>`, usually(0, -2, 2, "across"), usually(0, -2, 2, "down"), body)
	case 1:
		k := f(0.3, 3, "scale")
		return fmt.Sprintf(`<g transform="scale(%v)"><g transform="scale(%v)">%s</g></g>`, k, usually(1, 0.9, 1.1, "off")/k, body)
	case 2:
		return fmt.Sprintf(`<g transform="translate(3 3) rotate(%v) translate(-3 -3)">%s</g>`, 90*rapid.IntRange(0, 3).Draw(t, "quarters"), body)
	case 3:
		return fmt.Sprintf(`<svg width="%v" height="%v" viewBox="0 0 6 6" preserveAspectRatio="%s">%s</svg>`, usually(6, 4, 8, "width"), usually(6, 4, 8, "height"),
			rapid.SampledFrom([]string{"none", "xMidYMid", "xMinYMin slice", "xMaxYMax meet"}).Draw(t, "ratio"), body)
	case 4:
		return fmt.Sprintf(`<defs><g id="d%d">%s</g></defs><use href="#d%[1]d"/>`, n, body)
	case 5:
		return fmt.Sprintf(`<defs><symbol id="d%d" viewBox="0 0 6 6" overflow="%s">%s</symbol></defs><use href="#d%[1]d" width="%[4]v" height="6"/>`, n,
			rapid.SampledFrom([]string{"visible", "hidden"}).Draw(t, "overflow"), body, usually(6, 4, 8, "width"))
	case 6:
		return fmt.Sprintf(`<clipPath id="c%d"><rect x="%v" y="0" width="%v" height="6"/></clipPath><g clip-path="url(#c%[1]d)">%[4]s</g>`, n, usually(0, 0, 3, "x"), usually(6, 1, 6, "width"), body)
	case 7:
		return fmt.Sprintf(`<clipPath id="c%d"><circle cx="3" cy="3" r="%v"/></clipPath><g clip-path="url(#c%[1]d)">%[3]s</g>`, n, usually(3, 1, 4, "r"), body)
	case 8:
		return fmt.Sprintf(`<g opacity="%v">%s</g>`, usually(1, 0, 1, "opacity"), body)
	case 9:
		return body + white()
	case 10:
		return white() + body
	case 11:
		return fmt.Sprintf(`<style>.s%d{%s}</style><g class="s%[1]d">%[3]s</g>`, n,
			rapid.SampledFrom([]string{"display:inline", "display:none", "visibility:hidden", "stroke:#fff", "opacity:.5", "opacity:.05", "x:3px"}).Draw(t, "style"), body)
	}
	return "<g>" + body + "</g>"
}

// Whatever stands around a square, measure never calls it true when librsvg draws
// it in another size, or not at all.
func TestMeasureBesideRandomDrawings(t *testing.T) {
	rsvg := outside.Tool(t, "rsvg-convert")
	outside.Cases(t, 40, 400)
	dir, truths, all := t.TempDir(), 0, 0
	rapid.Check(t, func(t *rapid.T) {
		body := strings.Replace(squareSVG, "#000", fmt.Sprintf("rgb(%d,%[1]d,%[1]d)", rapid.SampledFrom([]int{0, 0, 0, 100, 200, 240, 255}).Draw(t, "grey")), 1)
		for n := range rapid.IntRange(0, 4).Draw(t, "n") {
			body = around(t, body, n)
		}
		file := filepath.Join(dir, "a.svg")
		if err := os.WriteFile(file, []byte(svgFile(body)), 0o666); err != nil {
			t.Fatal(err)
		}
		var out, talk bytes.Buffer
		status := run([]string{"measure", "--json", file}, nil, &out, &talk)
		var m jsonMeasure
		if status != statusUsage {
			if err := json.Unmarshal(out.Bytes(), &m); err != nil {
				t.Fatalf("status %d: %v: %s", status, err, talk.String())
			}
		}
		if all++; status != statusDone {
			return
		}
		truths++
		const dpi = 96
		picture, err := outsidePicture(rsvg, file, dpi)
		if err != nil {
			t.Fatal(err)
		}
		if ink := inkOf(picture, dpi); max(math.Abs(ink.width-4), math.Abs(ink.height-4)) > 0.005*4+2./dpi {
			t.Fatalf("called %s, drawn %.3f by %.3f in:\n%s", m.Verdict, ink.width, ink.height, body)
		}
	})
	if truths == 0 || truths == all {
		t.Errorf("%d of %d were called true", truths, all)
	}
}

func outsidePicture(rsvg, file string, dpi int) (image.Image, error) {
	out, err := exec.Command(rsvg, "-b", "white", "-d", fmt.Sprint(dpi), "-p", fmt.Sprint(dpi), file).Output()
	if err != nil {
		return nil, err
	}
	return png.Decode(bytes.NewReader(out))
}
