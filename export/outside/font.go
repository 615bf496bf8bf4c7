// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// Font returns the Go font as one of other letters, each with the outline of a
// letter that it has, and with that fsType in its OS/2 table (OpenType 1.9: cmap
// of format 12).
func Font(letters map[rune]rune, fsType uint16) []byte {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err)
	}
	var runes []rune
	for r := range letters {
		runes = append(runes, r)
	}
	slices.Sort(runes)
	be := binary.BigEndian
	cmap := be.AppendUint32(be.AppendUint16(be.AppendUint16(be.AppendUint16(be.AppendUint16(nil, 0), 1), 3), 10), 12)
	cmap = be.AppendUint16(be.AppendUint16(cmap, 12), 0)
	for _, v := range []int{16 + 12*len(runes), 0, len(runes)} {
		cmap = be.AppendUint32(cmap, uint32(v))
	}
	for _, r := range runes {
		glyph, err := font.GlyphIndex(nil, letters[r])
		if err != nil || glyph == 0 {
			panic(fmt.Sprintf("the Go font has no %c: %v", letters[r], err))
		}
		for _, v := range []uint32{uint32(r), uint32(r), uint32(glyph)} {
			cmap = be.AppendUint32(cmap, v)
		}
	}
	// The new table stands at the end; the old one goes unused.
	out := bytes.Clone(goregular.TTF)
	out = append(out, make([]byte, -len(out)&3)...)
	for i := range int(be.Uint16(out[4:])) {
		entry := out[12+16*i:][:16]
		switch string(entry[:4]) {
		case "cmap":
			be.PutUint32(entry[8:], uint32(len(out)))
			be.PutUint32(entry[12:], uint32(len(cmap)))
		case "OS/2":
			be.PutUint16(out[be.Uint32(entry[8:])+8:], fsType)
		}
	}
	return append(out, cmap...)
}
