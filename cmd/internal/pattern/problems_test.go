// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lozenge/cmd/internal/problem"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// base is a valid pattern of six lines; what a test adds begins on line 7.
const base = `unit: in
strips:
  - {cut: 3, fabric: tide}
  - {cut: 3, fabric: sand}
columns: 8
rows: 9
`

// swap is base with one text in place of another.
func swap(t *testing.T, old, new string) string {
	t.Helper()
	if strings.Count(base, old) == 0 {
		t.Fatalf("%q is not in base", old)
	}
	return strings.Replace(base, old, new, 1)
}

// problemsOf parses src, which must fail, and checks the shape of the error.
func problemsOf(t *testing.T, src string) Problems {
	t.Helper()
	p, err := Parse("q.yaml", []byte(src))
	if err == nil || p != nil {
		t.Fatalf("accepted:\n%s", src)
	}
	var ps Problems
	if !errors.As(err, &ps) || len(ps) == 0 {
		t.Fatalf("the error is %T", err)
	}
	if got, want := strings.Count(err.Error(), "\n")+1, len(ps); got != want {
		t.Errorf("%d lines for %d problems:\n%v", got, want, err)
	}
	return ps
}

// checkProblems compares the problems with lines of the form
// "line:column: fragment", all of them in order.
func checkProblems(t *testing.T, src string, want ...string) {
	t.Helper()
	ps := problemsOf(t, src)
	ok := len(ps) == len(want)
	for i := 0; ok && i < len(ps); i++ {
		place, fragment, _ := strings.Cut(want[i], ": ")
		text := ps[i].String()
		ok = strings.HasPrefix(text, "q.yaml:"+place+": ") && strings.Contains(text, fragment)
	}
	checkPlaces(t, src, ps)
	if !ok {
		t.Errorf("problems:\n%v\nwant:\n%s\nin:\n%s", ps, strings.Join(want, "\n"), src)
	}
}

// aboutKey finds the key that the words of a problem begin with.
var aboutKey = regexp.MustCompile("^`?([a-z_]+)`?(: | is missing| is given| is not|$)")

// checkPlaces checks that the place of each problem, where the page that tries patterns
// out tells it, is a field of the key that its words name, and lies in its line unless
// it is missing there.
func checkPlaces(t *testing.T, src string, ps Problems) {
	t.Helper()
	for _, p := range ps {
		place := PlaceOf(src, p)
		if place == "" {
			if s := surveyed(src); s != nil && s.kind == group && p.Line > 0 && !strings.Contains(p.Message, "empty") {
				t.Errorf("%v is about no field of\n%s", p, src)
			}
			continue
		}
		keys := steps(place)
		if m := aboutKey.FindStringSubmatch(p.Message); m != nil && wholePart.has(m[1]) && !slices.Contains(keys, m[1]) && !slices.Contains(steps(strings.ReplaceAll(place, "[", ".[")), m[1]) {
			t.Errorf("%v is told at %s", p, place)
		}
		if p.Field == "" && !strings.HasPrefix(keys[len(keys)-1], "[") {
			lines := strings.Split(problem.Lines(src), "\n")
			if said := strings.Join(lines[:p.Line], "\n"); !strings.Contains(said, keys[len(keys)-1]) {
				t.Errorf("%v is told at %s, which stands below", p, place)
			}
		}
	}
}

func TestBadKeys(t *testing.T) {
	for _, c := range []struct {
		extra string
		want  []string
	}{
		{"colums: 8\n", []string{"7:1: unknown key `colums` in the pattern itself; is `columns` meant?"}},
		{"usable-width: 40\n", []string{"7:1: is `usable_width` meant?"}},
		{"Angle: 60\n", []string{"7:1: is `angle` meant?"}},
		{"nagle: 60\n", []string{"7:1: is `angle` meant?"}},
		{"colour_order: bands\n", []string{"7:1: is `color_order` meant?"}},
		{"strip_length: 21\n", []string{"7:1: it belongs in a fabric"}},
		{"cut: 21\n", []string{"7:1: it belongs in a strip, a border or binding"}},
		{"quilter: me\n", []string{"7:1: unknown key `quilter` in the pattern itself; take it out"}},
		{"borders:\n  - {cut: 3, fabric: sand, corner: mitred}\n", []string{"8:28: unknown key `corner` in a border; is `corners` meant?"}},
		{"fabrics:\n  tide: {colours: \"#fff\"}\n  sand: {yards: 3}\n", []string{"8:10: is `colors` meant?", "9:10: the keys of a fabric are name, from, strip_length and colors"}},
		{"backing: {cut: 3}\n", []string{"7:11: unknown key `cut` in backing; the keys of backing are usable_width and extra"}},
		{"binding: {width: 3}\n", []string{"7:11: unknown key `width` in binding"}},
		{"batting: {usable_width: 3}\n", []string{"7:11: unknown key `usable_width` in batting; it belongs in the pattern itself or backing"}},
		// All of them are reported, not only the first.
		{"angel: 60\nseem: 1/4\n", []string{"7:1: `angle`", "8:1: `seam`"}},
		{"angle: 60\nangle: 45\n", []string{"8:1: `angle` is given twice, first on line 7"}},
		{"unit: cm\nunit: in\n", []string{"7:1: `unit` is given twice, first on line 1", "8:1: `unit` is given twice"}},
		{"fabrics:\n  tide: {}\n  sand: {}\n  tide: {}\n", []string{"10:3: `tide` is given twice, first on line 8"}},
		{"borders:\n  - {cut: 3, fabric: tide, cut: 4}\n", []string{"8:28: `cut` is given twice, first on line 8"}},
		{"\"angle\": 60\n'angle': 60\n", []string{"8:1: given twice, first on line 7"}},
	} {
		checkProblems(t, base+c.extra, c.want...)
	}
	checkProblems(t, swap(t, "cut: 3", "width: 3"), "3:5: cut is missing", "3:6: unknown key `width` in a strip; the keys of a strip are cut and fabric")
	// A decimal comma falls apart inside brackets.
	checkProblems(t, swap(t, "cut: 3", "cut: 6,5"), "3:13: for a decimal write 6.5")
}

