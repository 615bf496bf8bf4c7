// SPDX-License-Identifier: Apache-2.0

package svgread_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"lozenge/export/measure"
	"lozenge/export/svgread"
	"lozenge/export/trace"
	"lozenge/geometry"
)

func read(t testing.TB, src string) *measure.Drawing {
	t.Helper()
	d, err := svgread.Read(strings.NewReader(src), "")
	if err != nil {
		t.Fatalf("%v\n%.200s", err, src)
	}
	return d
}

// svg wraps a body in a root whose user unit is an inch.
func svg(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="10in" height="10in" viewBox="0 0 10 10">` + body + `</svg>`
}

func TestPageSize(t *testing.T) {
	// 96 px, 72 pt, 6 pc, 25.4 mm, 101.6 Q to the inch: CSS Values and Units
	// 3, 6.2.
	for _, c := range []struct {
		attrs         string
		width, height float64
		unit          measure.Unit
		pixels        bool
	}{
		{`width="8.375in" height="10.0625in"`, 8.375, 10.0625, measure.Inch, false},
		{`width="254mm" height="50.8mm"`, 10, 2, measure.Millimetre, false},
		{`width="25.4cm" height="5.08cm" viewBox="0 0 1 1"`, 10, 2, measure.Centimetre, false},
		{`width="595.276pt" height="841.89pt"`, 595.276 / 72, 841.89 / 72, measure.Inch, false},
		{`width="6pc" height="101.6Q"`, 1, 1, measure.Millimetre, false},
		// musescore/MuseScore#22531, deeplook/svglib#452: without a unit it is
		// pixels; rsvg-convert -f pdf makes 75 x 37.5 pt of 100 x 50.
		{`width="100" height="50" viewBox="0 0 100 50"`, 75. / 72, 37.5 / 72, measure.Inch, true},
		{`width="96px" height="192px"`, 1, 2, measure.Inch, true},
		{`style="width:8in; height : 2in" width="100%"`, 8, 2, measure.Inch, false},
	} {
		d := read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.attrs+`/>`)
		p := d.Pages[0]
		if math.Abs(p.Width-c.width) > 1e-12*c.width || math.Abs(p.Height-c.height) > 1e-12*c.height || d.Unit != c.unit || d.Pixels != c.pixels {
			t.Errorf("%s: %v by %v in, unit %v, pixels %v", c.attrs, p.Width, p.Height, d.Unit, d.Pixels)
		}
	}
}

func TestNoPhysicalSize(t *testing.T) {
	for _, attrs := range []string{
		`viewBox="0 0 100 50"`, `width="4in" viewBox="0 0 200 100"`, `height="4in" viewBox="0 0 200 100"`, `width="100%" height="100%" viewBox="0 0 4 4"`, ``,
		// rsvg-convert: "no dimensions"; richsmith/sexytopo#326.
		`width="10,5mm" height="3mm"`,
		`width="-4in" height="4in"`, `width="0" height="4in"`, `width="4em" height="4in"`, `width="NaN" height="4in"`, `width="0x10" height="4in"`, `width="1e400in" height="1in"`,
	} {
		_, err := svgread.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" `+attrs+`/>`), "")
		var syntax *svgread.SyntaxError
		if !errors.As(err, &syntax) {
			t.Errorf("%s: %v", attrs, err)
		}
	}
	d, err := svgread.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50"/>`), measure.Millimetre)
	if err != nil || math.Abs(d.Pages[0].Width-100/25.4) > 1e-12 || d.Unit != measure.Millimetre {
		t.Errorf("with a unit stated: %+v, %v", d, err)
	}
}

// onlyPath returns the points of the one path of a drawing.
func onlyPath(t *testing.T, src string) measure.Path {
	t.Helper()
	paths := slices.DeleteFunc(read(t, src).Pages[0].Paths, func(p measure.Path) bool { return p.Hidden == "display: none" })
	if n := len(paths); n != 1 {
		t.Fatalf("%d paths in %s", n, src)
	}
	return paths[0]
}

