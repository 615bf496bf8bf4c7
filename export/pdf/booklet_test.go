// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"html"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"pgregory.net/rapid"

	"lozenge/export/draw"
	"lozenge/export/outside"
	"lozenge/export/pdfread"
	"lozenge/geometry"
)

func blank(texts ...draw.Text) *draw.Drawing {
	return &draw.Drawing{Page: geometry.Rect{Max: geometry.Point{X: 8.5, Y: 11}}, Line: 0.01, Scale: 1, Texts: texts}
}

// Poppler finds the bookmarks, their order, depth and pages, and the author.
func TestPopplerBookmarks(t *testing.T) {
	tool, info := outside.Tool(t, "pdftohtml"), outside.Tool(t, "pdfinfo")
	tall := blank()
	tall.Page.Max.Y = 14
	d := Document{Title: "T", Author: "Möwe & Söhne", Language: "en", Pages: []*draw.Drawing{blank(), tall, blank()},
		Bookmarks: []Bookmark{{"Cover", 0, 0}, {"Cutting (1\\2) – ½", 1, 0}, {"the other lean", 1, 1}, {"tips 🧵", 2, 1}, {"Last", 2, 0}}}
	path := save(t, d)
	out := filepath.Join(t.TempDir(), "o")
	outside.Run(t, tool, "-xml", "-i", path, out)
	xml := string(outside.Run(t, outside.Tool(t, "cat"), out+".xml"))
	_, outline, _ := strings.Cut(xml, "<outline>")
	want := `
<item page="1">Cover</item>
<item page="2">Cutting (1\2) – ½</item>
<outline>
<item page="2">the other lean</item>
<item page="3">tips 🧵</item>
</outline>
<item page="3">Last</item>
</outline>`
	if !strings.HasPrefix(outline, want) {
		t.Errorf("the outline is%.600s", outline)
	}
	if got := string(outside.Run(t, info, path)); !strings.Contains(got, "Author:          Möwe & Söhne\n") {
		t.Errorf("no author:\n%s", got)
	}
	// Each leads to the top of its own page: the second is 14 in high.
	data := mustWrite(t, d)
	var tops []string
	for _, m := range regexp.MustCompile(`/XYZ 0 (\S+) null`).FindAllSubmatch(data, -1) {
		tops = append(tops, string(m[1]))
	}
	if got := strings.Join(tops, " "); got != "792 1008 1008 792 792" {
		t.Errorf("bookmarks lead to %s", got)
	}
	if !bytes.Equal(data, mustWrite(t, d)) {
		t.Error("two runs differ")
	}
}

func TestBookmarksThatLeadNowhere(t *testing.T) {
	for _, b := range [][]Bookmark{
		{{"a", 1, 0}}, {{"a", -1, 0}}, {{"a", 0, 1}}, {{"a", 0, 0}, {"b", 0, 2}}, {{"a", 0, -1}},
	} {
		var out bytes.Buffer
		if err := Write(&out, Document{Pages: []*draw.Drawing{blank()}, Bookmarks: b}); err == nil || out.Len() > 0 {
			t.Errorf("%v: %v, %d bytes", b, err, out.Len())
		}
	}
}

// Poppler finds each word as wide as it is laid out by, bold or not, and as wide as
// FreeType finds it in the fonts as they were published.
func TestTextWidthAsPopplerSeesIt(t *testing.T) {
	tool := outside.Tool(t, "pdftotext")
	words := []string{"Strip-set", "4½", "WOF,", "(10.453)", "Möwe", "illicit", "MMMM", "Qq@%&", "Kateřina", "Żółć", "İğdır", "Щёголь", "Ώρα"}
	for c := '!'; c <= '~'; c += 12 {
		all := ""
		for d := c; d < c+12 && d <= '~'; d++ {
			all += string(d)
		}
		words = append(words, all)
	}
	s := blank()
	for i, w := range words {
		for j, bold := range []bool{false, true} {
			s.Texts = append(s.Texts, draw.Text{At: geometry.Point{X: 1 + 4*float64(j), Y: 10.4 - 0.4*float64(i)}, Height: 20 * draw.GoCap / 72, Value: w, Bold: bold})
		}
	}
	out := string(outside.Run(t, tool, "-bbox", save(t, Document{Pages: []*draw.Drawing{s}}), "-"))
	found := map[bool]map[string]float64{false: {}, true: {}}
	for _, m := range regexp.MustCompile(`xMin="(\S+)" yMin="\S+" xMax="(\S+)" yMax="\S+">(.*?)</word>`).FindAllStringSubmatch(out, -1) {
		from, _ := strconv.ParseFloat(m[1], 64)
		to, _ := strconv.ParseFloat(m[2], 64)
		found[from > 200][html.UnescapeString(m[3])] = to - from
	}
	for bold, data := range map[bool][]byte{false: goregular.TTF, true: gobold.TTF} {
		published := freeTypeWidths(t, data, words)
		for i, w := range words {
			got, ok := found[bold][w]
			if want := draw.GoOf(bold).Width(w, 20*draw.GoCap); !ok || math.Abs(got-want) > 0.02 || math.Abs(got-20*published[i]) > 0.02 {
				t.Errorf("%q, bold %v, is %.3f wide, laid out as %.3f, published as %.3f", w, bold, got, want, 20*published[i])
			}
		}
	}
}