func TestMissing(t *testing.T) {
	checkProblems(t, swap(t, "unit: in\n", ""), "1:1: unit is missing; add a line `unit: in` or `unit: cm`")
	checkProblems(t, swap(t, "columns: 8\nrows: 9\n", ""), "1:1: the size of the quilt is missing")
	checkProblems(t, swap(t, "rows: 9\n", ""), "5:10: columns is given without rows")
	checkProblems(t, swap(t, "columns: 8\n", ""), "5:7: rows is given without columns")
	checkProblems(t, swap(t, "cut: 3, ", ""), "3:5: cut is missing")
	checkProblems(t, swap(t, ", fabric: sand", ""), "4:5: fabric is missing")
	checkProblems(t, "unit: in\ncolumns: 8\nrows: 9\n", "1:1: strips is missing")
	checkProblems(t, "# nothing yet\n\nangle: 60\n", "3:1: unit is missing", "3:1: the size of the quilt is missing", "3:1: strips is missing")
	checkProblems(t, base+"borders: [{}]\n", "7:11: cut is missing", "7:11: fabric is missing")
	checkProblems(t, swap(t, "columns: 8\nrows: 9\n", "finish: {width: 40}\n"), "5:9: height is missing")
	checkProblems(t, swap(t, "columns: 8\nrows: 9\n", "finish: {}\n"), "5:9: width is missing", "5:9: height is missing")
	for _, key := range wholePart.keys {
		src := base
		for _, line := range []string{"unit: in\n", "columns: 8\n", "rows: 9\n"} {
			if strings.HasPrefix(line, key+":") {
				src = strings.Replace(base, line, "", 1)
			}
		}
		if key == "strips" {
			src = "unit: in\ncolumns: 8\nrows: 9\n"
		}
		for _, null := range []string{"", " ~", " null", " # later", " Null"} {
			ps := problemsOf(t, src+key+":"+null+"\n")
			want := fmt.Sprintf("q.yaml:%d:", strings.Count(src, "\n")+1)
			if !slices.ContainsFunc(ps, func(p Problem) bool {
				return strings.HasPrefix(p.String(), want) && strings.Contains(p.Message, key+" has no value")
			}) {
				t.Errorf("%s:%s gives %v", key, null, ps)
			}
		}
	}
	checkProblems(t, base+"fabrics:\n  tide:\n  sand: {}\n", "8:3: but nothing is given; write {} for a fabric")
	checkProblems(t, base+"fabrics:\n  tide: {name:, from: }\n  sand: {}\n", "8:10: name has no value", "8:17: from has no value")
	checkProblems(t, "", "1:1: the pattern is empty")
	checkProblems(t, "# only notes\n", "1:1: the pattern is empty")
	checkProblems(t, "---\n", "1:1: the pattern is empty")
}

