// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// parse parses src, which must be valid, without warnings unless wanted.
func parse(t *testing.T, src string, warnings ...string) *Pattern {
	t.Helper()
	p, err := Parse("q.yaml", []byte(src))
	if err != nil {
		t.Fatalf("%v\nin:\n%s", err, src)
	}
	ok := len(p.Warnings) == len(warnings)
	for i := 0; ok && i < len(warnings); i++ {
		ok = strings.Contains(p.Warnings[i].String(), warnings[i])
	}
	if !ok {
		t.Errorf("warnings:\n%v\nwant:\n%v\nin:\n%s", Problems(p.Warnings), warnings, src)
	}
	return p
}

func check(t *testing.T, got, want quilt.Spec) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(quilt.Layout{})); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// baseSpec is what base says, in the given unit's defaults.
func baseSpec() quilt.Spec {
	s := quilt.Spec{
		Name: "q", Unit: geometry.Inch, Angle: 60, Seam: 0.25, Tips: geometry.Matched,
		Strips:      []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 3, Fabric: "sand"}},
		UsableWidth: 40, Layout: quilt.Zigzag, Columns: 8, Rows: 9,
		Fabrics: []quilt.Fabric{
			{Key: "tide", Name: "tide", Colours: []quilt.Colour{neutrals[0]}},
			{Key: "sand", Name: "sand", Colours: []quilt.Colour{neutrals[1]}},
		},
	}
	s.Backing.UsableWidth, s.Backing.Extra = 40, 4
	s.Binding.Cut, s.Binding.Extra, s.Straighten = 2.5, 10, 2
	s.Batting.Extra = 4
	return s
}

func TestDefaultsInches(t *testing.T) {
	check(t, parse(t, base).Spec, baseSpec())
}

func TestDefaultsCentimetres(t *testing.T) {
	want := baseSpec()
	want.Unit, want.Seam, want.UsableWidth = geometry.Centimetre, 0.75, 100
	want.Backing.UsableWidth, want.Backing.Extra = 100, 10
	want.Binding.Cut, want.Binding.Extra, want.Straighten = 6.5, 25, 5
	want.Batting.Extra = 10
	check(t, parse(t, swap(t, "unit: in", "unit: cm")).Spec, want)
}

func TestEverything(t *testing.T) {
	p := parse(t, `
name: Harbour steps
unit: in
angle: 45.5
seam: 3/8
tips: sharp
strips:
  - {cut: 3, fabric: tide}
  - cut: 2 1/2
    fabric: sand
usable_width: 42
setting: one-way
finish: {width: 44, height: 50 1/4}
fabrics:
  tide: {name: Tide blues, from: strips, colors: ["#1f5f7a", "#2F7F9A", '#6ab']}
  sand: {name: Sand, from: fat-quarters, colors: "#efe6d2"}
color_order: bands
stagger: true
mix_leans: false
end_trim: 1/2
spare: 3
sewn_width: 4 11/16
face: down
shrinkage: 3
take_up: 2.5 %
borders:
  - {cut: 3 1/2, fabric: sand, corners: mitred}
  - {cut: 5, fabric: tide}
backing: {usable_width: 108, extra: 6}
binding: {cut: 2 1/4, extra: 12}
batting: {extra: 0}
designer: A. Quilter, the guild's
note: "Lay it out by daylight: the blues differ."
`)
	want := quilt.Spec{
		Designer: "A. Quilter, the guild's", Note: "Lay it out by daylight: the blues differ.",
		Name: "Harbour steps", Unit: geometry.Inch, Angle: 45.5, Seam: 0.375, Tips: geometry.Sharp,
		Strips:      []quilt.Strip{{Cut: 3, Fabric: "tide"}, {Cut: 2.5, Fabric: "sand"}},
		UsableWidth: 42, Layout: quilt.OneWay, Finish: &quilt.Size{Width: 44, Height: 50.25},
		Fabrics: []quilt.Fabric{
			{Key: "tide", Name: "Tide blues", From: quilt.Precut, Colours: []quilt.Colour{{0x1f, 0x5f, 0x7a}, {0x2f, 0x7f, 0x9a}, {0x66, 0xaa, 0xbb}}},
			{Key: "sand", Name: "Sand", From: quilt.FatQuarters, StripLength: 20.5, Colours: []quilt.Colour{{0xef, 0xe6, 0xd2}}},
		},
		ColourOrder: quilt.Bands, Stagger: true, EndTrim: 0.5, Spare: 3, SewnWidth: 4.6875, Face: geometry.FaceDown,
		Shrinkage: 3, TakeUp: 2.5,
		Borders: []quilt.Border{{Cut: 3.5, Fabric: "sand", Corners: quilt.Mitred}, {Cut: 5, Fabric: "tide"}},
	}
	want.Backing.UsableWidth, want.Backing.Extra = 108, 6
	want.Binding.Cut, want.Binding.Extra, want.Straighten = 2.25, 12, 2
	check(t, p.Spec, want)
}

