// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lozenge/export/dxf"
	"lozenge/export/outside"
	"lozenge/export/outside/browser"
)

// trap is a file that draws a calibration square of 4 in and nothing else, or
// means to look as if it did.
type trap struct {
	name    string // with the format as its ending
	verdict string // the one right answer; "" for a file that is refused
	says    string
	file    string
}

// traps are all of them. Each says why a program that reads the file may draw
// it otherwise; no file is from anywhere but here.
func traps() []trap {
	return append(append(svgTraps(), dxfTraps()...), pdfTraps()...)
}

const squareSVG = `<rect id="calibration-square" data-size="4in" x="1" y="1" width="4" height="4" fill="none" stroke="#000" stroke-width=".02"/>`

// svgFile is a page of 6 in, a user unit of which is an inch.
func svgFile(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="6in" height="6in" viewBox="0 0 6 6">` + body + `</svg>`
}

// svgPath is that square as a path.
func svgPath(d string) string {
	return svgFile(`<path id="calibration-square" data-size="4in" d="` + d + `" fill="none" stroke="#000" stroke-width=".02"/>`)
}

func svgTraps() []trap {
	const (
		bent   = "its sides are not straight: they lie up to "
		unseen = "so it proves nothing"
	)
	styled := func(attributes string) string {
		return svgFile(strings.Replace(squareSVG, "<rect", "<rect "+attributes, 1))
	}
	return []trap{
		{"plain.svg", "true", "", svgFile(squareSVG)},
		// Curved sides. A quadratic curve reaches half as far as its control
		// point, a cubic one 3/4, an arc r - sqrt(r^2 - 2^2).
		{"quadratic.svg", "not true", bent + "0.1 in", svgPath("M1 1Q3 .8 5 1Q5.2 3 5 5Q3 5.2 1 5Q.8 3 1 1Z")},
		{"one-quadratic.svg", "not true", bent + "0.1999 in", svgPath("M1 1L5 1L5 5L1 5Q.6 3 1 1Z")},
		{"cubic.svg", "not true", bent + "0.15 in", svgPath("M1 1C2 .8 4 .8 5 1V5H1Z")},
		{"arc.svg", "not true", bent + "0.202 in", svgPath("M1 1A10 10 0 0 1 5 1A10 10 0 0 1 5 5A10 10 0 0 1 1 5A10 10 0 0 1 1 1Z")},
		{"inward.svg", "not true", bent + "0.1 in", svgPath("M1 1Q3 1.2 5 1Q4.8 3 5 5Q3 4.8 1 5Q1.2 3 1 1Z")},
		{"two-halves.svg", "not true", bent + "0.1", svgPath("M1 1Q2 .9 3 .9T5 1V5H1Z")},
		{"many-lines.svg", "not true", bent + "0.1", svgPath("M1 1L1.5 .955L2 .925L2.5 .905L3 .9L3.5 .905L4 .925L4.5 .955L5 1V5H1Z")},
		{"straight-curves.svg", "true", "", svgPath("M1 1C2 1 3 1 5 1Q5 2 5 5A0 9 0 0 1 1 5T1 1Z")},
		{"hardly-bent.svg", "true", "", svgPath("M1 1Q3 .98 5 1V5H1Z")},
		{"rounded.svg", "not true", "have four corners", svgFile(strings.Replace(squareSVG, "/>", ` rx=".5"/>`, 1))},
		{"circle.svg", "not true", "have four corners", svgFile(`<circle id="calibration-square" data-size="4in" cx="3" cy="3" r="2" fill="none" stroke="#000" stroke-width=".02"/>`)},
		// Geometry that a style says instead of the attributes (SVG 2, 7 to 10).
		{"css-width.svg", "", "a style says the width", styled(`style="width:3px"`)},
		{"css-x.svg", "", "a style says the x", styled(`style="X : 9px"`)},
		{"css-comment.svg", "", "a style says the height", styled(`style="/**/height/**/:3px"`)},
		{"css-escape.svg", "", "escapes", styled(`style="w\69 dth:3px"`)},
		{"css-rx.svg", "", "a style says the rx", styled(`style="rx:1px"`)},
		{"css-d.svg", "", "a style says the d", strings.Replace(svgPath("M1 1H5V5H1Z"), "<path", `<path style="d:path('M1 1H4V4H1Z')"`, 1)},
		{"css-r.svg", "", "a style says the r", svgFile(`<style>circle{r:3px}</style><circle r="1"/>` + squareSVG)},
		{"sheet-width.svg", "", "a style says the width", svgFile("<style>rect{width:3px}</style>" + squareSVG)},
		{"sheet-id.svg", "", "a style says the width", svgFile("<style>#calibration-square{width:3px}</style>" + squareSVG)},
		{"sheet-class.svg", "", "a style says the y", svgFile(`<style>.a.b{y:0}</style>` + strings.Replace(squareSVG, "<rect", `<rect class="b a"`, 1))},
		{"sheet-root.svg", "", "a style says the width of <svg>", svgFile("<style>svg{width:3in}</style>" + squareSVG)},
		{"sheet-child.svg", "", `picks elements by "svg > rect"`, svgFile("<style>svg > rect{width:3px}</style>" + squareSVG)},
		{"sheet-attribute.svg", "", "picks elements by", svgFile("<style>[id]{width:3px}</style>" + squareSVG)},
		{"sheet-not.svg", "", "picks elements by", svgFile("<style>:not(g){width:3px}</style>" + squareSVG)},
		{"sheet-media.svg", "", "@media", svgFile("<style>@media screen{rect{width:3px}}</style>" + squareSVG)},
		{"sheet-nested.svg", "", "rules within rules", svgFile("<style>svg{rect{width:3px}}</style>" + squareSVG)},
		{"sheet-layer.svg", "", "@layer", svgFile("<style>@layer a{rect{width:3px}}</style>" + squareSVG)},
		{"sheet-print.svg", "", `for "print" only`, svgFile(`<style media="print">rect{display:none}</style>` + squareSVG)},
		{"sheet-html.svg", "", "a style says the width", svgFile(`<style xmlns="http://www.w3.org/1999/xhtml">rect{width:3px}</style>` + squareSVG)},
		{"import.svg", "", "@import", svgFile(`<style>@import "data:text/css,rect{width:3px}";</style>` + squareSVG)},
		{"xml-stylesheet.svg", "", "xml-stylesheet", `<?xml-stylesheet href="data:text/css,rect{width:3px}" type="text/css"?>` + svgFile(squareSVG)},
		{"link.svg", "", "links another file", svgFile(`<link xmlns="http://www.w3.org/1999/xhtml" rel="stylesheet" href="data:text/css,rect{width:3px}"/>` + squareSVG)},
		{"attlist.svg", "", "ATTLIST", `<!DOCTYPE svg [<!ATTLIST rect transform CDATA "scale(.5)">]>` + svgFile(squareSVG)},
		{"keyframes.svg", "", "@keyframes", svgFile(`<style>@keyframes a{to{transform:scale(.5)}}rect{animation:a 0s forwards}</style>` + squareSVG)},
		{"css-transform.svg", "", "moves or resizes", styled(`style="transform:scale(.5)"`)},
		{"css-webkit.svg", "", "moves or resizes", styled(`style="-webkit-transform:scale(.5)"`)},
		{"css-origin.svg", "", "moves or resizes", svgFile(`<style>rect{transform-origin:5px 5px}</style>` + squareSVG)},
		{"css-scale.svg", "", "moves or resizes", styled(`style="scale:.5"`)},
		{"css-zoom.svg", "", "moves or resizes", styled(`style="zoom:2"`)},
		{"css-padding.svg", "", "moves or resizes", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="padding:1in"`, 1)},
		{"css-min.svg", "", "moves or resizes", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="min-width:8in"`, 1)},
		// Browsers follow it, others don't (SVG 2, 8.5; there is none in SVG 1.1, 5.1.2).
		{"svg-moved.svg", "", "a transform on <svg>", strings.Replace(svgFile(squareSVG), "<svg", `<svg transform="matrix(-1 0 0 1 6 0)"`, 1)},
		{"css-max.svg", "true", "", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="max-width:100%"`, 1)},
		{"css-ground.svg", "", "moves or resizes", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="background:#000"`, 1)},
		{"css-paper.svg", "true", "", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="background-color: rgb(255, 255, 255)"`, 1)},
		{"css-variable.svg", "", "not followed", svgFile(`<style>rect{display:var(--a,none)}</style>` + squareSVG)},
		{"sheet-looks.svg", "true", "", svgFile(`<style type="text/css"><![CDATA[ @font-face{font-family:A;src:url(a.ttf)} .st0{fill:none;stroke:#231F20;stroke-miterlimit:10;} /* rect{width:1px} */ text{font:1px A} ]]></style>` + strings.Replace(squareSVG, "<rect", `<rect class="st0"`, 1))},
		{"other-sheet.svg", "", "a style says the width", svgFile(`<style type="text/none">rect{width:3px}</style>` + squareSVG)},
		// What moves by itself.
		{"script.svg", "", "a script", svgFile(squareSVG + `<script>document.querySelector("rect").setAttribute("width","3")</script>`)},
		{"script-html.svg", "", "a script", svgFile(squareSVG + `<script xmlns="http://www.w3.org/1999/xhtml">document.querySelector("rect").setAttribute("width","3")</script>`)},
		{"onload.svg", "", "a script (\"onload\")", strings.Replace(svgFile(squareSVG), "<svg", `<svg onload="document.querySelector('rect').setAttribute('width','3')"`, 1)},
		{"set.svg", "", "<set> moves", svgFile(strings.Replace(squareSVG, "/>", `><set attributeName="width" to="3"/></rect>`, 1))},
		{"animate.svg", "", "<animate> moves", svgFile(squareSVG + `<animate href="#calibration-square" attributeName="x" to="3" dur="1ms" fill="freeze"/>`)},
		{"animate-transform.svg", "", "<animateTransform> moves", svgFile(strings.Replace(squareSVG, "/>", `><animateTransform attributeName="transform" type="scale" from=".5" to=".5" dur="9s"/></rect>`, 1))},
		// The page.
		{"no-height.svg", "", "only one of the page's width and height", strings.Replace(svgFile(squareSVG), `height="6in" `, "", 1)},
		{"no-width.svg", "", "only one of the page's width and height", strings.Replace(svgFile(squareSVG), `width="6in" `, "", 1)},
		{"no-size.svg", "", "no physical size", strings.Replace(svgFile(squareSVG), `width="6in" height="6in" `, "", 1)},
		{"no-namespace.svg", "", "namespace of SVG", strings.Replace(svgFile(squareSVG), ` xmlns="http://www.w3.org/2000/svg"`, "", 1)},
		{"style-size.svg", "not true", "50 %", strings.Replace(svgFile(squareSVG), "<svg", `<svg style="width:3in;height:3in"`, 1)},
		{"broad.svg", "unproven", "so broad that nobody can tell where it runs), so", strings.Replace(svgFile(squareSVG), `".02"`, `".04"`, 1)},
		{"broad-scaled.svg", "unproven", "so broad", svgFile(`<g transform="scale(.01)" stroke-width="3.2"><path d="M100 100h400v400h-400z" fill="none" stroke="#000" id="calibration-square" data-size="4in"/></g>`)},
		{"width-in-css.svg", "unproven", "so broad", styled(`style="stroke-width:1%"`)},
		{"width-of-1.svg", "unproven", "so broad", strings.Replace(svgFile(squareSVG), `stroke-width=".02"`, "", 1)},
		{"language.svg", "", "only drawn in some languages", styled(`systemLanguage="xx"`)},
		{"extensions.svg", "", "only drawn in some languages", styled(`requiredExtensions="urn:x"`)},
		{"switch.svg", "true", "", svgFile(`<switch><foreignObject requiredExtensions="urn:x" width="1" height="1"/><g>` + squareSVG + `</g></switch>`)},
		// What can't be seen.
		{"display.svg", "unproven", "(display: none), " + unseen, styled(`display="none"`)},
		{"display-css.svg", "unproven", "(display: none), " + unseen, styled(`style="DISPLAY: none ! important"`)},
		{"display-sheet.svg", "unproven", "(display: none), " + unseen, svgFile(`<style>g{display:none}</style><g>` + squareSVG + `</g>`)},
		{"display-order.svg", "true", "", svgFile(`<style>#calibration-square{display:inline}rect{display:none}</style>` + squareSVG)},
		{"display-important.svg", "unproven", unseen, svgFile(`<style>rect{display:none!important}</style>` + strings.Replace(squareSVG, "<rect", `<rect style="display:inline"`, 1))},
		{"visibility.svg", "unproven", "(visibility: hidden), " + unseen, svgFile(`<g visibility="hidden">` + squareSVG + `</g>`)},
		{"visible-again.svg", "true", "", svgFile(`<g visibility="hidden">` + strings.Replace(squareSVG, "<rect", `<rect visibility="visible"`, 1) + `</g>`)},
		{"opacity.svg", "unproven", unseen, svgFile(`<g opacity="0">` + squareSVG + `</g>`)},
		{"opacities.svg", "unproven", unseen, svgFile(`<g opacity=".3"><g opacity="30%">` + squareSVG + `</g></g>`)},
		{"stroke-opacity.svg", "unproven", unseen, styled(`stroke-opacity="0"`)},
		{"half.svg", "true", "", styled(`opacity=".5"`)},
		{"unpainted.svg", "unproven", "(nothing paints it), " + unseen, styled(`style="stroke:none"`)},
		{"no-width-of-line.svg", "unproven", "(nothing paints it), " + unseen, styled(`style="stroke-width:0"`)},
		{"white.svg", "unproven", "that of the ground), " + unseen, styled(`style="stroke:white"`)},
		{"white-numbers.svg", "unproven", unseen, styled(`style="stroke:rgb(100%, 99%, 100%)"`)},
		{"nearly-clear.svg", "unproven", unseen, styled(`style="stroke:#00000010"`)},
		{"black-edge-on-black.svg", "true", "", svgFile(`<rect x="1" y="1" width="4" height="4" fill="#000"/>` + squareSVG)},
		{"black-on-black.svg", "unproven", "that of the ground), " + unseen, svgFile(`<rect x="0" y="0" width="6" height="6" fill="#000"/>` + squareSVG)},
		{"covered.svg", "unproven", "painted over it), " + unseen, svgFile(squareSVG + `<rect width="6" height="6" fill="#fff"/>`)},
		{"half-covered.svg", "unproven", "painted over it), " + unseen, svgFile(squareSVG + `<rect width="3" height="6" fill="#fff"/>`)},
		{"covered-by-use.svg", "unproven", "painted over it), " + unseen, svgFile(`<defs><path id="p" d="M0 0H6V6H0Z" fill="#fff"/></defs>` + squareSVG + `<use href="#p"/>`)},
		{"frame-over.svg", "true", "", svgFile(squareSVG + `<path fill="#fff" d="M0 0H6V6H0ZM.5 .5V5.5H5.5V.5Z"/>`)},
		{"clear-over.svg", "true", "", svgFile(squareSVG + `<rect width="6" height="6" fill="#fff" fill-opacity=".2"/>`)},
		{"clipped.svg", "unproven", "clipped, wholly or in part), " + unseen, svgFile(`<clipPath id="c"><rect width="3" height="6"/></clipPath>` + strings.Replace(squareSVG, "<rect", `<rect clip-path="url(#c)"`, 1))},
		{"clip-round.svg", "true", "", svgFile(`<clipPath id="c"><circle cx="3" cy="3" r="3"/></clipPath><g style="clip-path: url('#c')">` + squareSVG + `</g>`)},
		{"clip-corners.svg", "unproven", "clipped, wholly or in part)", svgFile(`<clipPath id="c"><path d="M3 0L6 3L3 6L0 3Z"/></clipPath><g clip-path="url(#c)">` + squareSVG + `</g>`)},
		{"clip-css.svg", "unproven", unseen, styled(`style="clip-path:inset(2px)"`)},
		{"clip-empty.svg", "unproven", unseen, svgFile(`<clipPath id="c"/><g clip-path="url(#c)">` + squareSVG + `</g>`)},
		{"clip-moved.svg", "unproven", unseen, svgFile(`<clipPath id="c" transform="translate(2)"><rect width="6" height="6"/></clipPath><g clip-path="url(#c)">` + squareSVG + `</g>`)},
		{"viewport.svg", "unproven", "clipped, wholly or in part), " + unseen, svgFile(`<svg width="3" height="3">` + squareSVG + `</svg>`)},
		{"viewport-open.svg", "true", "", svgFile(`<svg width="3" height="3" overflow="visible">` + squareSVG + `</svg>`)},
		{"mask.svg", "unproven", "it has a mask", svgFile(`<mask id="m"/>` + strings.Replace(squareSVG, "<rect", `<rect mask="url(#m)"`, 1))},
		{"filter.svg", "unproven", "it has a filter", svgFile(`<filter id="m"><feFlood flood-color="#fff"/></filter><g filter="url(#m)">` + squareSVG + `</g>`)},
		{"blend.svg", "unproven", "it has a mix-blend-mode", styled(`style="mix-blend-mode:screen"`)},
		{"off-page.svg", "unproven", "runs off the page), " + unseen, svgFile(`<g transform="translate(2)">` + squareSVG + `</g>`)},
		{"beyond-page.svg", "unproven", "runs off the page), " + unseen, svgFile(`<g transform="translate(7)">` + squareSVG + `</g>`)},
		{"dashes.svg", "unproven", "too far apart), " + unseen, styled(`stroke-dasharray=".01 99"`)},
		{"dashed.svg", "true", "", styled(`stroke-dasharray=".1 .05"`)},
		{"gradient.svg", "unproven", "can't be followed), so", svgFile(`<linearGradient id="g"><stop stop-color="#fff"/></linearGradient>` + strings.Replace(squareSVG, `"#000"`, `"url(#g)"`, 1))},
		{"defined-only.svg", "unproven", "no calibration square", svgFile(`<defs>` + squareSVG + `</defs>`)},
		{"current-color.svg", "unproven", unseen, svgFile(`<g color="#fff">` + strings.Replace(squareSVG, `"#000"`, `"currentColor"`, 1) + `</g>`)},
	}
}