func TestWrongShape(t *testing.T) {
	checkProblems(t, "- unit: in\n", "1:1: is wanted here, not a list")
	checkProblems(t, "unit in\n", "1:1: is wanted here, not a single value; write one `key: value`")
	checkProblems(t, base+"angle: [60]\n", "7:8: angle: a number of degrees is wanted here, not a list")
	checkProblems(t, base+"seam: {in: 1/4}\n", "7:7: seam: a length is wanted here, not a group of keys")
	checkProblems(t, base+"spare: []\n", "7:8: spare: a whole number is wanted here, not a list")
	checkProblems(t, base+"tips: []\n", "7:7: tips: matched or sharp is wanted here, not a list")
	checkProblems(t, base+"stagger: {}\n", "7:10: stagger: true or false is wanted here")
	checkProblems(t, base+"name: []\n", "7:7: name: a text is wanted here")
	checkProblems(t, base+"fabrics: [tide, sand]\n", "7:10: a group of fabrics is wanted here, not a list; write each fabric on a line")
	checkProblems(t, base+"fabrics: {tide: blue, sand: {}}\n", "7:17: a group of keys for the fabric is wanted here, not a single value")
	checkProblems(t, base+"borders: 3\n", "7:10: borders: a list is wanted here, not a single value")
	checkProblems(t, base+"borders: [3, {cut: 3, fabric: sand}]\n", "7:11: a border is wanted here, not a single value")
	checkProblems(t, base+"backing: 4\n", "7:10: a group is wanted here, not a single value; write `backing: {usable_width: 42, extra: 4}`")
	checkProblems(t, base+"binding: 4\n", "7:10: write `binding: {cut: 2 1/2, extra: 10, joins: diagonal}`")
	checkProblems(t, swap(t, "columns: 8\nrows: 9\n", "finish: 40 x 50\n"), "5:9: a size is wanted here")
	checkProblems(t, "unit: in\ncolumns: 8\nrows: 9\nstrips: 3\n", "4:9: strips: a list is wanted here")
	checkProblems(t, "unit: in\ncolumns: 8\nrows: 9\nstrips: []\n", "4:9: strips: a strip set has 1 to 24 strips, not 0")
	checkProblems(t, "unit: in\ncolumns: 8\nrows: 9\nstrips: [3, 3]\n", "4:10: a strip is wanted here", "4:13: a strip is wanted here")
	checkProblems(t, "unit: in\ncolumns: 8\nrows: 9\nstrips:\n"+strings.Repeat("  - {cut: 3, fabric: a}\n", 25), "5:3: 1 to 24 strips, not 25")
	checkProblems(t, swap(t, "fabric: tide", "fabric: [tide]"), "3:22: fabric: the name of a fabric is wanted here, not a list")
}

// What YAML itself makes of these: octal, hexadecimal, a date, 70 (in base
// 60), not a number, false (goccy/go-yaml#894, go-yaml/yaml#157,
// yaml/pyyaml#395). Lengths after C47 to C50 of the length reader's cases.
func TestBadLengths(t *testing.T) {
	for text, want := range map[string]string{
		"010":         "has a number that begins with a 0, which can be read in two ways; write 10",
		"08":          "write 8",
		"1 08/16":     "begins with a 0",
		"0o10":        "is not a length",
		"0x1F":        "it is not in base ten",
		"1_000":       "underscore",
		"1e3":         "exponent",
		".nan":        "is not a length",
		".inf":        "is not a length",
		"-.inf":       "is not a length",
		"NaN":         "is not a length",
		"6,5":         "decimals are written with a point, not a comma; write 6.5",
		"2024-01-02":  "is a date",
		"2024-11-12":  "is not a length",
		"1:30":        "colon",
		"no":          "it does not begin with a number",
		"true":        "is not a length",
		"2 3":         "two numbers",
		"1/0":         "over zero",
		"2 - 1/2":     "mixed number or a difference",
		"2 1/2 1/4":   "is not a length",
		"1.5 1/2":     "is not a length",
		"3 cubits":    "is not a unit of length known here",
		"0":           "is not more than 0",
		"0.0 in":      "is not more than 0",
		"-3":          "is less than 0",
		`-2 1/2"`:     "is less than 0",
		"10000.5":     "is more than 10000 in",
		"300 m":       "is more than 10000 in",
		`""`:          "is not a length: it is empty",
		`"~"`:         "is not a length",
		`"3" # "`:     "", // valid: the case below must not match by luck
		"'2 1/2 \"x'": "is not a length",
		"1e400":       "exponent",
		"9999999999999999999999999999999999999999999999999999999999999999999999": "longer than 64 characters",
	} {
		if want == "" {
			if _, err := Parse("q.yaml", []byte(base+"seam: "+text+"\n")); err == nil {
				t.Errorf("seam: %s leaves nothing of strips of 3 and is accepted", text)
			}
			continue
		}
		for _, key := range []string{"seam", "usable_width", "sewn_width"} {
			checkProblems(t, base+key+": "+text+"\n", fmt.Sprintf("7:%d: %s", len(key)+3, want))
		}
		if !strings.Contains(text, ",") {
			checkProblems(t, swap(t, "cut: 3", "cut: "+text), "3:11: "+want)
		}
	}
	checkProblems(t, base+"end_trim: -1/2\n", "7:11: end_trim: `-1/2` is less than 0")
	checkProblems(t, base+"backing: {extra: -4}\nbinding: {cut: 0, extra: -1}\nbatting: {extra: x}\n",
		"7:18: extra: `-4` is less than 0", "8:16: cut: `0` is not more than 0", "8:26: is less than 0", "9:18: does not begin with a number")
	checkProblems(t, swap(t, "columns: 8\nrows: 9\n", "finish: {width: 0, height: 1e2}\n"), "5:17: is not more than 0", "5:28: exponent")
	checkProblems(t, swap(t, "cut: 3, fabric", "cut: 3 fabric"), "3:5: fabric is missing", "3:11: put a comma between the keys of a group")
	// The unit is unknown, and still each length is read.
	checkProblems(t, swap(t, "unit: in", "unit: yards")+"seam: 0x1\n", "1:7: unit: `yards` is not in or cm", "7:7: base ten")
}