// freeTypeWidths returns how wide FreeType finds words in a font, in ems.
func freeTypeWidths(t *testing.T, font []byte, words []string) (out []float64) {
	t.Helper()
	python := outside.Python(t, "matplotlib")
	path := filepath.Join(t.TempDir(), "font.ttf")
	if err := os.WriteFile(path, font, 0o666); err != nil {
		t.Fatal(err)
	}
	said := outside.Run(t, python, append([]string{"-c", `
import sys
from matplotlib.ft2font import FT2Font, LOAD_NO_SCALE
font = FT2Font(sys.argv[1])
for word in sys.argv[2:]:
    print(sum(font.load_char(ord(c), flags=LOAD_NO_SCALE).horiAdvance for c in word) / font.units_per_EM)
`, path}, words...)...)
	for _, line := range strings.Fields(string(said)) {
		width, err := strconv.ParseFloat(line, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, width)
	}
	if len(out) != len(words) {
		t.Fatalf("%d widths of %d words", len(out), len(words))
	}
	return out
}

// Poppler reads names back as they were written, in the order of their letters,
// from fonts that the file brings along, each with its own name.
func TestPopplerReadsNames(t *testing.T) {
	names := []string{"Kateřina Żółć İğdır", "Đorđe Šišić, Łukasz Wąs", "Ægir Þór Ðóra", "Щёголь Їжак Џорџ", "Ώρα του Μαΐου", "Őszi Űr", "Ștefan Țara", "Straße & Œuvre", "2⅜″ × 4½ → 60°"}
	s := blank()
	for i, name := range names {
		s.Texts = append(s.Texts, draw.Text{At: geometry.Point{X: 1, Y: 10 - 0.6*float64(i)}, Height: 0.2, Value: name, Bold: i%2 == 1})
	}
	path := save(t, Document{Pages: []*draw.Drawing{s}})
	if got, want := string(outside.Run(t, outside.Tool(t, "pdftotext"), "-enc", "UTF-8", path, "-")), strings.Join(names, "\n")+"\n\n\f"; got != want {
		t.Errorf("read back as %q, want %q", got, want)
	}
	fonts := string(outside.Run(t, outside.Tool(t, "pdffonts"), path))
	if n := len(regexp.MustCompile(`(?m)^[A-Z]{6}\+Go(Regular|-Bold) +CID TrueType +Identity-H +yes yes yes`).FindAllString(fonts, -1)); n != 2 {
		t.Errorf("%d fonts with all they need:\n%s", n, fonts)
	}
}

// Of any text the file has the letters that there are, in their order, those of a
// font that was given too.
func TestLettersComeBack(t *testing.T) {
	more, err := draw.ParseFont(outside.Font(map[rune]rune{'夢': 'A', 'の': 'B', 'ก': 'C'}, 0))
	if err != nil {
		t.Fatal(err)
	}
	letters := draw.Fonts{More: more}
	odd := rapid.RuneFrom([]rune("夢のก ½ěŁ🌊אع\u0301\u0e31\\()<>"))
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.StringOf(rapid.OneOf(odd, rapid.Rune(), rapid.RuneFrom(nil, unicode.Latin, unicode.Greek, unicode.Cyrillic))).Draw(t, "text")
		data := mustWrite(t, Document{Letters: letters, Pages: []*draw.Drawing{blank(draw.Text{Value: value, Height: 0.1, Bold: rapid.Bool().Draw(t, "bold")})}})
		back, err := pdfread.Read(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, x := range back.Pages[0].Texts {
			got += x.Value
		}
		want, _ := draw.Spell(value, letters.Has)
		if blank := strings.NewReplacer(" ", ""); blank.Replace(got) != blank.Replace(want) { // the reader leaves blanks out
			t.Fatalf("%q comes back as %q, want %q", value, got, want)
		}
	})
}

// Lines of drawings that explain are dark grey, so that nothing takes them for
// cut lines; bold text does not change what comes after it.
func TestFiguresAndBold(t *testing.T) {
	s := blank(draw.Text{Value: "a", Height: 0.1}, draw.Text{Value: "b", Height: 0.1, Bold: true}, draw.Text{Value: "c", Height: 0.1})
	s.Paths = []draw.Path{{Role: draw.Figure, Points: []geometry.Point{{X: 1, Y: 1}, {X: 2, Y: 1}}}}
	f := read(t, mustWrite(t, Document{Pages: []*draw.Drawing{s, blank(draw.Text{Value: "d", Height: 0.1})}}))
	drawn := paths(t, f.pages[0].content)
	if len(drawn) != 1 || drawn[0].gray != "0.302" || drawn[0].dashed {
		t.Errorf("%+v", drawn)
	}
	seen := map[string]string{}
	for _, p := range f.pages {
		for _, m := range regexp.MustCompile(`Tm (/F\S+) \S+ Tf <(\w+)> Tj`).FindAllStringSubmatch(p.content, -1) {
			seen[m[1]] += " " + m[2]
		}
	}
	if want := map[string]string{"/F1": " 0001 0002 0003", "/F2": " 0001"}; !maps.Equal(seen, want) {
		t.Errorf("%v, want %v", seen, want)
	}
}
