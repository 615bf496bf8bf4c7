// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
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

// aroundPDF does the same in the content of a page of 432 points.
func aroundPDF(t *rapid.T, body string) string {
	f := func(low, high float64, name string) float64 {
		return math.Round(100*rapid.Float64Range(low, high).Draw(t, name)) / 100
	}
	usually := func(usual, low, high float64, name string) float64 {
		return rapid.OneOf(rapid.Just(usual), rapid.Just(usual), rapid.Just(f(low, high, name))).Draw(t, name+" or not")
	}
	white := func() string {
		return fmt.Sprintf(" q 1 g 1 G %s gs %v %v %v %v re %s Q ", rapid.SampledFrom([]string{"/Full", "/Half", "/Faint"}).Draw(t, "alpha"), f(-50, 400, "x"), f(-50, 400, "y"), f(0, 500, "width"), f(0, 500, "height"),
			rapid.SampledFrom([]string{"f", "f*", "B*", "b"}).Draw(t, "how"))
	}
	switch rapid.IntRange(0, 10).Draw(t, "around") {
	case 0:
		return fmt.Sprintf("q 1 0 0 1 %v %v cm %s Q", usually(0, -150, 150, "across"), usually(0, -150, 150, "up"), body)
	case 1:
		k := f(0.3, 3, "scale")
		return fmt.Sprintf("q %v 0 0 %[1]v 0 0 cm %.6f 0 0 %[2]f 0 0 cm %[3]s Q", k, usually(1, 0.9, 1.1, "off")/k, body)
	case 2:
		return "q 0 1 -1 0 432 0 cm " + body + " Q"
	case 3:
		return fmt.Sprintf("q %v 0 %v 432 re W n %s Q", usually(0, 0, 200, "x"), usually(432, 50, 432, "width"), body)
	case 4:
		return fmt.Sprintf("q 216 %v m 432 216 l 216 432 l 0 216 l h W* n %s Q", f(-400, 200, "y"), body)
	case 5:
		return fmt.Sprintf("q 0 0 432 432 re %v 10 100 100 re %s n %s Q", f(-200, 432, "x"), rapid.SampledFrom([]string{"W", "W*"}).Draw(t, "rule"), body)
	case 6:
		return body + white()
	case 7:
		return white() + body
	case 8:
		return fmt.Sprintf("q %s gs %s Q", rapid.SampledFrom([]string{"/Full", "/Half", "/Faint"}).Draw(t, "alpha"), body)
	case 9:
		return fmt.Sprintf("/OC %s BDC %s EMC", rapid.SampledFrom([]string{"/On", "/Off"}).Draw(t, "layer"), body)
	}
	return fmt.Sprintf("q %s %s Q", rapid.SampledFrom([]string{"0 G", "1 G", ".5 G", "0 0 0 0 K", "1 0 0 RG", ".95 .95 1 RG"}).Draw(t, "colour"), body)
}

// Whatever stands around a square, measure never calls it true when librsvg or
// poppler draws it in another size, or not at all.
func TestMeasureBesideRandomDrawings(t *testing.T) {
	rsvg, poppler := outside.Tool(t, "rsvg-convert"), outside.Tool(t, "pdftoppm")
	const dpi = "96"
	for kind, c := range map[string]struct {
		draw func(*rapid.T) string
		show []string
	}{
		"svg": {func(t *rapid.T) string {
			body := strings.Replace(squareSVG, "#000", fmt.Sprintf("rgb(%d,%[1]d,%[1]d)", rapid.SampledFrom([]int{0, 0, 0, 100, 200, 240, 255}).Draw(t, "grey")), 1)
			for n := range rapid.IntRange(0, 4).Draw(t, "n") {
				body = around(t, body, n)
			}
			return svgFile(body)
		}, []string{rsvg, "-b", "white", "-d", dpi, "-p", dpi}},
		"pdf": {func(t *rapid.T) string {
			body := "72 72 288 288 re S"
			for range rapid.IntRange(0, 4).Draw(t, "n") {
				body = aroundPDF(t, body)
			}
			return pdfWith("/OCProperties <</OCGs [5 0 R 6 0 R] /D <</OFF [6 0 R]>>>>",
				"/Resources <</Properties <</On 5 0 R /Off 6 0 R>> /ExtGState <</Full <</CA 1 /ca 1>> /Half <</CA .5 /ca .5>> /Faint <</CA .05 /ca .05>>>>>>", body, "<</Type /OCG /Name (on)>>", "<</Type /OCG /Name (off)>>")
		}, []string{poppler, "-png", "-cropbox", "-r", dpi}},
	} {
		t.Run(kind, func(t *testing.T) {
			outside.Cases(t, 40, 400)
			file, truths, all := filepath.Join(t.TempDir(), "a."+kind), 0, 0
			rapid.Check(t, func(t *rapid.T) {
				drawing := c.draw(t)
				if err := os.WriteFile(file, []byte(drawing), 0o666); err != nil {
					t.Fatal(err)
				}
				var out, talk bytes.Buffer
				status := run([]string{"measure", file}, nil, &out, &talk)
				if all++; status > statusUsage {
					t.Fatalf("status %d: %s", status, talk.String())
				}
				if status != statusDone {
					return
				}
				truths++
				picture, err := pictureOf(append(c.show, file)...)
				if err != nil {
					t.Fatal(err)
				}
				if i := inkOf(picture, 96); !i.asLarge(ink{width: 4, height: 4}, 96) {
					t.Fatalf("called true, drawn %.3f by %.3f in:\n%s", i.width, i.height, drawing)
				}
			})
			if truths == 0 || truths == all {
				t.Errorf("%d of %d were called true", truths, all)
			}
		})
	}
}

// pictureOf is the picture that a program writes to its standard output.
func pictureOf(command ...string) (image.Image, error) {
	out, err := exec.Command(command[0], command[1:]...).Output()
	if err != nil {
		return nil, err
	}
	return png.Decode(bytes.NewReader(out))
}