// dxfFile is a drawing in inches: its header, tables and so on, and entities,
// with blanks for line ends.
func dxfFile(head, entities string) string {
	return dxfUnder("9 $INSUNITS 70 1 9 $MEASUREMENT 70 0 0 ENDSEC "+head, entities)
}

func dxfUnder(head, entities string) string {
	all := "0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 " + head + " 0 SECTION 2 ENTITIES " + entities + " 0 ENDSEC 0 EOF"
	return strings.Join(strings.Fields(all), "\n") + "\n"
}

// dxfSquare is the square as a closed polyline with more groups after the
// vertices.
func dxfSquare(more [4]string) string {
	return fmt.Sprintf("0 LWPOLYLINE 100 AcDbEntity 8 SQUARE 100 AcDbPolyline 90 4 70 1 10 1 20 1 %s 10 5 20 1 %s 10 5 20 5 %s 10 1 20 5 %s", more[0], more[1], more[2], more[3])
}

func dxfTraps() []trap {
	const bent = "its sides are not straight: they lie up to "
	line := func(x1, y1, x2, y2 float64) string {
		return fmt.Sprintf(" 0 LINE 100 AcDbEntity 8 SQUARE 100 AcDbLine 10 %g 20 %g 11 %g 21 %g", x1, y1, x2, y2)
	}
	layer := func(more string) string {
		return "0 SECTION 2 TABLES 0 TABLE 2 LAYER 5 10 100 AcDbSymbolTable 70 1 0 LAYER 5 11 100 AcDbSymbolTableRecord 100 AcDbLayerTableRecord 2 Square " + more + " 6 CONTINUOUS 0 ENDTAB 0 ENDSEC"
	}
	square := dxfSquare([4]string{})
	with := func(group string) string { return strings.Replace(square, "8 SQUARE", "8 SQUARE "+group, 1) }
	block := func(of, more string) string {
		return more + " 0 SECTION 2 BLOCKS 0 BLOCK 5 20 100 AcDbEntity 8 0 100 AcDbBlockBegin 2 A 70 0 10 0 20 0 30 0 3 A " + of + " 0 ENDBLK 5 21 100 AcDbEntity 8 0 100 AcDbBlockEnd 0 ENDSEC"
	}
	insert := func(group string) string {
		return "0 INSERT 100 AcDbEntity 8 SQUARE " + group + " 100 AcDbBlockReference 2 A 10 0 20 0 30 0"
	}
	onLayer0 := strings.Replace(square, "8 SQUARE", "8 0", 1)
	const unseen = "so it proves nothing"
	three := line(1, 1, 5, 1) + line(5, 1, 5, 5) + line(5, 5, 1, 5)
	return []trap{
		{"plain.dxf", "true", "", dxfFile("", dxfSquare([4]string{}))},
		// A bulge reaches half the chord times itself.
		{"bulge.dxf", "not true", bent + "0.1 in", dxfFile("", dxfSquare([4]string{"42 0.05"}))},
		{"bulges.dxf", "not true", bent + "0.1 in", dxfFile("", dxfSquare([4]string{"42 0.05", "42 0.05", "42 0.05", "42 0.05"}))},
		{"inward.dxf", "not true", bent + "0.2 in", dxfFile("", dxfSquare([4]string{"", "", "42 -0.1"}))},
		{"hardly-bent.dxf", "true", "", dxfFile("", dxfSquare([4]string{"42 0.005"}))},
		{"lines.dxf", "true", "", dxfFile("", three+line(1, 5, 1, 1))},
		// What can't be seen.
		{"layer-on.dxf", "true", "", dxfFile(layer("70 0 62 7"), square)},
		{"layer-off.dxf", "unproven", "its layer Square is off), " + unseen, dxfFile(layer("70 0 62 -7"), square)},
		{"layer-frozen.dxf", "unproven", "its layer Square is frozen), " + unseen, dxfFile(layer("70 1 62 7"), square)},
		{"invisible.dxf", "unproven", "marked as not to be seen), " + unseen, dxfFile("", with("60 1"))},
		{"visible.dxf", "true", "", dxfFile("", with("60 0"))},
		{"on-the-paper.dxf", "unproven", "not measured", dxfFile("", with("67 1"))},
		{"insert.dxf", "true", "", dxfFile(block(square, ""), insert(""))},
		{"insert-invisible.dxf", "unproven", unseen, dxfFile(block(square, ""), insert("60 1"))},
		{"insert-off.dxf", "unproven", unseen, dxfFile(block(onLayer0, layer("70 0 62 -7")), insert(""))},
		{"insert-frozen.dxf", "unproven", "its layer Square is frozen", dxfFile(block(strings.ReplaceAll(square, "SQUARE", "Cut"), layer("70 1 62 7")), insert(""))},
		{"invisible-in-block.dxf", "unproven", unseen, dxfFile(block(with("60 1"), ""), insert(""))},
		{"layers-behind.dxf", "", "the layers stand behind the drawing", dxfFile("", square+" 0 ENDSEC "+strings.TrimSuffix(layer("70 1 62 7"), " 0 ENDSEC"))},
		{"wipeout.dxf", "unproven", "WIPEOUT", dxfFile("", square+" 0 WIPEOUT 100 AcDbEntity 8 0 100 AcDbWipeout 90 0 10 0 20 0 30 0 11 6 21 0 31 0 12 0 22 6 32 0 13 1 23 1 340 0 70 7 280 1 281 50 282 50 283 0 71 1 91 2 14 -.5 24 -.5 14 .5 24 .5")},
		// Units.
		{"no-unit.dxf", "unproven", "true to size if its numbers are inches", dxfUnder("0 ENDSEC", square)},
		{"unit-0.dxf", "unproven", "$MEASUREMENT speaks of inches, but", dxfUnder("9 $INSUNITS 70 0 9 $MEASUREMENT 70 0 0 ENDSEC", square)},
		{"only-measurement.dxf", "unproven", "$MEASUREMENT speaks of inches, but", dxfUnder("9 $MEASUREMENT 70 0 0 ENDSEC", square)},
		{"unknown-unit.dxf", "unproven", "$INSUNITS is 260", dxfUnder("9 $INSUNITS 70 260 9 $MEASUREMENT 70 0 0 ENDSEC", square)},
		{"contradiction.dxf", "true", "contradict each other", dxfUnder("9 $INSUNITS 70 1 9 $MEASUREMENT 70 1 0 ENDSEC", square)},
		{"no-measurement.dxf", "true", "$MEASUREMENT is missing", dxfUnder("9 $INSUNITS 70 1 0 ENDSEC", square)},
		{"millimetres.dxf", "not true", "1/25.4", dxfUnder("9 $INSUNITS 70 4 9 $MEASUREMENT 70 1 0 ENDSEC", square)},
		{"extents.dxf", "true", "the header says 48 in by 63.76 in", dxfUnder("9 $EXTMIN 10 0 20 0 9 $EXTMAX 10 48 20 63.76 9 $INSUNITS 70 1 9 $MEASUREMENT 70 0 0 ENDSEC", square)},
		{"extents-right.dxf", "true", "", dxfUnder("9 $EXTMIN 10 1 20 1 9 $EXTMAX 10 5 20 5 9 $INSUNITS 70 1 9 $MEASUREMENT 70 0 0 ENDSEC", square)},
		// The circle about 3, 3 - r through both ends.
		{"line-and-arc.dxf", "not true", bent + "0.8284 in", dxfFile("", three+" 0 ARC 100 AcDbEntity 8 SQUARE 100 AcDbCircle 10 3 20 3 40 2.8284271247461903 100 AcDbArc 50 135 51 225")},
		{"line-and-spline.dxf", "not true", bent + "0.15 in", dxfFile("", three+" 0 SPLINE 100 AcDbEntity 8 SQUARE 100 AcDbSpline 70 8 71 3 72 8 73 4 74 0 40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 10 1 20 5 30 0 10 .8 20 4 30 0 10 .8 20 2 30 0 10 1 20 1 30 0")},
	}
}

