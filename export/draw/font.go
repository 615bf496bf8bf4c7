// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"errors"
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Font is a typeface with the outlines of its letters: what a PDF embeds and
// pixels are drawn from.
type Font struct {
	file  *sfnt.Font
	known sync.Map // of rune: letter
}

// letter is what a font has for a character.
type letter struct {
	glyph   sfnt.GlyphIndex // 0: none
	advance float64         // in ems
}

// GoCap is the height of a capital over the size of the font in the Go fonts,
// regular and bold (sCapHeight in their OS/2 tables).
const GoCap = 1480. / 2048

var goFonts = sync.OnceValue(func() (out [2]*Font) {
	for i, data := range [2][]byte{goregular.TTF, gobold.TTF} {
		file, err := sfnt.Parse(data)
		if err != nil {
			panic(err) // part of the program
		}
		out[i] = &Font{file: file}
	}
	return out
})

// GoFont returns the Go font or its bold, in which PDFs and pictures in pixels
// are lettered.
func GoFont(bold bool) *Font {
	if bold {
		return goFonts()[1]
	}
	return goFonts()[0]
}

// ParseFont reads a font, of a collection the first: TrueType or OpenType.
func ParseFont(data []byte) (*Font, error) {
	all, err := sfnt.ParseCollection(data)
	if err != nil {
		return nil, err
	}
	file, err := all.Font(0)
	if err != nil {
		return nil, err
	}
	if n := file.UnitsPerEm(); n < 16 || n > 16384 {
		return nil, fmt.Errorf("%d units make an em", n)
	}
	return &Font{file: file}, nil
}

// Has reports whether the font has a letter for a character.
func (f *Font) Has(r rune) bool { return f.letter(r).glyph != 0 }

// Advance returns how far the next letter stands behind this one, over the
// font's size.
func (f *Font) Advance(r rune) float64 { return f.letter(r).advance }

func (f *Font) letter(r rune) letter {
	if l, ok := f.known.Load(r); ok {
		return l.(letter)
	}
	var l letter
	if glyph, err := f.file.GlyphIndex(nil, r); err == nil {
		em := f.UnitsPerEm()
		if advance, err := f.file.GlyphAdvance(nil, glyph, fixed.Int26_6(em), font.HintingNone); err == nil {
			l = letter{glyph, float64(advance) / float64(em)}
		}
	}
	f.known.Store(r, l)
	return l
}

// UnitsPerEm returns in how many units of an outline the font's size is divided.
func (f *Font) UnitsPerEm() int { return int(f.file.UnitsPerEm()) }

// Outline returns the outline of a letter in units, each point's number of them
// as it is, y down.
func (f *Font) Outline(r rune) (sfnt.Segments, error) {
	segments, err := f.file.LoadGlyph(nil, f.letter(r).glyph, fixed.Int26_6(f.UnitsPerEm()), nil)
	if errors.Is(err, sfnt.ErrColoredGlyph) {
		return nil, nil
	}
	return segments, err
}

// Name returns the font's name for a PDF: letters, digits and hyphens.
func (f *Font) Name() string {
	name, _ := f.file.Name(nil, sfnt.NameIDPostScript)
	var out []byte
	for i := 0; i < len(name) && len(out) < 60; i++ {
		switch b := name[i]; {
		case b >= 'a' && b <= 'z', b >= 'A' && b <= 'Z', b >= '0' && b <= '9', b == '-':
			out = append(out, b)
		}
	}
	if len(out) == 0 {
		return "Letters"
	}
	return string(out)
}