func sameSquare(t *testing.T, name string, p measure.Path, x, y, side float64) {
	t.Helper()
	b := geometry.Polygon(p.Points).Bounds()
	if !p.Closed || math.Abs(b.Min.X-x) > 1e-9 || math.Abs(b.Min.Y-y) > 1e-9 || math.Abs(b.Width()-side) > 1e-9 || math.Abs(b.Height()-side) > 1e-9 {
		t.Errorf("%s: closed %v, %v, want a square of %v at %v, %v", name, p.Closed, b, side, x, y)
	}
}

// One square of 2 in with its lower left corner 1 in right of and 5 in above
// the corner of the page, said in many ways.
func TestSameSquareSaidInManyWays(t *testing.T) {
	const defs = `<defs><path id="s" d="M0 0h2v2h-2z"/><symbol id="y" viewBox="0 0 1 1"><rect width="1" height="1"/></symbol><g id="g"><use href="#s"/></g></defs>`
	for _, body := range []string{
		`<rect x="1" y="3" width="2" height="2"/>`,
		`<rect x="10%" y="30%" width="20%" height="20%"/>`,
		`<polygon points="1,3 3,3 3,5 1,5"/>`,
		`<polygon points="1,3,3,3,3,5,1,5"/>`,
		`<path d="M1,3L3,3 3,5 1,5Z"/>`,
		`<path d="m1 3 2 0 0 2-2 0z"/>`,
		`<path d="M1 3H3V5H1Z"/>`,
		`<path d="M1 3h2v2h-2z"/>`,
		`<path d="M+1e0.3e1l2-0 0,2-2,0z"/>`,
		`<path d="M1 3C1.5 3 3 3 3 3S3 5 3 5Q1 5 1 5T1 3z"/>`,
		`<path d="M1 3A0 5 0 0 0 3 3L3 5 1 5z"/>`,
		`<path transform="translate(1 3)" d="M0 0h2v2h-2z"/>`,
		`<path transform="translate(1,3),scale(2)" d="M0 0h1v1h-1z"/>`,
		`<path transform="matrix(0 1 -1 0 3 3)" d="M0 0h2v2h-2z"/>`,
		`<path transform="rotate(90 2 4)" d="M1 3h2v2h-2z"/>`,
		`<path transform="rotate(450) translate(3 -3)" d="M0 0h2v2h-2z"/>`,
		`<path transform="skewX(45) translate(-2 3) skewX(-45)" d="M0 0h2v2h-2z"/>`,
		`<path transform="skewY(45) translate(1 2) skewY(-45)" d="M0 0h2v2h-2z"/>`,
		`<g transform="translate(1 0)"><g transform="translate(0 3)"><g><rect width="2" height="2"/></g></g></g>`,
		`<svg x="1" y="3" width="2" height="2" viewBox="0 0 200 200"><rect width="200" height="200"/></svg>`,
		`<svg x="1" y="3" width="4" height="2" viewBox="0 0 200 200" preserveAspectRatio="xMinYMid"><rect width="100%" height="100%"/></svg>`,
		`<svg x="0" y="3" width="4" height="2" viewBox="0 0 200 200"><rect width="200" height="200"/></svg>`,
		`<svg x="-1" y="3" width="4" height="2" viewBox="0 0 200 200" preserveAspectRatio="xMaxYMax meet"><rect width="200" height="200"/></svg>`,
		`<svg x="1" y="3" width="2" height="1" viewBox="0 0 10 10" preserveAspectRatio="xMinYMin slice"><rect width="10" height="10"/></svg>`,
		`<svg x="1" y="3" width="2" height="2" viewBox="0 0 50 100" preserveAspectRatio="none"><rect width="50" height="100"/></svg>`,
		defs + `<use href="#s" x="1" y="3"/>`,
		defs + `<use xlink:href="#s" transform="translate(1 3)"/>`,
		defs + `<use href="#g" x="1" y="3"/>`,
		defs + `<use href="#y" x="1" y="3" width="2" height="2"/>`,
		`<g display="none"><rect width="9" height="9"/></g><rect x="1" y="3" width="2" height="2"/>`,
		`<rect style="display:none" width="9" height="9"/><rect x="1" y="3" width="2" height="2"/>`,
		`<clipPath id="c"><rect width="9" height="9"/></clipPath><rect x="1" y="3" width="2" height="2"/>`,
		`<foo:rect xmlns:foo="urn:x" width="9" height="9"/><rect x="1" y="3" width="2" height="2"/>`,
		// linebender/resvg#357: lengths inside a viewBox are user units, 96 to
		// the inch.
		`<g transform="scale(.01041666666666666666666)"><rect x="1in" y="76.2mm" width="5.08cm" height="144pt"/></g>`,
	} {
		if strings.Contains(body, "A0 5") {
			d := read(t, svg(body))
			sameSquare(t, body, d.Pages[0].Paths[0], 1, 5, 2)
			continue
		}
		sameSquare(t, body, onlyPath(t, svg(body)), 1, 5, 2)
	}
	// The prefix of another binding of the same names.
	sameSquare(t, "prefix", onlyPath(t, `<s:svg xmlns:s="http://www.w3.org/2000/svg" width="10in" height="10in" viewBox="0 0 10 10"><s:rect x="1" y="3" width="2" height="2"/></s:svg>`), 1, 5, 2)
	sameSquare(t, "origin of the viewBox", onlyPath(t, `<svg xmlns="http://www.w3.org/2000/svg" width="10in" height="10in" viewBox="-5 -5 10 10"><rect x="-4" y="-2" width="2" height="2"/></svg>`), 1, 5, 2)
}