// general is what a general drawing program makes of a DXF: each edge a line of
// its own, numbers of three decimals, layers, lettering and the unit gone, and in
// the header the size of a sheet of paper.
func general(t *testing.T, file string, k float64) string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d, err := dxf.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("0 SECTION 2 HEADER 9 $EXTMIN 10 0 20 0 9 $EXTMAX 10 8.5 20 11 0 ENDSEC 0 SECTION 2 ENTITIES")
	for _, e := range d.Entities {
		points := e.Points
		if e.Closed {
			points = append(points, points[0])
		}
		for i := 1; i < len(points); i++ {
			p, q := points[i-1].Mul(k), points[i].Mul(k)
			fmt.Fprintf(&b, " 0 LINE 8 0 10 %.3f 20 %.3f 11 %.3f 21 %.3f", p.X, p.Y, q.X, q.Y)
		}
	}
	b.WriteString(" 0 ENDSEC 0 EOF")
	return strings.ReplaceAll(b.String(), " ", "\n") + "\n"
}

// The pieces tell what such a file counts in.
func TestMeasureLooseLinesWithoutUnit(t *testing.T) {
	t.Parallel()
	const pattern = "../../testdata/tide-lap.yaml"
	dir := t.TempDir()
	mustRun(t, "cutter", pattern, "--from", "one-of-each", "--out", dir)
	own := measureJSONOf(t, statusDone, filepath.Join(dir, "pieces.dxf"), "--pattern", pattern)
	file := filepath.Join(dir, "general.dxf")
	for _, c := range []struct {
		k    float64
		says string
	}{
		{25.4, "true to size if its numbers are millimetres"}, {2.54, "true to size if its numbers are centimetres"},
		{1, "true to size if its numbers are inches"}, {0.97 * 25.4, ""}, {3, ""},
	} {
		if err := os.WriteFile(file, []byte(general(t, filepath.Join(dir, "pieces.dxf"), c.k)), 0o666); err != nil {
			t.Fatal(err)
		}
		var out, talk bytes.Buffer
		if s := run([]string{"measure", "--json", "--pattern", pattern, file}, nil, &out, &talk); s != statusNo {
			t.Fatalf("status %d: %s", s, talk.String())
		}
		var m jsonMeasure
		if err := json.Unmarshal(out.Bytes(), &m); err != nil {
			t.Fatal(err)
		}
		all := strings.Join(m.Reasons, "\n")
		if m.Verdict != "unproven" || !strings.Contains(all, c.says) || (c.says == "") == strings.Contains(all, "true to size if") || !strings.Contains(all, "the header says") {
			t.Errorf("%v: %s %q", c.k, m.Verdict, m.Reasons)
		}
		if c.says == "" {
			continue
		}
		if len(m.Pieces) != len(own.Pieces) || m.Square == nil || m.Square.FoundBy != "shape" {
			t.Errorf("%v: %+v", c.k, m)
		}
		for i, p := range m.Pieces {
			if p.Piece == nil || *p.Piece != *own.Pieces[i].Piece || p.Mirrored {
				t.Errorf("%v: %+v, was %+v", c.k, p, own.Pieces[i])
			}
		}
		// The size is that of the lines, whatever the header says.
		if ratio := m.Page.Width / m.Page.Height * own.Page.Height / own.Page.Width; math.Abs(ratio-1) > 1e-3 {
			t.Errorf("%v: %+v, was %+v", c.k, m.Page, own.Page)
		}
	}
}

