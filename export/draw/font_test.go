// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"bytes"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"lozenge/export/draw"
	"lozenge/export/outside"
)

// A font that can't be embedded, or not as it should be, is refused, and why.
func TestParseFontRefuses(t *testing.T) {
	whole := outside.Font(map[rune]rune{'海': 'H'}, 0)
	long := bytes.Clone(whole)
	copy(long[bytes.Index(long, []byte("fpgm"))+12:], "\x01\x00\x00\x00")
	for what, data := range map[string][]byte{
		"no TrueType":        []byte("name: quilt\n"),
		"no TrueType ":       nil,
		"cut off or":         whole[:200],
		"cut off or damaged": long,
		"font for the web":   []byte("wOF2\x00\x01\x00\x00"),
		"not allow it":       outside.Font(nil, 0x0002), // OpenType 1.9, OS/2 fsType: restricted licence
		"not allow the":      outside.Font(nil, 0x0100), // no subsetting
		"not allow the outl": outside.Font(nil, 0x0204), // bitmaps only
		"cut off or ":        bytes.Repeat([]byte("ttcf"), 9),
	} {
		if f, err := draw.ParseFont(data); err == nil || !strings.Contains(err.Error(), strings.TrimSpace(what)) || f != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, kind := range []uint16{0, 0x0004, 0x0008, 0x000a} { // preview and print, editable, the laxer of two
		if _, err := draw.ParseFont(outside.Font(nil, kind)); err != nil {
			t.Errorf("fsType %#x: %v", kind, err)
		}
	}
	// However it is cut off, it is refused and nothing worse.
	for n := 0; n < len(goregular.TTF); n += 499 {
		if _, err := draw.ParseFont(goregular.TTF[:n]); err == nil {
			t.Fatalf("%d of %d bytes are taken for the font", n, len(goregular.TTF))
		}
	}
}

func FuzzParseFont(f *testing.F) {
	f.Add(outside.Font(map[rune]rune{'海': 'H'}, 0))
	f.Add(goregular.TTF[:2000])
	f.Fuzz(func(_ *testing.T, data []byte) {
		if font, err := draw.ParseFont(data); err == nil {
			for _, r := range "Aé海א " {
				font.Has(r)
			}
			font.Name()
		}
	})
}

// A font that is given letters what the Go fonts lack, and nothing else; scripts
// whose letters change with their neighbours or run from right to left it does not.
func TestFontsHas(t *testing.T) {
	more, err := draw.ParseFont(outside.Font(map[rune]rune{'海': 'H', 'の': 'o', 'A': 'B', 'א': 'A', 'ع': 'A', 'ั': 'A', 'ก': 'A', '\u0301': 'A', 'ᄒ': 'H', '한': 'H'}, 0))
	if err != nil {
		t.Fatal(err)
	}
	fonts := draw.Fonts{More: more}
	for r, want := range map[rune]bool{'海': true, 'の': true, 'A': true, 'ź': true, '夢': false, 'א': false, 'ع': false, 'ก': true, 'ั': false, '\u0301': false, 'ᄒ': false, '한': true} {
		if got := fonts.Has(r); got != want {
			t.Errorf("%c: %v", r, got)
		}
	}
	runs := fonts.Runs("A海のź", false)
	if len(runs) != 3 || runs[0].Font != draw.GoFont(false) || runs[1] != (draw.Run{Font: more, Text: "海の"}) || runs[2].Text != "ź" {
		t.Errorf("%v", runs)
	}
}