func TestBadCounts(t *testing.T) {
	for text, want := range map[string]string{
		"3.7":                     "is not a whole number; write plain digits, 1 to 5000",
		"3e0":                     "is not a whole number",
		`"0x3"`:                   "is not a whole number",
		"0x3":                     "is not a whole number",
		"-1":                      "is not a whole number",
		"+1":                      "is not a whole number",
		"1_0":                     "is not a whole number",
		"nine":                    "is not a whole number",
		"٣":                       "is not a whole number",
		"010":                     "begins with a 0, which can be read in two ways; write 10",
		"0":                       "is not within 1 to 5000",
		"5001":                    "is not within 1 to 5000",
		"99999999999999999999999": "is not within 1 to 5000",
	} {
		checkProblems(t, swap(t, "rows: 9", "rows: "+text), "6:7: "+want)
		checkProblems(t, swap(t, "columns: 8", "columns: "+text), "5:10: "+want)
	}
	checkProblems(t, base+"spare: 1001\n", "7:8: spare: `1001` is not within 0 to 1000")
	checkProblems(t, base+"spare: 00\n", "7:8: write 0")
	checkProblems(t, base+"finish: {width: 40, height: 50}\n", "7:9: the size is given twice, by finish and by columns and rows")
	checkProblems(t, swap(t, "rows: 9\n", "finish: {width: 40, height: 50}\n"), "6:9: the size is given twice")
}

func TestBadWords(t *testing.T) {
	checkProblems(t, swap(t, "unit: in", "unit: inches"), "1:7: unit: `inches` is not in or cm; is `in` meant?")
	checkProblems(t, swap(t, "unit: in", "unit: IN"), "1:7: is `in` meant?")
	checkProblems(t, swap(t, "unit: in", "unit: centimeters"), "1:7: is `cm` meant?")
	checkProblems(t, swap(t, "unit: in", "unit: mm"), "1:7: write in or cm")
	checkProblems(t, base+"tips: blunt\n", "7:7: tips: `blunt` is not matched or sharp; write matched or sharp")
	checkProblems(t, base+"tips: shap\n", "7:7: is `sharp` meant?")
	checkProblems(t, base+"setting: zig-zag\n", "7:10: setting: `zig-zag` is not zigzag, chevron or one-way; is `zigzag` meant?")
	checkProblems(t, base+"setting: one way\n", "7:10: is `one-way` meant?")
	checkProblems(t, base+"color_order: scatered\n", "7:14: color_order: `scatered` is not gradient, scattered or bands; is `scattered` meant?")
	checkProblems(t, base+"face: right\n", "7:7: face: `right` is not up or down")
	checkProblems(t, base+"borders: [{cut: 3, fabric: tide, corners: mitered}]\n", "7:43: corners: `mitered` is not butted or mitred; is `mitred` meant?")
	checkProblems(t, base+"fabrics: {tide: {from: fat quarters}, sand: {from: shop}}\n", "7:24: is `fat-quarters` meant?", "7:52: write yardage, fat-quarters or strips")
	// YAML 1.1 took these for true and false.
	checkProblems(t, base+"stagger: yes\n", "7:10: stagger: `yes` is neither true nor false; write true")
	checkProblems(t, base+"stagger: True\n", "7:10: write true")
	checkProblems(t, base+"mix_leans: off\n", "7:12: mix_leans: `off` is neither true nor false; write false")
	checkProblems(t, base+"mix_leans: 1\n", "7:12: write true or false")
}

func TestBadAngles(t *testing.T) {
	for text, want := range map[string]string{
		"14.999": "is not within 15 to 90 degrees",
		"90.1":   "is not within 15 to 90 degrees",
		"0":      "is not within 15 to 90 degrees",
		"-60":    "is not a number of degrees",
		"6e1":    "is not a number of degrees",
		".nan":   "is not a number of degrees",
		"060":    "is not a number of degrees",
		"22 1/2": "is not a number of degrees; write degrees, 15 to 90, such as 60 or 22.5",
		"60,0":   "is not a number of degrees",
		"steep":  "is not a number of degrees",
	} {
		checkProblems(t, base+"angle: "+text+"\n", "7:8: angle: `"+text+"` "+want)
	}
}