// pdfFile is a page of 6 in.
func pdfFile(content string) string { return pdfWith("", "", content) }

// pdfWith is one with more in its catalog and its page, and more objects, from
// number 5 on.
func pdfWith(catalog, page, content string, more ...string) string {
	stream := func(dict, data string) string {
		return fmt.Sprintf("<<%s/Length %d>>stream\n%s\nendstream", dict, len(data), data)
	}
	objects := []string{
		"<</Type /Catalog /Pages 2 0 R " + catalog + ">>", "<</Type /Pages /Count 1 /Kids [3 0 R]>>",
		"<</Type /Page /Parent 2 0 R " + strings.TrimSpace(page+" /MediaBox [0 0 432 432]") + " /Contents 4 0 R>>",
		stream("", content),
	}
	for _, o := range more {
		if dict, data, is := strings.Cut(o, "|"); is {
			o = stream(dict, data)
		}
		objects = append(objects, o)
	}
	return pdfText(objects)
}

func pdfTraps() []trap {
	const (
		bent   = "its sides are not straight: they lie up to "
		unseen = "so it proves nothing"
		square = "72 72 288 288 re S"
		form   = "/Type /XObject /Subtype /Form "
	)
	layers := func(usual, marked string, more ...string) string {
		return pdfWith("/OCProperties <</OCGs [5 0 R] /D <<"+usual+">>>>", "/Resources <</Properties <</L 5 0 R /M 6 0 R>>>>", marked,
			append([]string{"<</Type /OCG /Name (cut)>>"}, more...)...)
	}
	state := func(g string) string {
		return pdfWith("", "/Resources <</ExtGState <</G <<"+g+">>>>>>", "/G gs "+square)
	}
	return []trap{
		{"plain.pdf", "true", "", pdfFile("72 72 288 288 re S")},
		{"curve.pdf", "not true", bent + "0.15 in", pdfFile("72 72 m 144 57.6 288 57.6 360 72 c 360 360 l 72 360 l s")},
		{"curves.pdf", "not true", bent + "0.15 in", pdfFile("72 72 m 144 57.6 288 57.6 360 72 c 374.4 144 374.4 288 360 360 c 288 374.4 144 374.4 72 360 c 57.6 288 57.6 144 72 72 c s")},
		{"straight-curves.pdf", "true", "", pdfFile("72 72 m 144 72 288 72 360 72 c 360 360 l 72 360 l s")},
		// What can't be seen.
		// What stands between a path's construction and its painting is undefined (ISO
		// 32000-1, figure 9): poppler forgets the path at Q.
		{"path-over-restore.pdf", "", "Q stands inside a path", pdfFile("q 72 72 288 288 re Q S")},
		{"minus-length.pdf", "", "less than 0", strings.Replace(pdfFile("72 72 288 288 re S"), "/Length ", "/Length -", 1)},
		// Poppler then loses the page's own map.
		{"unsaved.pdf", "", "Q without its q", pdfFile("Q 72 72 288 288 re S")},
		{"unsaved-at-the-end.pdf", "true", "", pdfFile("72 72 288 288 re S Q")},
		{"path-over-cm.pdf", "", "cm stands inside a path", pdfFile("72 72 288 288 re .5 0 0 .5 0 0 cm S")},
		{"layer-on.pdf", "true", "", layers("/ON [5 0 R]", "/OC /L BDC "+square+" EMC")},
		{"layer-off.pdf", "unproven", "(its layer is off), " + unseen, layers("/OFF [5 0 R]", "/OC /L BDC "+square+" EMC")},
		{"layer-base-off.pdf", "unproven", unseen, layers("/BaseState /OFF", "/OC /L BDC /Span BMC "+square+" EMC EMC")},
		{"layer-members.pdf", "unproven", unseen, layers("/OFF [5 0 R]", "/OC /M BDC "+square+" EMC", "<</Type /OCMD /OCGs [5 0 R] /P /AllOn>>")},
		{"layer-members-off.pdf", "true", "", layers("/OFF [5 0 R]", "/OC /M BDC "+square+" EMC", "<</Type /OCMD /OCGs [5 0 R] /P /AllOff>>")},
		{"layer-ended.pdf", "true", "", layers("/OFF [5 0 R]", "/OC /L BDC EMC "+square)},
		{"layer-in-print.pdf", "unproven", "its layer is off", pdfWith("/OCProperties <</OCGs [5 0 R] /D <</AS [<</Event /Print /Category [/Print] /OCGs [5 0 R]>>]>>>>",
			"/Resources <</Properties <</L 5 0 R>>>>", "/OC /L BDC "+square+" EMC", "<</Type /OCG /Name (a) /Usage <</Print <</PrintState /OFF>>>>>>")},
		{"form-layer.pdf", "unproven", unseen, pdfWith("/OCProperties <</OCGs [5 0 R] /D <</OFF [5 0 R]>>>>", "/Resources <</XObject <</F 6 0 R>>>>", "/F Do",
			"<</Type /OCG /Name (a)>>", form+"/OC 5 0 R /BBox [0 0 432 432]|"+square)},
		{"form.pdf", "true", "", pdfWith("", "/Resources <</XObject <</F 5 0 R>>>>", "/F Do", form+"/BBox [0 0 432 432]|"+square)},
		{"form-box.pdf", "unproven", "clipped, wholly or in part), " + unseen, pdfWith("", "/Resources <</XObject <</F 5 0 R>>>>", "/F Do", form+"/BBox [0 0 200 432]|"+square)},
		{"clip.pdf", "unproven", "clipped, wholly or in part), " + unseen, pdfFile("0 0 200 432 re W n " + square)},
		{"clip-restored.pdf", "true", "", pdfFile("q 0 0 200 432 re W n Q " + square)},
		{"clip-page.pdf", "true", "", pdfFile("0 0 432 432 re W n 10 10 400 400 re W* n " + square)},
		{"clip-nothing.pdf", "unproven", unseen, pdfFile("0 0 0 0 re W n " + square)},
		{"clip-hole.pdf", "unproven", unseen, pdfFile("0 0 432 432 re 60 60 320 320 re W* n " + square)},
		{"white.pdf", "unproven", "that of the ground), " + unseen, pdfFile("1 G " + square)},
		{"white-cmyk.pdf", "unproven", unseen, pdfFile("0 0 0 0 K " + square)},
		{"white-rgb.pdf", "unproven", unseen, pdfFile("1 .99 .95 RG " + square)},
		{"white-space.pdf", "unproven", unseen, pdfFile("/DeviceRGB CS 1 1 1 SC " + square)},
		{"grey.pdf", "true", "", pdfFile(".2 G " + square)},
		{"spot-none.pdf", "unproven", "can't be followed), " + unseen, pdfWith("", "/Resources <</ColorSpace <</S [/Separation /Spot /DeviceCMYK <</FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 0 0 1]>>]>>>>", "/S CS 0 SCN "+square)},
		{"black-on-black.pdf", "unproven", "that of the ground), " + unseen, pdfFile("0 0 432 432 re f " + square)},
		{"covered.pdf", "unproven", "painted over it), " + unseen, pdfFile(square + " 1 g 0 0 432 432 re f")},
		{"half-covered.pdf", "unproven", "painted over it), " + unseen, pdfFile(square + " 1 g 0 0 200 432 re f")},
		{"frame-over.pdf", "true", "", pdfFile(square + " 1 g 0 0 432 432 re 36 36 360 360 re f*")},
		{"picture-over.pdf", "unproven", "painted over it), " + unseen, pdfFile(square + " q 432 0 0 432 0 0 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \xff EI Q")},
		{"broad.pdf", "unproven", "so broad that nobody can tell", pdfFile("4 w " + square)},
		{"broad-scaled.pdf", "unproven", "so broad", pdfFile("q 4 0 0 4 0 0 cm .6 w 18 18 72 72 re S Q")},
		{"broad-state.pdf", "unproven", "so broad", state("/LW 9")},
		{"clear.pdf", "unproven", unseen, state("/CA 0")},
		{"half-clear.pdf", "true", "", state("/CA .5")},
		{"blend.pdf", "unproven", "mixed with what lies under it", state("/BM /Screen")},
		{"no-blend.pdf", "true", "", state("/BM /Normal /SMask /None /CA 1")},
		{"off-page.pdf", "unproven", "runs off the page), " + unseen, pdfFile("1 0 0 1 144 0 cm " + square)},
		{"off-crop.pdf", "unproven", "runs off the page), " + unseen, pdfWith("", "/CropBox [0 0 216 432]", square)},
		{"crop.pdf", "true", "the page was cropped", pdfWith("", "/CropBox [36 36 396 396]", square)},
		{"lettering-clip.pdf", "unproven", "lettering may clip it", pdfFile("BT 7 Tr ET " + square)},
		{"user-unit.pdf", "unproven", "UserUnit", pdfWith("", "/UserUnit 2 /MediaBox [0 0 216 216]", "36 36 144 144 re S")},
		{"note-over.pdf", "unproven", "painted over it), so", pdfWith("", "/Annots [<</Type /Annot /Subtype /Square /Rect [0 0 432 432] /F 4 /AP <</N 5 0 R>>>>]", square, form+"/BBox [0 0 432 432]|1 g 0 0 432 432 re f")},
		{"nothing.pdf", "unproven", "no calibration square", pdfFile("72 72 288 288 re n")},
	}
}

