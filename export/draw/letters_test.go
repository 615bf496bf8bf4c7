// SPDX-License-Identifier: Apache-2.0

package draw_test

import (
	"testing"

	"lozenge/export/draw"
	"lozenge/export/dxf"
)

// Characters that there are not are written another way, and each is told.
func TestSpell(t *testing.T) {
	for _, c := range []struct {
		has              func(rune) bool
		text, want, told string
	}{
		{dxf.R12.Has, "2 ½″ – (A\\B) ⅜", `2 ½" – (A/B) 3/8`, "″\\⅜"},
		{dxf.R12.Has, "2⅜ “quoted” Grüße", "2 3/8 “quoted” Grüße", "⅜"},
		{dxf.R12.Has, "Dvořák Łódź žluť", "Dvorák Lódz žlut", "řŁźť"},
		{dxf.R12.Has, "夢 and 🧵", "U+5922 and ", "夢🧵"},
		{dxf.R12.Has, "a\r\n\tb\x00\x1b", "a   b", ""},
		{dxf.R12.Has, "1⁄2 5′ → ≤", "1/2 5' -> <=", "⁄′→≤"},
		{dxf.R12.Has, "e\u0301", "é", ""},
		{draw.Fonts{}.Has, "Kateřina Żółć İğdır", "Kateřina Żółć İğdır", ""},
		{draw.Fonts{}.Has, "Ώρα Щёголь, 2⅜″ → ½", "Ώρα Щёголь, 2⅜″ → ½", ""},
		{draw.Fonts{}.Has, "r\u030c, Nguyễn", "ř, Nguyên", "ễ"},
		{draw.Fonts{}.Has, "夢", "U+5922", "夢"},
		{draw.Fonts{}.Has, "\u2764\ufe0f x\u0324", " x", "\u2764\u0324"},
	} {
		text, changes := draw.Spell(c.text, c.has)
		told := ""
		for _, c := range changes {
			told += string(c.From)
		}
		if text != c.want || told != c.told {
			t.Errorf("%q: %q, told %q, want %q, %q", c.text, text, told, c.want, c.told)
		}
	}
}

// Regular and bold have the same letters: each letter of a text is in both or
// in neither.
func TestBoldHasWhatRegularHas(t *testing.T) {
	n := 0
	for r := rune(0); r < 0x20000; r++ {
		regular, bold := draw.GoFont(false).Has(r), draw.GoFont(true).Has(r)
		if regular != bold {
			t.Errorf("%q: regular %v, bold %v", r, regular, bold)
		}
		if regular {
			n++
		}
	}
	if n < 600 {
		t.Errorf("%d letters", n)
	}
}
