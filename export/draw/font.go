// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

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
	has     bool
	advance float64 // in ems
	outline sfnt.Segments
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

// header is how long a font's is, in bytes; of less the library panics.
const header = 12

// ParseFont reads a font, of a collection the first: TrueType or OpenType. It
// refuses one that is cut off, and one whose maker does not want it in other
// files or only as a whole (fsType in its OS/2 table; OpenType 1.9).
func ParseFont(data []byte) (*Font, error) {
	switch kind := string(data[:min(len(data), 4)]); {
	case strings.HasPrefix(kind, "wOF"):
		return nil, errors.New("it is a font for the web; take the .ttf or .otf that it was made from")
	case len(data) < header || !slices.Contains([]string{"\x00\x01\x00\x00", "OTTO", "true", "ttcf"}, kind):
		return nil, errors.New("it is no TrueType or OpenType font (.ttf, .otf, .ttc)")
	}
	all, err := sfnt.ParseCollection(data)
	var file *sfnt.Font
	if err == nil {
		file, err = all.Font(0)
	}
	if err != nil {
		return nil, fmt.Errorf("it is cut off or damaged (%w)", err)
	}
	if n := file.UnitsPerEm(); n < 16 || n > 16384 {
		return nil, fmt.Errorf("%d units make an em in it, and not 16 to 16384", n)
	}
	if err := mayEmbed(data); err != nil {
		return nil, err
	}
	return &Font{file: file}, nil
}

// mayEmbed reads what the library doesn't: whether a font, which it has parsed, may
// be in other files.
func mayEmbed(data []byte) error {
	at := uint32(0) // of the list of tables
	if string(data[:4]) == "ttcf" {
		at = binary.BigEndian.Uint32(data[header:])
	}
	const (
		entry                 = 16
		mask, forbidden       = 0x000f, 0x0002
		wholeOnly, pixelsOnly = 0x0100, 0x0200
	)
	for i := range uint32(binary.BigEndian.Uint16(data[at+4:])) {
		e := data[at+header+entry*i:][:entry]
		from, long := binary.BigEndian.Uint32(e[8:]), binary.BigEndian.Uint32(e[12:])
		if string(e[:4]) != "OS/2" || long < 10 {
			continue
		}
		kind := binary.BigEndian.Uint16(data[from+8:])
		switch {
		case kind&mask == forbidden:
			return errors.New("its maker does not allow it in other files (fsType in its OS/2 table); take another font")
		case kind&(wholeOnly|pixelsOnly) != 0:
			return errors.New("its maker does not allow the outlines of some of its letters in other files (fsType in its OS/2 table); take another font")
		}
	}
	return nil
}

// Has reports whether the font has a letter for a character, with an outline
// that can be embedded.
func (f *Font) Has(r rune) bool { return f.letter(r).has }

// Advance returns how far the next letter stands behind this one, over the
// font's size.
func (f *Font) Advance(r rune) float64 { return f.letter(r).advance }

// Outline returns the outline of a letter in units, each point's number of them
// as it is, y down.
func (f *Font) Outline(r rune) sfnt.Segments { return f.letter(r).outline }

func (f *Font) letter(r rune) letter {
	if l, ok := f.known.Load(r); ok {
		return l.(letter)
	}
	l := f.load(r)
	f.known.Store(r, l)
	return l
}

func (f *Font) load(r rune) letter {
	// TrueType counts points and units in 16 bits; a curve of another kind becomes
	// eight points.
	const mostSegments, mostUnits = 1 << 13, 1<<15 - 1
	var buf sfnt.Buffer
	em := f.UnitsPerEm()
	glyph, err := f.file.GlyphIndex(&buf, r)
	if err != nil || glyph == 0 {
		return letter{}
	}
	advance, err := f.file.GlyphAdvance(&buf, glyph, fixed.Int26_6(em), font.HintingNone)
	if err != nil {
		return letter{}
	}
	outline, err := f.file.LoadGlyph(&buf, glyph, fixed.Int26_6(em), nil)
	if err != nil || len(outline) > mostSegments || len(outline) == 0 && !unicode.IsSpace(r) {
		return letter{}
	}
	for _, s := range outline {
		for _, p := range s.Args {
			if max(p.X, -p.X, p.Y, -p.Y) > mostUnits {
				return letter{}
			}
		}
	}
	return letter{true, float64(advance) / float64(em), outline}
}

// UnitsPerEm returns in how many units of an outline the font's size is divided.
func (f *Font) UnitsPerEm() int { return int(f.file.UnitsPerEm()) }

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
