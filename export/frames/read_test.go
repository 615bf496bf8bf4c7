// SPDX-License-Identifier: Apache-2.0

package frames_test

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
	"testing"

	"lozenge/calibrate"
	"lozenge/export/frames"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// document is what is looked at in a file that was written.
type document struct {
	Width   string  `xml:"width,attr"`
	Height  string  `xml:"height,attr"`
	ViewBox string  `xml:"viewBox,attr"`
	Title   string  `xml:"title"`
	Desc    string  `xml:"desc"`
	Groups  []group `xml:"g"`
}

type group struct {
	ID    string `xml:"id,attr"`
	Dash  string `xml:"stroke-dasharray,attr"`
	Width string `xml:"stroke-width,attr"`
	Paths []struct {
		D      string `xml:"d,attr"`
		ID     string `xml:"id,attr"`
		Number int    `xml:"data-number,attr"`
		Size   string `xml:"data-size,attr"`
		Width  string `xml:"stroke-width,attr"`
	} `xml:"path"`
	Words struct {
		Texts []struct {
			Transform string `xml:"transform,attr"`
			Anchor    string `xml:"text-anchor,attr"`
			Value     string `xml:",chardata"`
		} `xml:"text"`
	} `xml:"g"`
}

func (d *document) group(t failer, id string) group {
	for _, g := range d.Groups {
		if g.ID == id {
			return g
		}
	}
	t.Fatalf("no group %s", id)
	return group{}
}

// failer is what testing.TB and rapid.T have in common.
type failer interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

func read(t failer, f *frames.Frame, m *calibrate.Map) *document {
	t.Helper()
	var out bytes.Buffer
	if err := f.Write(&out, m, frames.PlainLook()); err != nil {
		t.Fatal(err)
	}
	var d document
	if err := xml.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	return &d
}

// points reads path data: M, L and Z with absolute coordinates.
func points(t failer, d string) (out []geometry.Point) {
	t.Helper()
	for _, word := range strings.FieldsFunc(d, func(r rune) bool { return strings.ContainsRune("MLZ ", r) }) {
		x, y, _ := strings.Cut(word, ",")
		out = append(out, geometry.Point{X: number(t, x), Y: number(t, y)})
	}
	return out
}

// matrix reads a transform of six numbers.
func matrix(t failer, text string) (m [6]float64) {
	t.Helper()
	words := strings.Fields(strings.TrimSuffix(strings.TrimPrefix(text, "matrix("), ")"))
	if len(words) != 6 {
		t.Fatalf("transform %q", text)
	}
	for i, w := range words {
		m[i] = number(t, w)
	}
	return m
}

func number(t failer, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func planOf(t testing.TB, change func(*quilt.Spec)) *quilt.Plan {
	t.Helper()
	s := quilt.Spec{
		Name: "Frames", Seam: 0.25, Angle: 60, UsableWidth: 40, Columns: 6, Rows: 7,
		Strips:  []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		Fabrics: []quilt.Fabric{{Key: "tide", Colours: []quilt.Colour{{}}}, {Key: "sand", Colours: []quilt.Colour{{}}}},
	}
	if change != nil {
		change(&s)
	}
	p, err := quilt.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if !p.Fewest.OK() {
		t.Fatal("no strip set gives the pieces")
	}
	return p
}