// Every order of the top keys means the same, the unit last as well as first.
func TestOrderOfKeys(t *testing.T) {
	blocks := []string{"unit: cm\n", "seam: 1/4 in\n", "strips:\n- {cut: 3, fabric: b}\n- {cut: 2 in, fabric: a}\n", "columns: 8\n", "rows: 9\n", "fabrics:\n  a: {}\n  b: {from: fat-quarters}\n"}
	want := parse(t, strings.Join(blocks, "")).Spec
	if want.Seam != 0.635 || want.Strips[1].Cut != 5.08 || want.Fabrics[1].StripLength != 52 {
		t.Errorf("seam %v, cut %v, fat quarter %v", want.Seam, want.Strips[1].Cut, want.Fabrics[1].StripLength)
	}
	for turn := range blocks {
		check(t, parse(t, strings.Join(blocks[turn:], "")+strings.Join(blocks[:turn], "")).Spec, want)
	}
}

// Lengths as they are written. 1 in = 2.54 cm exactly.
func TestLengths(t *testing.T) {
	for text, want := range map[string]float64{
		"3":            3,
		"2 1/2":        2.5,
		"2-1/2 in":     2.5,
		"2½":           2.5,
		`"2½\""`:       2.5,
		`'2 1/2"'`:     2.5,
		`2 1/2"`:       2.5,
		`2 1/2" # cut`: 2.5,
		"2\t1/2":       2.5, // the YAML scanner drops tabs: 21/2
		"2\n      1/2": 2.5,
		"6.5 cm":       6.5 / 2.54,
		"65mm":         6.5 / 2.54,
		"5.08 cm":      2,
		"1' 2\"":       14,
		".75":          0.75,
		"0.75":         0.75,
	} {
		p := parse(t, swap(t, "  - {cut: 3, fabric: sand}", "  - fabric: sand\n    cut: "+text))
		if got := p.Spec.Strips[1].Cut; got != want {
			t.Errorf("cut: %s is %v, want %v", text, got, want)
		}
		if strings.Contains(text, "\\") || strings.Contains(text, "\n") || strings.Contains(text, "#") {
			continue
		}
		p = parse(t, swap(t, "cut: 3", "cut: "+text))
		if got := p.Spec.Strips[0].Cut; got != want {
			t.Errorf("{cut: %s} is %v, want %v", text, got, want)
		}
	}
}

func TestExactLimits(t *testing.T) {
	parse(t, base+"angle: 15\n")
	parse(t, base+"angle: 90\n")
	parse(t, base+"angle: 60°\n")
	parse(t, base+"spare: 1000\nusable_width: 10000\n")
	parse(t, swap(t, "columns: 8\nrows: 9\n", "columns: 80\nrows: 5000\n"))
	parse(t, base+"end_trim: 39.99\nname: "+strings.Repeat("½", 120)+"\n")
	parse(t, base+"end_trim: 40\nfabrics: {tide: {strip_length: 41}, sand: {strip_length: 41}}\n")
	parse(t, base+"sewn_width: 5 7/16\n")
	parse(t, base+"sewn_width: 5.001\n")
	parse(t, "unit: in\ncolumns: 1\nrows: 1\nstrips:\n"+strings.Repeat("  - {cut: 3, fabric: a}\n", 24))
	parse(t, base+"borders: []\n")
	parse(t, base+"backing: {}\nbinding: {}\nbatting: {}\n")
	// Quoted or not, it is the same text.
	p := parse(t, swap(t, "rows: 9", "rows: '9'")+"stagger: \"true\"\n'face': \"down\"\n")
	if p.Spec.Rows != 9 || !p.Spec.Stagger || p.Spec.Face != geometry.FaceDown {
		t.Errorf("%+v", p.Spec)
	}
}

