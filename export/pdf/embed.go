// SPDX-License-Identifier: Apache-2.0

package pdf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"lozenge/export"
	"lozenge/export/draw"
)

// embedded is a font on its way into the file: the letters that are used, each
// with a code of its own, from 1 in the order of their use.
type embedded struct {
	font  *draw.Font
	name  string // in the resources
	codes map[rune]uint16
	used  []rune
}

// encode returns a text in the font's codes, as a string in hexadecimal digits.
func (e *embedded) encode(text string) string {
	out := []byte{'<'}
	for _, r := range text {
		code, ok := e.codes[r]
		if !ok {
			e.used = append(e.used, r)
			code = uint16(len(e.used))
			e.codes[r] = code
		}
		out = fmt.Appendf(out, "%04x", code)
	}
	return string(append(out, '>'))
}

// perThousand returns a length in the font's units as PDF has it.
func (e *embedded) perThousand(units int) int {
	return int(math.Round(float64(units) * 1000 / float64(e.font.UnitsPerEm())))
}

// write adds the font's objects to the file and returns the one that pages name:
// a composite font whose codes are the glyphs of the subset (ISO 32000-1, 9.7),
// with what each of them means (9.10.3).
func (e *embedded) write(f *frame) (int, error) {
	file, box := e.trueType()
	// Another choice of letters is another font, to those who join files.
	hash := fnv.New32a()
	hash.Write([]byte(string(e.used)))
	tag := make([]byte, 6)
	for i, n := 0, hash.Sum32(); i < len(tag); i++ {
		tag[i] = 'A' + byte(n%26)
		n /= 26
	}
	name := string(tag) + "+" + e.font.Name()
	data := f.add(stream(file, fmt.Sprintf("/Length1 %d", len(file))))
	descriptor := f.add(fmt.Appendf(nil, "<</Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV 80 /FontFile2 %d 0 R>>\n",
		name, e.perThousand(box[0]), e.perThousand(box[1]), e.perThousand(box[2]), e.perThousand(box[3]), e.perThousand(box[3]), e.perThousand(box[1]), int(math.Round(1000*draw.GoCap)), data))
	widths, num := []byte{}, export.NewNumbers(3)
	for _, r := range e.used {
		widths = append(num.Append(widths, 1000*e.font.Advance(r)), ' ')
	}
	descendant := f.add(fmt.Appendf(nil, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo <</Registry (Adobe) /Ordering (Identity) /Supplement 0>> /CIDToGIDMap /Identity /FontDescriptor %d 0 R /W [1 [%s]]>>\n",
		name, descriptor, bytes.TrimSpace(widths)))
	meaning := f.add(stream(e.toUnicode(), ""))
	return f.add(fmt.Appendf(nil, "<</Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R>>\n", name, descendant, meaning)), num.Err()
}

// toUnicode says what each code means.
func (e *embedded) toUnicode() []byte {
	out := bytes.NewBufferString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n")
	const most = 100 // in one list
	for from := 0; from < len(e.used); from += most {
		part := e.used[from:min(from+most, len(e.used))]
		fmt.Fprintf(out, "%d beginbfchar\n", len(part))
		for i, r := range part {
			fmt.Fprintf(out, "<%04x> <%x>\n", from+i+1, utf16Bytes(nil, string(r)))
		}
		out.WriteString("endbfchar\n")
	}
	out.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return out.Bytes()
}

// trueType returns a font file of the used letters, with the tables that a PDF
// asks for (ISO 32000-1, 9.9; the tables themselves: OpenType 1.9), and the
// smallest and largest x and y. Hints for coarse pixels stay out.
func (e *embedded) trueType() (file []byte, box [4]int) {
	var glyf, loca, hmtx []byte
	points, contours, widest := 0, 0, 0
	em := e.font.UnitsPerEm()
	add := func(g glyph, advance float64) {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		glyf = g.append(glyf)
		units := int(math.Round(advance * float64(em)))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(units))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(g.box[0]))
		points, contours, widest = max(points, len(g.points)), max(contours, len(g.ends)), max(widest, units)
		box = [4]int{min(box[0], g.box[0]), min(box[1], g.box[1]), max(box[2], g.box[2]), max(box[3], g.box[3])}
	}
	add(glyph{}, 0.5)
	for _, r := range e.used {
		add(newGlyph(e.font.Outline(r)), e.font.Advance(r))
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	n := len(e.used) + 1

	words := func(v ...int) (out []byte) {
		for _, v := range v {
			out = binary.BigEndian.AppendUint16(out, uint16(v))
		}
		return out
	}
	head := words(1, 0, 1, 0, 0, 0, 0x5f0f, 0x3cf5, 3, em, 0, 0, 0, 0, 0, 0, 0, 0, box[0], box[1], box[2], box[3], 0, 8, 2, 1, 0)
	hhea := words(1, 0, box[3], box[1], 0, widest, 0, 0, box[2], 1, 0, 0, 0, 0, 0, 0, 0, n)
	maxp := words(1, 0, n, points, contours, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0)
	tables := []struct {
		name string
		data []byte
	}{{"glyf", glyf}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"loca", loca}, {"maxp", maxp}}

	file = words(1, 0, len(tables), 64, 2, 16*len(tables)-64)
	at := len(file) + 16*len(tables)
	var body []byte
	for _, t := range tables {
		padded := append(t.data, make([]byte, -len(t.data)&3)...)
		file = append(file, t.name...)
		for _, v := range []uint32{checksum(padded), uint32(at + len(body)), uint32(len(t.data))} {
			file = binary.BigEndian.AppendUint32(file, v)
		}
		body = append(body, padded...)
	}
	file = append(file, body...)
	// What makes the sum of the whole file 0xb1b0afba stands in head.
	adjust := binary.BigEndian.Uint32(file[12+16+8:]) + 8
	binary.BigEndian.PutUint32(file[adjust:], 0xb1b0afba-checksum(file))
	return file, box
}