// Numbers may stand packed: the example of w3c/svgwg#286 and Kozea/CairoSVG#454,
// and the flags of an arc.
func TestPackedNumbers(t *testing.T) {
	p := onlyPath(t, svg(`<path d="M1e-1-2L.5.5 3e0,4"/>`))
	want := []geometry.Point{{X: 0.1, Y: 12}, {X: 0.5, Y: 9.5}, {X: 3, Y: 6}}
	for i, w := range want {
		if p.Points[i].Sub(w).Len() > 1e-12 {
			t.Errorf("point %d is %v, want %v", i, p.Points[i], w)
		}
	}
	// A half circle: flags and what follows without a blank.
	for _, d := range []string{"M2 5a1 1 0 012 0", "M2 5a1 1 0 0 1 2 0", "M2,5A1,1,0,0,1,4,5", "M4 5a1 1 0 10-2 0"} {
		p := onlyPath(t, svg(`<path d="`+d+`"/>`))
		b := geometry.Polygon(p.Points).Bounds()
		if math.Abs(b.Max.Y-6) > trace.Fine || math.Abs(b.Min.Y-5) > 1e-9 || math.Abs(b.Min.X-2) > 1e-9 || math.Abs(b.Max.X-4) > 1e-9 {
			t.Errorf("%s: %v", d, b)
		}
	}
}

func TestCirclesAndRoundedCorners(t *testing.T) {
	for body, area := range map[string]float64{
		`<circle cx="5" cy="5" r="3"/>`:                                          9 * math.Pi,
		`<ellipse cx="5" cy="5" rx="3" ry="1"/>`:                                 3 * math.Pi,
		`<rect x="1" y="1" width="6" height="4" rx="1"/>`:                        24 - 4 + math.Pi,
		`<rect x="1" y="1" width="6" height="4" rx="9" ry="1"/>`:                 24 - 12 + 3*math.Pi,
		`<path d="M2 5A3 3 0 1 1 8 5A3 3 0 1 1 2 5Z"/>`:                          9 * math.Pi,
		`<path d="M2 5A1 1 0 1 1 8 5A1 1 0 1 1 2 5Z"/>`:                          9 * math.Pi, // radii too small grow
		`<path transform="scale(1 .5)" d="M2 5a3 3 30 1 1 6 0a3 3 0 1 1-6 0z"/>`: 4.5 * math.Pi,
	} {
		p := onlyPath(t, svg(body))
		if got := math.Abs(geometry.Polygon(p.Points).Area()); math.Abs(got-area) > 2e-3 {
			t.Errorf("%s: area %v, want %v", body, got, area)
		}
	}
}