func TestTextForms(t *testing.T) {
	want := parse(t, base).Spec
	for name, src := range map[string]string{
		"byte order mark":  "\xef\xbb\xbf" + base,
		"CRLF":             strings.ReplaceAll(base, "\n", "\r\n"),
		"CR":               strings.ReplaceAll(base, "\n", "\r"),
		"no last line end": strings.TrimSuffix(base, "\n"),
		"one document":     "---\n" + base + "...\n",
		"notes":            "# a\n\t# tab\n" + strings.ReplaceAll(base, "\n", "  # note, [with {marks\n") + "\n \t \n",
		"empty lines":      strings.Repeat("\n", 100) + base + strings.Repeat("\n", 5000),
		"tabs between":     strings.ReplaceAll(base, ": ", ":\t"),
		"in brackets":      "{unit: in, strips: [{cut: 3, fabric: tide}, {cut: 3, fabric: sand}], columns: 8, rows: 9}",
		"JSON":             `{"unit": "in", "strips": [{"cut": "3", "fabric": "tide"}, {"cut": 3, "fabric": "sand"}], "columns": 8, "rows": 9}`,
	} {
		t.Run(name, func(t *testing.T) { check(t, parse(t, src).Spec, want) })
	}
}

func TestNames(t *testing.T) {
	for path, want := range map[string]string{
		"q.yaml":                 "q",
		"quilts/Sea view.v2.yml": "Sea view.v2",
		"plain":                  "plain",
		problem.StandardInput:    "Untitled",
		".yaml":                  "Untitled",
		"..":                     "Untitled",
		"":                       "Untitled",
		"a\nb.yaml":              "Untitled",
		"caf\xe9.yaml":           "Untitled",
		strings.Repeat("x", 200): "Untitled",
	} {
		p, err := Parse(path, []byte(base))
		if err != nil || p.Spec.Name != want || p.Path != path {
			t.Errorf("%q: %v, %v", path, p, err)
		}
	}
	for text, want := range map[string]string{
		"Harbour steps":    "Harbour steps",
		"2024":             "2024",
		"010":              "010",
		"true":             "true",
		`"~"`:              "~",
		"Don't":            "Don't",
		"Tide & sand":      "Tide & sand",
		"100% cotton!":     "100% cotton!",
		`"A: B # C"`:       "A: B # C",
		"Quilt#3":          "Quilt#3",
		"Steps # my third": "Steps",
		"Möwe ½ 🌊":         "Möwe ½ 🌊",
	} {
		if got := parse(t, base+"name: "+text+"\n").Spec.Name; got != want {
			t.Errorf("name: %s is %q", text, got)
		}
	}
}

func TestWarnings(t *testing.T) {
	p := parse(t, base+"usable_width: 85/2\n", "q.yaml:7:15: usable_width: 85/2 was read as 42 1/2")
	if p.Spec.UsableWidth != 42.5 {
		t.Error(p.Spec.UsableWidth)
	}
	parse(t, base+"name: Quilt #3\n", "q.yaml:7:7: name: what follows # is taken as a comment, so this is only `Quilt`")
	parse(t, base+"fabrics:\n  tide: {}\n  gold: {name: Bars #2\n  }\n  sand: {}\n",
		"q.yaml:9:3: fabric `gold` is not used by any strip or border", "q.yaml:9:16: name: what follows #")
	parse(t, base+"fabrics: {tide: {}, sand: {}, gold: {}}\nborders: [{cut: 3, fabric: gold}]\n")
}