func TestBadTexts(t *testing.T) {
	checkProblems(t, base+"name: \"\"\n", "7:7: is empty")
	checkProblems(t, base+"name: "+strings.Repeat("x", 121)+"\n", "7:7: has 121 characters, more than 120")
	checkProblems(t, base+"designer: "+strings.Repeat("x", 121)+"\n", "7:11: has 121 characters, more than 120")
	checkProblems(t, base+"note: "+strings.Repeat("x", 601)+"\n", "7:7: has 601 characters, more than 600")
	checkProblems(t, base+"note: \"a\\nb\"\n", `7:7: "a\nb" has a line break`)
	checkProblems(t, base+"name: \"a\\nb\"\n", `7:7: "a\nb" has a line break`)
	checkProblems(t, base+"name: \"a\\x07b\"\n", "7:7: invisible character (U+0007)")
	// What turns the direction of writing: it would show other words than stand
	// there. Joiners belong to how some words and pictograms are written.
	for _, r := range "\u061c\u200e\u200f\u202a\u202d\u202e\u2066\u2069\u00ad\u200b\ufeff" {
		want := fmt.Sprintf("invisible character (%U)", r)
		checkProblems(t, base+"name: a"+string(r)+"b\n", "7:7: name: \"a"+fmt.Sprintf("\\u%04x", r)+"b\" has an "+want)
		checkProblems(t, base+"fabrics: {tide: {name: a"+string(r)+"b}, sand: {colors: {name: "+string(r)+"c, color: teal}}}\n", "7:24: "+want, "7:52: "+want)
	}
	for _, name := range []string{"نامه\u200cای", "👩\u200d🌾", "e\u0301"} {
		if p := parse(t, base+"name: "+name+"\n"); p.Spec.Name != name {
			t.Errorf("%q became %q", name, p.Spec.Name)
		}
	}
	checkProblems(t, base+"fabrics: {tide: {name: ' '}, sand: {}}\n", "7:24: is empty")
}

func TestBadFabrics(t *testing.T) {
	all := base + "fabrics:\n  tide: {colors: %s}\n  sand: {}\n"
	for colours, want := range map[string]string{
		"bluish-kind-of":      "8:18: colors: `bluish-kind-of` is not a colour; write \"#1f5f7a\"",
		"tael":                "8:18: colors: `tael` is not a colour; is `teal` meant?",
		"dark slate grayy":    "8:18: is `darkslategray` meant?",
		`{name: a, color: x}`: "8:35: colors: `x` is not a colour",
		`{name: harbour}`:     "8:18: color is missing",
		`[{name: a, color: teal}, {name: a, color: tan}]`:             "8:43: colors: `a` names two colours",
		`[{name: harbour, color: teal}, {name: Harbour, color: tan}]`: "8:49: colors: `Harbour` names two colours; give each a name of its own, not told apart by capitals alone",
		`[teal, {name: Teal, color: tan}]`:                            "8:25: colors: `Teal` names two colours",
		`"#12345"`:                                                    "8:18: is not a colour",
		`"#1f5f7g"`:                                                   "8:18: is not a colour",
		`"#1f5f7aff"`:                                                 "8:18: is not a colour",
		`"#+ff"`:                                                      "8:18: is not a colour",
		"1f5f7a":                                                      "8:18: has no # in front; write \"#1f5f7a\"",
		"123456":                                                      "8:18: has no # in front; write \"#123456\"",
		`["#fff", "#ff"]`:                                             "8:27: colors: `#ff` is not a colour",
		"[]":                                                          "8:18: the list is empty",
		`["#fff", ["#fff"]]`:                                          "8:27: a colour is wanted here, not a list",
		`{first: "#fff", color: teal}`:                                "8:19: unknown key `first`",
		`["#fff", ~]`:                                                 "8:27: a colour is wanted here, but nothing is given",
	} {
		checkProblems(t, fmt.Sprintf(all, colours), want)
	}
	// An unquoted # begins a comment, which leaves the list open or the key
	// without a value.
	checkProblems(t, fmt.Sprintf(all, "[#1f5f7a, #333]"), "8:19: an unquoted # begins a comment; put the colour in quotation marks: \"#1f5f7a\"")
	checkProblems(t, base+"fabrics:\n  tide:\n    colors: #1f5f7a\n  sand: {}\n", "9:5: colors has no value; put colours in quotation marks")
	checkProblems(t, base+"fabrics: {tide: {}, sad: {}}\n", "4:22: fabric `sand` is not in fabrics; is `sad` meant?")
	checkProblems(t, base+"fabrics: {tide: {}}\nborders: [{cut: 3, fabric: Tide}]\n", "4:22: add it to fabrics: `sand: {}`", "8:28: is `tide` meant?")
	checkProblems(t, base+"fabrics: {}\n", "3:22: fabric `tide` is not in fabrics", "4:22: fabric `sand`")
	checkProblems(t, swap(t, "fabric: tide", "fabric: sea blue"), "3:22: `sea blue` can't name a fabric here; use letters a to z")
	checkProblems(t, base+"fabrics: {tide: {}, sand: {}, sea.blue: {}}\n", "7:31: `sea.blue` can't name a fabric here")
	checkProblems(t, base+"fabrics: {tide: {strip_length: 0}, sand: {strip_length: 1e3}}\n", "7:32: is not more than 0", "7:57: exponent")
}

