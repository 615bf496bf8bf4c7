// SPDX-License-Identifier: Apache-2.0

package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"math"
	"strings"
	"testing"

	"lozenge/export"
	"lozenge/export/draw"
	"lozenge/geometry"
)

func pixels() *draw.Screen {
	return &draw.Screen{
		Width: 1920, Height: 1080, Title: "A & B", Note: "Cut here.", Ground: "#000000",
		Layers: []draw.Layer{{
			ID: "cut", Colour: "#ffffff", Line: 2, Dash: []float64{12, 0.5},
			Traces: []draw.Trace{
				{Points: []geometry.Point{{X: 1.5, Y: 2}, {X: 1919.123456, Y: 1080}}, Number: 7},
				{Points: []geometry.Point{{X: 1, Y: 1}, {X: 9, Y: 1}, {X: 9, Y: 9}}, Closed: true, Thin: true, Size: "12in"},
			},
			Words: []draw.Lettering{{At: geometry.Point{X: 100, Y: 200}, Across: geometry.Point{X: 0, Y: 20}, Up: geometry.Point{X: 20, Y: 0}, Value: "7 < 8", Centred: true}},
		}},
	}
}

// The root is in pixels; every point stands where it was given; lettering
// goes through a matrix that takes a hundredth of a capital to the screen.
func TestScreen(t *testing.T) {
	var out bytes.Buffer
	if err := WriteScreen(&out, pixels()); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`width="1920"`, `height="1080"`, `viewBox="0 0 1920 1080"`, `<title>A &amp; B</title>`, `<desc>Cut here.</desc>`,
		`<rect x="0" y="0" width="1920" height="1080" id="ground" fill="#000000"/>`,
		`<g id="cut"`, `stroke="#ffffff"`, `stroke-width="2"`, `stroke-dasharray="12 0.5"`,
		`<path data-number="7" d="M1.5,2 L1919.123456,1080"/>`,
		`<path id="calibration-square" data-size="12in" stroke-width="1" d="M1,1 L9,1 L9,9 Z"/>`,
		`matrix(0 0.2 -0.2 0 100 200)`, `text-anchor="middle"`, `7 &lt; 8`,
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %s in\n%s", want, out.String())
		}
	}
	if err := xml.Unmarshal(out.Bytes(), new(struct{})); err != nil {
		t.Error(err)
	}
}

func TestScreenErrors(t *testing.T) {
	for name, spoil := range map[string]func(*draw.Screen){
		"no screen":       func(p *draw.Screen) { p.Width = 0 },
		"ground":          func(p *draw.Screen) { p.Ground = "black" },
		"colour":          func(p *draw.Screen) { p.Layers[0].Colour = `#fff"/>` },
		"line width":      func(p *draw.Screen) { p.Layers[0].Line = math.NaN() },
		"no line":         func(p *draw.Screen) { p.Layers[0].Traces[0].Points = p.Layers[0].Traces[0].Points[:1] },
		"not a number":    func(p *draw.Screen) { p.Layers[0].Traces[0].Points[1].X = math.Inf(1) },
		"text of nowhere": func(p *draw.Screen) { p.Layers[0].Words[0].At.Y = math.NaN() },
	} {
		p := pixels()
		spoil(p)
		if err := WriteScreen(&bytes.Buffer{}, p); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	p := pixels()
	p.Layers[0].Words[0].At.Y = math.NaN()
	var what *export.NotFiniteError
	if err := WriteScreen(&bytes.Buffer{}, p); !errors.As(err, &what) || what.What != "text 1" {
		t.Errorf("%v", err)
	}
	full := fullAfter(100)
	if err := WriteScreen(&full, pixels()); !errors.Is(err, errFull) {
		t.Errorf("full disk: %v", err)
	}
}
