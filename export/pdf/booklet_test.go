// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/encoding/charmap"

	"lozenge/export/draw"
	"lozenge/export/outside"
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

// The measures that words are laid out by are those of the library.
func TestWidthsAreTheLibrarys(t *testing.T) {
	lib := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt"})
	for style, face := range map[string]draw.Face{"": draw.Helvetica, "B": draw.HelveticaBold} {
		lib.SetFont("Helvetica", style, 1)
		for b := 0x20; b < 0x100; b++ {
			r := charmap.Windows1252.DecodeByte(byte(b))
			if r == unicode.ReplacementChar || r == 0x7f || r == '\u00ad' {
				continue
			}
			want := lib.GetStringSymbolWidth(string([]byte{byte(b)}))
			if got := face.Width(string(r), 1000*draw.HelveticaCap); math.Abs(got-float64(want)) > 1e-9 {
				t.Errorf("%c is %v wide, not %d", r, got, want)
			}
		}
	}
}

// Poppler, which has its own metrics of the font, finds each word as wide as
// it is laid out by, bold or not.
func TestTextWidthAsPopplerSeesIt(t *testing.T) {
	tool := outside.Tool(t, "pdftotext")
	words := []string{"Strip-set", "4½", "WOF,", "(10.453)", "Möwe", "illicit", "MMMM", "Qq@%&"}
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
			s.Texts = append(s.Texts, draw.Text{At: geometry.Point{X: 1 + 4*float64(j), Y: 10 - 0.6*float64(i)}, Height: 20 * draw.HelveticaCap / 72, Value: w, Bold: bold})
		}
	}
	out := string(outside.Run(t, tool, "-bbox", save(t, Document{Pages: []*draw.Drawing{s}}), "-"))
	found := 0
	for _, m := range regexp.MustCompile(`xMin="(\S+)" yMin="\S+" xMax="(\S+)" yMax="\S+">(.*?)</word>`).FindAllStringSubmatch(out, -1) {
		from, _ := strconv.ParseFloat(m[1], 64)
		to, _ := strconv.ParseFloat(m[2], 64)
		word := html.UnescapeString(m[3])
		if want := draw.HelveticaOf(from > 200).Width(word, 20*draw.HelveticaCap); math.Abs(to-from-want) > 0.05 {
			t.Errorf("%q is %.3f wide, reckoned as %.3f", word, to-from, want)
		}
		// The widths as they were typed in for the laws of layout.
		if want := 72 * outside.Helvetica(word, 20./72*0.718, from > 200); word != "Möwe" && math.Abs(to-from-want) > 0.05 {
			t.Errorf("%q is %.3f wide, by the table %.3f", word, to-from, want)
		}
		found++
	}
	if found != 2*len(words) {
		t.Errorf("%d words of %d:\n%s", found, 2*len(words), out)
	}
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
	font, seen := "", map[string]string{}
	for _, p := range f.pages {
		for line := range strings.Lines(p.content) {
			if m := regexp.MustCompile(`BT (/F\S+) \S+ Tf ET`).FindStringSubmatch(line); m != nil {
				font = m[1]
			}
			if m := regexp.MustCompile(`\((.)\) Tj`).FindStringSubmatch(line); m != nil {
				seen[m[1]] = font
			}
		}
	}
	if seen["a"] != seen["c"] || seen["a"] != seen["d"] || seen["a"] == seen["b"] || len(seen) != 4 {
		t.Error(fmt.Sprint(seen))
	}
}