func TestBadSizes(t *testing.T) {
	checkProblems(t, base+"seam: 1 1/2\n", "3:11: cut: `3` leaves nothing between two seam allowances of `1 1/2`", "4:11: leaves nothing")
	checkProblems(t, swap(t, "cut: 3", `cut: '1/2"'`), "3:11: cut: `1/2\"` leaves nothing between two seam allowances of `1/4 in`")
	checkProblems(t, base+"borders: [{cut: 12 mm, fabric: tide}]\n", "7:17: cut: `12 mm` leaves nothing")
	// The strip set is 5 1/2 in when every seam is exact.
	checkProblems(t, base+"sewn_width: 6\n", "7:13: sewn_width: `6` can't be the width of this strip set, which is 5 1/2 in when every seam is exact")
	checkProblems(t, base+"sewn_width: 4.99\n", "7:13: can't be the width")
	checkProblems(t, base+"sewn_width: 0.5\n", "7:13: can't be the width")
	checkProblems(t, swap(t, "  - {cut: 3, fabric: sand}\n", "")+"sewn_width: 3\n", "6:13: a single strip has no seam")
	checkProblems(t, base+"end_trim: 40\n", "7:11: end_trim: `40` leaves nothing of strips 40 in long")
	checkProblems(t, base+"end_trim: 21\nfabrics: {tide: {}, sand: {from: fat-quarters}}\n", "7:11: strips 20 1/2 in long")
	checkProblems(t, base+"end_trim: 1 m\nfabrics: {tide: {strip_length: 41}, sand: {strip_length: 39 in}}\n", "7:11: `1 m` leaves nothing of strips 39 in long")
}