func checksum(data []byte) (sum uint32) {
	for ; len(data) >= 4; data = data[4:] {
		sum += binary.BigEndian.Uint32(data)
	}
	return sum
}

// glyph is a letter as a TrueType font has it: points in units, y up, and the
// last one of each contour.
type glyph struct {
	points []glyphPoint
	ends   []int
	box    [4]int // smallest x and y, largest x and y
}

type glyphPoint struct {
	x, y  int
	curve bool // it draws the line to itself, but is not on it
}

// newGlyph takes over an outline, whose y runs down.
func newGlyph(segments sfnt.Segments) glyph {
	var g glyph
	first := 0 // of the contour
	put := func(p fixed.Point26_6, curve bool) {
		g.points = append(g.points, glyphPoint{int(p.X), -int(p.Y), curve})
	}
	finish := func() {
		// The way back to the first point goes without saying.
		if last := len(g.points) - 1; last > first && g.points[last] == g.points[first] {
			g.points = g.points[:last]
		}
		if len(g.points) > first {
			g.ends = append(g.ends, len(g.points)-1)
		}
		first = len(g.points)
	}
	var at fixed.Point26_6
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			finish()
			at = s.Args[0]
			put(at, false)
		case sfnt.SegmentOpLineTo:
			at = s.Args[0]
			put(at, false)
		case sfnt.SegmentOpQuadTo:
			put(s.Args[0], true)
			at = s.Args[1]
			put(at, false)
		case sfnt.SegmentOpCubeTo:
			for _, q := range quadratics([4]fixed.Point26_6{at, s.Args[0], s.Args[1], s.Args[2]}) {
				put(q[0], true)
				put(q[1], false)
			}
			at = s.Args[2]
		}
	}
	finish()
	for i, p := range g.points {
		if i == 0 {
			g.box = [4]int{p.x, p.y, p.x, p.y}
		}
		g.box = [4]int{min(g.box[0], p.x), min(g.box[1], p.y), max(g.box[2], p.x), max(g.box[3], p.y)}
	}
	return g
}

// quadratics returns four curves of TrueType for one of PostScript: of each, the
// point that draws it and its end. The halves of a letter's curve differ from
// them by less than a unit.
func quadratics(p [4]fixed.Point26_6) (out [4][2]fixed.Point26_6) {
	// Of the curve and of its slope, by Bernstein's polynomials.
	at := func(t float64) (x, y, dx, dy float64) {
		u := 1 - t
		for i, b := range [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t} {
			x += b * float64(p[i].X)
			y += b * float64(p[i].Y)
		}
		for i, b := range [3]float64{3 * u * u, 6 * u * t, 3 * t * t} {
			dx += b * float64(p[i+1].X-p[i].X)
			dy += b * float64(p[i+1].Y-p[i].Y)
		}
		return x, y, dx, dy
	}
	point := func(x, y float64) fixed.Point26_6 {
		return fixed.Point26_6{X: fixed.Int26_6(math.Round(x)), Y: fixed.Int26_6(math.Round(y))}
	}
	const part = 1. / 4
	for i := range out {
		x0, y0, dx0, dy0 := at(part * float64(i))
		x1, y1, dx1, dy1 := at(part * float64(i+1))
		// The mean of where the slopes at both ends lead, halfway.
		out[i][0] = point((x0+x1)/2+part*(dx0-dx1)/4, (y0+y1)/2+part*(dy0-dy1)/4)
		out[i][1] = point(x1, y1)
	}
	return out
}

// append adds the glyph to the table of glyphs; one without points has no bytes.
func (g glyph) append(out []byte) []byte {
	if len(g.points) == 0 {
		return out
	}
	word := func(v int) { out = binary.BigEndian.AppendUint16(out, uint16(v)) }
	word(len(g.ends))
	for _, v := range g.box {
		word(v)
	}
	for _, v := range g.ends {
		word(v)
	}
	word(0) // no instructions
	var flags, xs, ys []byte
	var last glyphPoint
	for _, p := range g.points {
		flag := byte(1)
		if p.curve {
			flag = 0
		}
		// Bits 1 and 4 tell how x is written, 2 and 5 y.
		delta := func(d int, to []byte, short, same byte) []byte {
			switch {
			case d == 0:
				flag |= same
			case -256 < d && d < 256:
				flag |= short
				if d > 0 {
					flag |= same
				}
				return append(to, byte(max(d, -d)))
			default:
				return binary.BigEndian.AppendUint16(to, uint16(d))
			}
			return to
		}
		xs = delta(p.x-last.x, xs, 2, 16)
		ys = delta(p.y-last.y, ys, 4, 32)
		flags, last = append(flags, flag), p
	}
	out = append(append(append(out, flags...), xs...), ys...)
	return append(out, make([]byte, -len(out)&3)...)
}