func TestRolesAndLettering(t *testing.T) {
	d := read(t, svg(`<g id="cut"><path d="M0 0h1"/></g><g id="sew"><path d="M0 0h1"/></g><g id="mark"><path d="M0 0h1"/>
		<text x="1" y="2">A &amp; B <tspan>&#x41;<![CDATA[<]]></tspan></text>
		<text transform="scale(-1 1)" x="-3" y="4">mirrored</text><text transform="rotate(180)">turned</text></g>
		<g id="square"><rect id="calibration-square" data-size="4in" width="4" height="4"/></g>`))
	p := d.Pages[0]
	if !d.Roles || p.Paths[0].Role != measure.Cut || p.Paths[1].Role != measure.Sew || p.Paths[2].Role != measure.Mark || p.Paths[3].Role != measure.Square {
		t.Errorf("roles: %+v", p.Paths)
	}
	if p.Paths[3].Square != measure.ByID || p.Paths[3].Size != "4in" {
		t.Errorf("square: %+v", p.Paths[3])
	}
	want := []measure.Text{
		{At: geometry.Point{X: 1, Y: 8}, Value: "A & B A<"},
		{At: geometry.Point{X: 3, Y: 6}, Value: "mirrored", Mirrored: true},
		{At: geometry.Point{X: 0, Y: 10}, Value: "turned"},
	}
	for i, w := range want {
		if g := p.Texts[i]; g.Value != w.Value || g.Mirrored != w.Mirrored || g.At.Sub(w.At).Len() > 1e-12 {
			t.Errorf("text %d: %+v, want %+v", i, g, w)
		}
	}
	// Without groups, dashes and grey tell.
	d = read(t, svg(`<path d="M0 0h1" style="stroke:#000; stroke-dasharray: 1,2"/><path d="M0 0h1" stroke="rgb(50%, 50%, 50%)"/><path d="M0 0h1" stroke="black" stroke-dasharray="none"/><path d="M0 0h1v1z"/>`))
	p = d.Pages[0]
	if d.Roles || p.Paths[0].Role != measure.Sew || p.Paths[1].Role != measure.Mark || p.Paths[2].Role != measure.Unknown || p.Paths[2].Filled || !p.Paths[3].Filled {
		t.Errorf("looks: %+v", p.Paths)
	}
}

func TestEncodings(t *testing.T) {
	for _, src := range []string{
		"\xef\xbb\xbf" + svg("<text>Büro</text>"),
		`<?xml version="1.0" encoding="UTF-8" standalone="no"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "x.dtd" [<!ENTITY ns "http://x/">]>` + svg("<text>Büro</text>"),
		"<?xml version='1.0' encoding='ISO-8859-1'?>" + svg("<text>B\xfcro</text>"), // golang/go#38335
	} {
		if got := read(t, src).Pages[0].Texts[0].Value; got != "Büro" {
			t.Errorf("%.60q: %q", src, got)
		}
	}
	for src, says := range map[string]string{
		"\xff\xfe<\x00s\x00":                            "UTF-16",
		"\x1f\x8b\x08\x00":                              "svgz",
		`<?xml version="1.0" encoding="UTF-16"?><svg/>`: `"UTF-16"; save it as UTF-8`,
		svg("<text>B\xfcro</text>"):                     "not UTF-8",
		strings.Repeat(`<?xml version="1.0" encoding="latin1"?>`, 2) + svg(""): "second time",
	} {
		if _, err := svgread.Read(strings.NewReader(src), ""); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", src, err)
		}
	}
}