// ink is the box of what a picture shows, in inches, and how wide the line is with
// which it begins halfway up.
type ink struct{ width, height, line float64 }

// near reports whether lengths agree to half a per cent and two pixels.
func near(a, b, dpi float64) bool { return math.Abs(a-b) <= 0.005*b+2/dpi }

// asLarge reports whether a square is drawn as it was measured from the middle of its
// lines.
func (i ink) asLarge(want ink, dpi float64) bool {
	return near(i.width-i.line, want.width, dpi) && near(i.height-i.line, want.height, dpi)
}

// isDark reports whether a pixel differs from the picture's white ground.
func isDark(p image.Image, x, y int) bool {
	r, g, b, _ := p.At(x, y).RGBA()
	return min(r, g, b) < 0xe000
}

// inkOf finds what is dark, of so many pixels to an inch; nothing is a box of no
// width.
func inkOf(p image.Image, dpi float64) ink {
	b := image.Rectangle{}
	for y := p.Bounds().Min.Y; y < p.Bounds().Max.Y; y++ {
		for x := p.Bounds().Min.X; x < p.Bounds().Max.X; x++ {
			if isDark(p, x, y) {
				b = b.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	line := 0
	for line < b.Dx()/4 && isDark(p, b.Min.X+line, (b.Min.Y+b.Max.Y)/2) {
		line++
	}
	if line >= b.Dx()/4 { // a filled one
		line = 0
	}
	return ink{float64(b.Dx()) / dpi, float64(b.Dy()) / dpi, float64(line) / dpi}
}

// framed reports whether a picture that shows other things too has four dark lines of
// which a square is as large as it was measured.
func framed(p image.Image, dpi float64, want ink) bool {
	b := p.Bounds()
	// lines returns where dark lines of a length lie, of a number of them.
	lines := func(number, along int, length float64, dark func(line, i int) bool) (out []int) {
		for line := range number {
			run := 0
			for i := range along {
				if run++; !dark(line, i) {
					run = 0
				}
				if float64(run) >= (0.995*length)*dpi-2 {
					out = append(out, line)
					break
				}
			}
		}
		return out
	}
	apart := func(at []int, want float64) bool {
		for _, i := range at {
			for _, j := range at {
				if near(float64(j-i)/dpi, want, dpi) {
					return true
				}
			}
		}
		return false
	}
	rows := lines(b.Dy(), b.Dx(), want.width, func(y, x int) bool { return isDark(p, b.Min.X+x, b.Min.Y+y) })
	columns := lines(b.Dx(), b.Dy(), want.height, func(x, y int) bool { return isDark(p, b.Min.X+x, b.Min.Y+y) })
	return apart(rows, want.height) && apart(columns, want.width)
}

// A square that is drawn in another size is not as large as measured, whatever is
// drawn beside it.
func TestFramed(t *testing.T) {
	p := image.NewGray(image.Rect(0, 0, 600, 600))
	for i := range p.Pix {
		p.Pix[i] = 255
	}
	black := func(r image.Rectangle) { draw.Draw(p, r, image.Black, image.Point{}, draw.Src) }
	for _, r := range []image.Rectangle{image.Rect(100, 100, 503, 103), image.Rect(100, 500, 503, 503), image.Rect(100, 100, 103, 503), image.Rect(500, 100, 503, 503)} {
		black(r)
	}
	if i := inkOf(p, 100); !i.asLarge(ink{width: 4, height: 4}, 100) || i.asLarge(ink{width: 4.1, height: 4.1}, 100) {
		t.Errorf("four lines 4 in apart are drawn as %v", i)
	}
	black(image.Rect(20, 300, 40, 580))
	if inkOf(p, 100).asLarge(ink{width: 4, height: 4}, 100) || !framed(p, 100, ink{width: 4, height: 4}) || framed(p, 100, ink{width: 4.1, height: 4.1}) {
		t.Error("a bar beside the square is taken for it")
	}
}

func decoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	p, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// measure never says that a file is true when Chromium or librsvg draws the SVG,
// ezdxf the DXF or poppler the PDF in another size; and each of these files has
// one right answer.
func TestMeasureBesideWhatIsDrawn(t *testing.T) {
	t.Parallel()
	page := browser.Open(t, browser.Options{Width: 700, Height: 700})
	rsvg, poppler := outside.Tool(t, "rsvg-convert"), outside.Tool(t, "pdftoppm")
	python := outside.Python(t, "ezdxf")
	dir := t.TempDir()
	var drawings []string
	for _, c := range traps() {
		file := filepath.Join(dir, c.name)
		if err := os.WriteFile(file, []byte(c.file), 0o666); err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(c.name, ".dxf") && c.verdict != "" {
			drawings = append(drawings, file)
		}
	}
	var boxes []*[4]float64
	if err := json.Unmarshal(outside.Run(t, python, append([]string{filepath.Join("testdata", "draw_ezdxf.py")}, drawings...)...), &boxes); err != nil {
		t.Fatal(err)
	}
	const dpi = 96
	four := ink{width: 4, height: 4}
	for i, c := range traps() {
		file := filepath.Join(dir, c.name)
		verdict := measuredAs(t, file, c)
		if verdict != c.verdict {
			t.Errorf("%s: %q, want %q", c.name, verdict, c.verdict)
		}
		if c.verdict == "" {
			continue
		}
		drawn := map[string]ink{}
		looked := i%outside.Of(4, 1) == 0
		switch filepath.Ext(file) {
		case ".svg":
			if !looked {
				continue
			}
			page.Navigate(file)
			drawn["Chromium"] = inkOf(page.Screenshot(), dpi)
			drawn["librsvg"] = inkOf(decoded(t, outside.Run(t, rsvg, "-b", "white", "-d", fmt.Sprint(dpi), "-p", fmt.Sprint(dpi), file)), dpi)
		case ".dxf":
			if b := boxes[0]; b == nil {
				drawn["ezdxf"] = ink{}
			} else {
				drawn["ezdxf"] = ink{width: b[2] - b[0], height: b[3] - b[1]}
			}
			boxes = boxes[1:]
		case ".pdf":
			if !looked {
				continue
			}
			drawn["poppler"] = inkOf(decoded(t, outside.Run(t, poppler, "-png", "-cropbox", "-r", fmt.Sprint(dpi), file)), dpi)
		}
		seen := 0
		for who, ink := range drawn {
			same := ink.asLarge(four, dpi)
			if verdict == "true" && !same {
				t.Errorf("%s: called true, and %s draws it %.3f by %.3f in", c.name, who, ink.width, ink.height)
			}
			if same {
				seen++
			}
		}
		if strings.HasSuffix(c.says, "proves nothing") && seen == len(drawn) {
			t.Errorf("%s: called unseen, and all draw it", c.name)
		}
	}
}

// measuredAs runs measure on a trap and returns the verdict, "" for a refusal,
// having seen that the status goes with it and that the right words are said.
func measuredAs(t *testing.T, file string, c trap) string {
	t.Helper()
	var out, talk bytes.Buffer
	status := run([]string{"measure", "--json", file}, nil, &out, &talk)
	if status == statusUsage {
		if !strings.Contains(talk.String(), c.says) || out.Len() > 0 {
			t.Errorf("%s: no %q in %s", c.name, c.says, talk.String())
		}
		return ""
	}
	var m jsonMeasure
	if err := json.Unmarshal(out.Bytes(), &m); err != nil {
		t.Fatalf("%s: %v: %s%s", c.name, err, out.String(), talk.String())
	}
	if all := strings.Join(m.Reasons, "\n"); !strings.Contains(all, c.says) {
		t.Errorf("%s: no %q in %s", c.name, c.says, all)
	}
	if (status == statusDone) != (m.Verdict == "true" || m.Verdict == "page only") {
		t.Errorf("%s: status %d and %q", c.name, status, m.Verdict)
	}
	return m.Verdict
}