func TestNotYAML(t *testing.T) {
	for _, c := range [][2]string{
		// Said again by every reader of YAML: the inch mark ends the text.
		{`seam: "1/4""`, "7:7: the inch mark ends the quoted text; put it in single quotes: '1/4\"'"},
		{"seam: \"½\"\"\nname: \"A\"", "7:7: put it in single quotes: '½\"'"},
		{`borders: [{cut: "2 1/2"", fabric: tide}, {cut: "2"", fabric: tide}]`, "7:17: put it in single quotes: '2 1/2\"'"},
		{"usable_width: '3''\n", "7:15: put it in double quotes: \"3'\""},
		{`name: "half`, `7:7: the quoted text that begins here has no closing "`},
		{`name: 'half`, `7:7: the quoted text that begins here has no closing '`},
		{`name: A: B`, "7:7: a second colon"},
		{"name: A\n  b: c", "8:3: this line goes on"},
		{"backing: {extra: 4}\n  angle: 60", "8:3: this does not belong here"},
		{"angle:60", "7:1: there is no space after the colon; write `angle: `"},
		{"angle\u00a0: 60", "7:1: unknown key \"angle\\u00a0\" in the pattern itself; is `angle` meant?"},
		{"angle:\u00a060", "7:1: there is no space after the colon"},
		{"backing:\n \u00a0extra: 4", "8:2: the line is indented with a blank (U+00A0) that is not a plain space"},
		{"angle 60", "7:1: this does not belong here"},
		{" angle: 60", "7:2: this line goes on with the value above it"},
		{"borders: [{cut: 3, fabric: tide}", "7:10: the list that begins here has no closing ]"},
		{"backing: {extra: 4", "7:10: the group that begins here has no closing }"},
		{`fabrics: {tide: {colors: ["#fff" "#000"]}}`, "7:34: a comma or ] is missing before this"},
		{`backing: {extra: "4" usable_width: 3}`, "7:22: a comma or } is missing before this"},
		{"borders: ]", "7:10: a closing bracket without an opening one"},
		{"borders: [, ]", "7:11: a comma with nothing in front of it"},
		{"borders: - {cut: 3, fabric: tide}", "7:10: a list can't begin on the line of its key"},
		{"name: @home", "7:7: a value can't begin with '@'; put the text in quotation marks"},
		{"name: `home`", "7:7: put the text in quotation marks"},
		{`name: "C:\quilts"`, `7:11: a \ in double quotes begins a code that is not known`},
		{": 3", "7:1: this line goes on with the value above it"},
		{"[angle]: 3", "7:8: there is no key before the colon"},
		// A comma behind the last bracket, as in other notations.
		{"note: |3 words", "7:7: a value can't begin with | or >; put the text in quotation marks"},
		{"backing: {extra: !}", "7:19: a value can't begin with !"},
		{"backing: {extra: 4},", "7:20: the line ends with a comma; take it out"},
		{"backing: {extra: 4}, # x", "7:20: the line ends with a comma"},
		{"borders: [{cut: 3, fabric: tide}],", "7:34: the line ends with a comma"},
		{"fabrics:\n  tide: {name: A},\n  sand: {}", "8:18: the line ends with a comma"},
		{`name: "B",`, "7:10: the line ends with a comma"},
		{"angle: 60,", "7:8: angle: `60,` ends with a comma; take the comma out"},
		// Marks of lists as word processors and other notations have them.
		{"borders:\n  – {cut: 3, fabric: tide}", "8:3: an en dash (U+2013) stands where the list wants a hyphen; type a plain hyphen and a space: `- `"},
		{"borders: # none\n\n  # yet\n  — {cut: 3, fabric: tide}", "10:3: an em dash (U+2014)"},
		{"borders:\n  - {cut: 3, fabric: tide}\n  − {cut: 3, fabric: tide}", "9:3: a minus sign (U+2212)"},
		{"borders:\n• {cut: 3, fabric: tide}", "8:1: a bullet (U+2022)"},
		{"borders:\n* {cut: 3, fabric: tide}", "8:1: an asterisk (U+002A)"},
		{"borders:\n  ‑ {cut: 3, fabric: tide}", "8:3: a dash of another kind (U+2011)"},
		{"borders:\n  -{cut: 3, fabric: tide}", "8:3: there is no space after the -"},
		{"borders:\n  - (cut: 3, fabric: tide)", "8:5: a ( stands where a group begins; put the keys of a group in braces"},
		{"angle = 60", "7:1: there is no colon after the key; write `angle: ` with a plain colon"},
		{"angle： 60", "7:1: there is no colon after the key; write `angle: `"},
		{"backing:\n\textra: 4", "8:1: the line is indented with a tab; use spaces instead"},
		{"backing:\n  \textra: 4", "8:3: the line is indented with a tab"},
	} {
		checkProblems(t, base+c[0]+"\n", c[1])
	}
}

func TestRefusedYAML(t *testing.T) {
	for _, c := range [][2]string{
		// The library reads the first as cut: 3 and puts what follows the
		// second into the list; other readers of YAML don't.
		{"backing: {extra:3}", "7:16: there is no space after the colon"},
		{"borders:\n-\nangle: 60", "8:1: nothing follows this -; write the entry behind it, or take the line out"},
		{"name: # later\nangle 45", "8:1: this line is neither a key nor set in under the key above it"},
		{"borders:\n  - # later\n", "8:3: nothing follows this -"},
		{"name: *wow", "7:7: * at the beginning of a value is an alias"},
		{"name: &wow x", "7:7: & at the beginning of a value is an anchor"},
		{"name: !wow x", "7:7: ! at the beginning of a value is a tag"},
		{"name: !wow", "7:7: is a tag"},
		{"spare: !!int 3", "7:8: is a tag"},
		{"<<: {spare: 3}", "7:1: << merges keys"},
		{"name: |\n  text", "7:7: | begins a block of text"},
		{"name: >-\n  text", "7:7: > begins a block of text"},
		{"? name\n: x", "7:1: ? begins a long key"},
		{"name: %x", "7:7: % at the beginning is a directive"},
		{"---\nangle: 60", "7:1: a second document begins here"},
		{"...\nangle: 60", "8:1: text after ..., which ends the pattern"},
	} {
		checkProblems(t, base+c[0]+"\n", c[1])
	}
	// Each of a list's marks is told.
	checkProblems(t, strings.ReplaceAll(base, "  - ", "  – "), "3:3: an en dash", "4:3: an en dash")
	parse(t, base+"name: A – B\nnote: begin here\n  – and go on\n")
	checkProblems(t, "%YAML 1.2\n---\n"+base, "1:1: directive")
	// All of them.
	checkProblems(t, base+"name: &a x\nface: *a\n", "7:7: anchor", "8:7: alias")
}

// Only so many problems are printed, and the last line says how many there
// are more.
func TestManyProblems(t *testing.T) {
	var src strings.Builder
	src.WriteString(base)
	for i := range 300 {
		fmt.Fprintf(&src, "q%d: 1\n", i)
	}
	ps := problemsOf(t, src.String())
	if len(ps) != problem.Most+1 || ps[problem.Most].String() != "q.yaml: and 280 more; put these right first" {
		t.Errorf("%d problems, the last %v", len(ps), ps[len(ps)-1])
	}
}