// What the standard library's decoder lets through and XML does not (XML 1.0,
// 2.1, 2.8 and 3.1; Namespaces in XML 1.0, 3, 4 and 6.3).
func TestMoreThanXMLAllows(t *testing.T) {
	const space = "http://www.w3.org/2000/svg"
	for src, says := range map[string]string{
		svg("") + "\n" + svg("<g/>"):                       "line 2: there is a second root element, <svg>",
		svg("") + "\n\nmore":                               `line 1: "more" stands outside the root element`,
		"more" + svg(""):                                   `line 1: "more" stands outside`,
		svg("\n<path d='M0 0h1' d='M0 0h2'/>"):             `line 2: the attribute "d" stands twice in the tag of <path>`,
		svg("<g unknown='' unknown=''/>"):                  `"unknown" stands twice`,
		svg("<g xmlns:a='u' xmlns:a='u'/>"):                `"a" stands twice`,
		svg("<g xmlns:a='u' xmlns:b='u' a:x='' b:x=''/>"):  `"x" stands twice`,
		svg("\n<a:rect/>"):                                 `line 2: nothing says what the prefix of "a:rect" means`,
		svg("<rect a:x='1'/>"):                             `"a:x"`,
		svg("<g xmlns:a='u'/><a:rect/>"):                   `"a:rect"`, // it meant something inside that group only
		svg("<g xmlns:a='u'><g xmlns:a=''><a:g/></g></g>"): `"a:g"`,
		svg("<g :x=''/>"):                                  `prefix of ":x"`,
		svg("<g></a>"):                                     "</a> stands where </g> should",
		svg("") + "</svg>":                                 "</svg> ends nothing",
		"<svg xmlns='" + space + "'>\n<g>\n":               "line 3: the file ends inside <g> of line 2; it was cut short",
		svg("<!DOCTYPE svg>"):                              "DOCTYPE",
		svg("<text>&k;</text>"):                            "the entity \"&k;\" is not one of XML's own",
		"<!DOCTYPE svg [<!ENTITY k 'M0 0h1'>]>" + svg("\n<path d='&k;'/>"): "line 2: the entity \"&k;\" is not",
	} {
		if _, err := svgread.Read(strings.NewReader(src), ""); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %s", src, err, says)
		}
	}
	// Entities in namespaces, which some programs write (from memory), and
	// prefixes that mean the same.
	const box = `<x:rect x="1" y="3" width="2" height="2"/>`
	for name, src := range map[string]string{
		"entities": `<!DOCTYPE svg [<!ENTITY s "` + space + `"><!ENTITY i "http://i/">]><svg xmlns="&s;" xmlns:i="&i;" width="10in" height="10in" viewBox="0 0 10 10" i:pages="&i;"><i:rect width="9" height="9"/>` + strings.ReplaceAll(box, "x:", "") + `</svg>`,
		"prefix":   svg(`<g xmlns:x="` + space + `">` + box + `</g>`),
		"other":    svg(`<g xmlns="urn:x"><rect width="9" height="9"/></g>` + strings.ReplaceAll(box, "x:", "")),
	} {
		sameSquare(t, name, onlyPath(t, src), 1, 5, 2)
	}
}

// Files that are not what they seem end with an error that names a line, and
// soon: see BenchmarkHostile.
func TestHostile(t *testing.T) {
	for name, src := range hostile() {
		d, err := svgread.Read(strings.NewReader(src), "")
		var syntax *svgread.SyntaxError
		if d != nil || !errors.As(err, &syntax) {
			t.Errorf("%s: %v, %v", name, d, err)
		}
	}
}