// Without fabrics each fabric that is named gets a colour of its own, as long
// as there are enough.
func TestNeutralColours(t *testing.T) {
	var src strings.Builder
	src.WriteString("unit: in\ncolumns: 1\nrows: 1\nstrips:\n")
	for i := range len(neutrals) {
		fmt.Fprintf(&src, "  - {cut: 3, fabric: f%d}\n  - {cut: 3, fabric: f0}\n", i)
	}
	p := parse(t, src.String()+"borders: [{cut: 3, fabric: edge}]\n")
	seen := map[quilt.Colour]string{}
	for i, f := range p.Spec.Fabrics {
		if i < len(neutrals) && seen[f.Colours[0]] != "" {
			t.Errorf("%s and %s have the same colour", f.Key, seen[f.Colours[0]])
		}
		seen[f.Colours[0]] = f.Key
	}
	if n := len(p.Spec.Fabrics); n != len(neutrals)+1 || p.Spec.Fabrics[n-1].Key != "edge" {
		t.Errorf("%+v", p.Spec.Fabrics)
	}
	// Beside each other, light and dark: apart by a fifth of the range.
	for i := range neutrals {
		a, b := neutrals[i], neutrals[(i+1)%len(neutrals)]
		if math.Abs(float64(a[1])-float64(b[1])) < 51 {
			t.Errorf("%v and %v are too much alike", a, b)
		}
	}
}

func TestAt(t *testing.T) {
	p := parse(t, "# note\n"+base+`fabrics:
  tide: {colors: ["#fff", "#000"]}
  sand:
    name: Sand
    colors: "#fff"
backing: {extra: 3}
borders:
  - cut: 3
    fabric: sand
`)
	for field, want := range map[string]string{
		"unit":                   "2:7",
		"strips":                 "4:3",
		"strips[0]":              "4:5",
		"strips[1].cut":          "5:11",
		"strips[1].fabric":       "5:22",
		"strips[1].colour":       "5:5",
		"strips[7].cut":          "4:3",
		"columns":                "6:10",
		"angle":                  "2:1", // not given
		"finish.width":           "2:1",
		"":                       "2:1",
		"fabrics.tide":           "9:9",
		"fabrics.tide.colors[1]": "9:27",
		"fabrics.sand.name":      "11:11",
		"fabrics.sand.colors[0]": "12:13",
		"fabrics.sand.from":      "11:5",
		"backing.extra":          "13:18",
		"backing.usable_width":   "13:10",
		"borders[0].fabric":      "16:13",
		"borders[0].corners":     "15:5",
	} {
		if got := p.At(field, "m", "h").String(); got != "q.yaml:"+want+": m; h" {
			t.Errorf("%s is at %s, want %s", field, got, want)
		}
	}
	p = parse(t, swap(t, "columns: 8\nrows: 9\n", "finish: {width: 40, height: 50}\n"))
	if got := p.At("finish.height", "m", "").String(); got != "q.yaml:5:29: m" {
		t.Error(got)
	}
}

// At 60 degrees a base line is also a crosscut of the other lean, and an edge
// triangle has three equal sides; at other angles neither holds.
func TestOnlyAtSixtyDegrees(t *testing.T) {
	const base = "unit: in\nstrips: [{cut: 3, fabric: a}]\ncolumns: 2\nrows: 2\n"
	s := parse(t, base+"mix_leans: true\nedge_grain: straight\n").Spec
	if !s.MixLeans || s.EdgeGrain != quilt.Straight {
		t.Errorf("mix_leans %v, edge_grain %v", s.MixLeans, s.EdgeGrain)
	}
	checkProblems(t, base+"angle: 59\nmix_leans: true\n", "6:12: at 59 degrees the leans share no cut")
	checkProblems(t, base+"angle: 59\nedge_grain: straight\n", "6:13: at 59 degrees an edge triangle can't be turned")
	checkProblems(t, base+"take_up: 26\n", "5:10: is not a percentage of 0 to 25")
	checkProblems(t, base+"shrinkage: -1\n", "5:12: is not a percentage of 0 to 25")
}

func TestNamesOfColours(t *testing.T) {
	s := parse(t, base+"fabrics:\n  tide: {colors: [{name: \" harbour \", color: \"#17506b\"}, cyan, DarkSlateGray, {color: Teal}, \"#2f4f50\"]}\n  sand: {}\n").Spec
	want := []string{"harbour", "cyan", "dark slate gray", "teal", "dark slate gray 2"}
	if got := s.ColourList("tide"); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