// Below a problem stand its line with a caret and a right line of the same
// key, in the pattern's unit.
func TestDetail(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{swap(t, "cut: 3, fabric: sand", "cut: 6,5, fabric: sand"), "for a decimal write 6.5\n  4 |   - {cut: 6,5, fabric: sand}\n    |             ^\n  like this: - {cut: 2 1/2, fabric: bark}\n"},
		{base + "colums: 8\n", "is `columns` meant?\n  7 | colums: 8\n    | ^\n  like this: columns: 9\n"},
		{strings.Replace(base, ": in", ": cm", 1) + "binding: {cut: x}\n", "\n  7 | binding: {cut: x}\n    |                ^\n  like this: binding: {cut: 6.5, extra: 25, joins: diagonal}\n"},
		{"\ufeff" + strings.ReplaceAll(base, "\n", "\r\n") + "seam:\t1/0\r\n", "\n  7 | seam: 1/0\n    |       ^\n  like this: seam: 1/4\n"},
		// The hint has the line already; what is no key has none.
		{base + "backing: 4\n", "write `backing: {usable_width: 42, extra: 4}`\n  7 | backing: 4\n    |          ^\n"},
		{base + "zzz: 4\n", "as a comment\n  7 | zzz: 4\n    | ^\n"},
		// What is missing stands nowhere, and its hint says how it is written.
		{swap(t, "unit: in\n", ""), "`unit: in` or `unit: cm`\n  1 | strips:\n    | ^\n"},
	} {
		if got := problemsOf(t, c.src).Detail(); !strings.HasSuffix(got, c.want) {
			t.Errorf("%s\nwant\n%s", got, c.want)
		}
	}
	// What can be read but not planned with has its line too.
	p := parse(t, base)
	if got := (Problems{p.At("strips[1].cut", "no", "")}).Detail(); got != "q.yaml:4:11: no\n  4 |   - {cut: 3, fabric: sand}\n    |           ^\n  like this: - {cut: 2 1/2, fabric: bark}\n" {
		t.Error(got)
	}
	for _, unit := range []geometry.Unit{geometry.Inch, geometry.Centimetre} {
		for _, key := range wholePart.keys {
			if !strings.Contains(string(Starter(unit)), examples(unit)[key]) || len(examples(unit)[key]) < 8 {
				t.Errorf("%s: the example of %s is %q", unit, key, examples(unit)[key])
			}
		}
	}
}

// What a layout can't be.
func TestLayoutProblems(t *testing.T) {
	for _, c := range [][2]string{
		{"layout: [R L, L R]\nsetting: zigzag", "7:9: how the diamonds lie is said twice"},
		{"layout: [R L, L X]", `7:15: 'X', letter 2 of row 2, is no way for a diamond to lie`},
		{"layout: [R L R, L R]", "7:17: row 2 is 2 wide, and row 1 is 3"},
		{"layout:\n  - R L\n  - R", "9:5: row 2 is 1 wide, and row 1 is 2"},
		{"layout: []", "7:9: the repeat is empty"},
		{`layout: [""]`, "7:9: the repeat is empty"},
		{`layout: [R L, "  "]`, "7:15: row 2 is 0 wide, and row 1 is 2"},
		{"layout: R L", "7:9: a list of rows is wanted here, not a single value; write `layout: [R L, L R]`"},
		{"layout: {R: L}", "7:9: a list of rows is wanted here, not a group of keys"},
		{"layout: [[R], L]", "7:10: a row of letters is wanted here, not a list"},
		{"layout: [R,]\nangle: 45\nedge_grain: straight", "9:13: at 45 degrees an edge triangle can't be turned"},
		{"layout:" + strings.Repeat("\n- "+strings.Repeat("R", 1001), 100), "8:1: 100 rows of 1001 cells are more than 100000"},
		{"layout:", "7:1: layout has no value"},
		{"layuot: [R]", "7:1: unknown key `layuot` in the pattern itself; is `layout` meant?"},
	} {
		checkProblems(t, base+c[0]+"\n", c[1])
	}
}

// Rows in one line or on their own, letters apart or not.
func TestLayoutIsRead(t *testing.T) {
	want, err := quilt.NewLayout([]string{"RL", "lr"})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"[R L, l r]", "[RL, lr]", "\n  - R L\n  - l r", "\n- 'RL'\n- l   r"} {
		if got := parse(t, base+"layout: "+text+"\n").Spec.Layout; got != want {
			t.Errorf("%s: %v", text, got)
		}
	}
	if got := parse(t, base+"layout: [l l, R R]\n").Spec.Layout; got != quilt.Chevron {
		t.Errorf("%v, want a chevron", got)
	}
}