// hostile is made once: some of it is large.
var hostile = sync.OnceValue(func() map[string]string {
	laughs := `<!DOCTYPE svg [<!ENTITY a "ha">`
	for c := 'b'; c <= 'k'; c++ {
		laughs += fmt.Sprintf(`<!ENTITY %c "%s">`, c, strings.Repeat(fmt.Sprintf("&%c;", c-1), 10))
	}
	uses := `<rect id="u0" width="1" height="1"/>`
	for i := range 12 {
		uses += fmt.Sprintf(`<g id="u%d">%s</g>`, i+1, strings.Repeat(fmt.Sprintf(`<use href="#u%d"/>`, i), 10))
	}
	return map[string]string{
		"entity bomb":            laughs + "]>" + svg("<text>&k;</text>"),
		"entity in an attribute": laughs + "]>" + svg(`<path d="&k;"/>`),
		"external entity":        `<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>` + svg("<text>&x;</text>"),
		"nesting bomb":           svg(strings.Repeat("<g>", 1_000_000)),
		"nested and closed":      svg(strings.Repeat("<g>", 5000) + strings.Repeat("</g>", 5000)),
		"use bomb":               svg(uses),
		"use of itself":          svg(`<g id="a"><use href="#a"/></g>`),
		"uses in a circle":       svg(`<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>`),
		"symbol of itself":       svg(`<symbol id="a"><use href="#a"/></symbol><use href="#a"/>`),
		"use of nothing":         svg(`<use href="#nothing"/>`),
		"use of another file":    svg(`<use href="other.svg#a"/>`),
		"too many elements":      svg(strings.Repeat("<a/>", 1<<20+1)),
		"too many curves":        svg(`<path d="M0 0` + strings.Repeat("q9 9 0 1", 400_000) + `"/>`),
		"far away":               svg(`<path d="M0 0L1e300 1e300"/>`),
		"overflow":               svg(`<g transform="scale(1e200)"><path transform="scale(1e200)" d="M0 0h1"/></g>`),
		"not finite":             svg(`<path d="M0 0L1e999 0"/>`),
		"NaN":                    svg(`<path d="MNaN 0L1 0"/>`),
		"decimal comma":          svg(`<rect width="1,5" height="2"/>`),
		"cut short in a tag":     `<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><path d="M0 0`,
		"cut short":              `<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><g>`,
		"wrong end":              svg("<g></a>"),
		"no quotes":              svg("<path d=M0/>"),
		"two roots":              svg("") + svg(""),
		"text":                   "hello\nworld",
		"html":                   "<html><body>no</body></html>",
		"empty":                  "",
		"no command":             svg(`<path d="0 0L1 1"/>`),
		"path without a start":   svg(`<path d="L1 1"/>`),
		"odd flag":               svg(`<path d="M0 0A1 1 0 2 0 3 3"/>`),
		"half a pair":            svg(`<polygon points="0,0 1"/>`),
		"style sheet":            svg(`<style>.a { transform : scale(2) }</style><path class="a" d="M0 0h1"/>`),
		"style":                  svg(`<path style="transform:scale(2)" d="M0 0h1"/>`),
		"transform origin":       svg(`<path transform-origin="center" transform="scale(2)" d="M0 0h1"/>`),
		"unknown transform":      svg(`<path transform="turn(2)" d="M0 0h1"/>`),
		"comment without end":    svg(`<!-- `),
		"DOCTYPE without end":    `<!DOCTYPE svg [ <!ENTITY a "`,
	}
})

// An error says where.
func TestErrorsNameTheLine(t *testing.T) {
	_, err := svgread.Read(strings.NewReader("<svg xmlns='http://www.w3.org/2000/svg' width='1in' height='1in'>\n<g>\n<path d='M0 0 L1'/></g></svg>"), "")
	var syntax *svgread.SyntaxError
	if !errors.As(err, &syntax) || syntax.Line != 3 || !strings.Contains(err.Error(), "line 3") {
		t.Errorf("%v", err)
	}
}

func BenchmarkHostile(b *testing.B) {
	for _, name := range []string{"entity bomb", "nesting bomb", "use bomb", "too many elements", "too many curves"} {
		src := hostile()[name]
		b.Run(strings.ReplaceAll(name, " ", "-"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := svgread.Read(strings.NewReader(src), ""); err == nil {
					b.Fatal("no error")
				}
			}
		})
	}
}

// A file of 20 MB, as a cut file of a hundred thousand pieces is.
func BenchmarkRead20MB(b *testing.B) {
	var s strings.Builder
	for i := 0; s.Len() < 20_000_000; i++ {
		x, y := float64(i%997)/10, float64(i%991)/10
		fmt.Fprintf(&s, "<path d=\"M%.6f,%.6f L%.6f,%.6f L%.6f,%.6f L%.6f,%.6f Z\"/>\n", x, y, x+1.234567, y, x+1.7, y+2.1, x+.4, y+2.1)
	}
	src := svg(`<g id="cut">` + s.String() + `</g>`)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		read(b, src)
	}
}
