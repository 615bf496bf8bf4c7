// SPDX-License-Identifier: Apache-2.0

package dxf

import "lozenge/geometry"

// The library cannot write R12, so this does, by the group codes of the DXF
// reference for Release 12: no handles, no subclass marks, no LWPOLYLINE.

const (
	solidLine  = "CONTINUOUS"
	dashedLine = "DASHED"
)

// formatR12 writes the whole file.
func formatR12(f *formatter, c *content) {
	c.header(f, "AC1009", func() {
		f.WriteString(9, "$HANDLING")
		f.WriteInt(70, 0)
	})
	f.section("TABLES", func() { f.tables(c) })
	f.section("BLOCKS", func() {
		for i := range c.blocks {
			f.block(c, &c.blocks[i])
		}
	})
	f.section("ENTITIES", func() {
		for i := range c.blocks {
			f.WriteString(0, "INSERT")
			f.WriteString(8, c.layers[0].name)
			f.WriteString(2, c.blocks[i].name)
			f.vertex(geometry.Point{})
		}
		f.group(c, &c.drawing)
	})
	f.WriteString(0, "EOF")
}

func (f *formatter) section(name string, write func()) {
	f.WriteString(0, "SECTION")
	f.WriteString(2, name)
	write()
	f.WriteString(0, "ENDSEC")
}

func (f *formatter) tables(c *content) {
	table := func(name string, n int, write func()) {
		f.WriteString(0, "TABLE")
		f.WriteString(2, name)
		f.WriteInt(70, n)
		write()
		f.WriteString(0, "ENDTAB")
	}
	lineType := func(name, looks string, parts ...float64) {
		f.WriteString(0, "LTYPE")
		f.WriteString(2, name)
		f.WriteInt(70, 0)
		f.WriteString(3, looks)
		f.WriteInt(72, 'A')
		f.WriteInt(73, len(parts))
		total := 0.0
		for _, p := range parts {
			total += max(p, -p)
		}
		f.WriteFloat(40, total)
		for _, p := range parts {
			f.WriteFloat(49, p)
		}
	}
	table("LTYPE", 2, func() {
		dash, gap := c.dashes()
		lineType(solidLine, "Solid line")
		lineType(dashedLine, "Dashed __ __ __ __", dash, -gap)
	})
	table("LAYER", len(c.layers)+1, func() {
		for i := -1; i < len(c.layers); i++ {
			l := layer{name: "0", colour: white}
			if i >= 0 {
				l = c.layers[i]
			}
			f.WriteString(0, "LAYER")
			f.WriteString(2, l.name)
			f.WriteInt(70, 0)
			f.WriteInt(62, l.colour)
			if l.dashed {
				f.WriteString(6, dashedLine)
			} else {
				f.WriteString(6, solidLine)
			}
		}
	})
	table("STYLE", 1, func() {
		f.WriteString(0, "STYLE")
		f.WriteString(2, textStyle)
		f.WriteInt(70, 0)
		f.WriteFloat(40, 0) // no fixed height
		f.WriteFloat(41, 1)
		f.WriteFloat(50, 0)
		f.WriteInt(71, 0)
		f.WriteFloat(42, c.length(0.25, 0.5))
		f.WriteString(3, "txt")
		f.WriteString(4, "")
	})
}

func (f *formatter) block(c *content, b *pieceBlock) {
	f.WriteString(0, "BLOCK")
	f.WriteString(8, c.layers[0].name)
	f.WriteString(2, b.name)
	f.WriteInt(70, 0)
	f.vertex(geometry.Point{})
	f.WriteString(3, b.name)
	f.group(c, &b.group)
	f.WriteString(0, "ENDBLK")
	f.WriteString(8, c.layers[0].name)
}

func (f *formatter) group(c *content, g *group) {
	for _, l := range g.lines {
		f.line(c.layers[l.layer].name, l)
	}
	for _, d := range g.dots {
		f.WriteString(0, "POINT")
		f.WriteString(8, c.layers[d.layer].name)
		f.vertex(d.at)
	}
	for _, t := range g.texts {
		f.WriteString(0, "TEXT")
		f.WriteString(8, c.layers[t.layer].name)
		f.vertex(t.at)
		f.WriteFloat(40, t.height)
		f.WriteString(1, t.value)
		f.WriteFloat(50, float64(t.turn))
		f.WriteString(7, textStyle)
	}
}

func (f *formatter) line(layer string, l line) {
	if len(l.points) == 2 { // a closed line has three at least
		f.WriteString(0, "LINE")
		f.WriteString(8, layer)
		f.vertex(l.points[0])
		f.WriteFloat(11, l.points[1].X)
		f.WriteFloat(21, l.points[1].Y)
		return
	}
	closed := 0
	if l.closed {
		closed = 1
	}
	f.WriteString(0, "POLYLINE")
	f.WriteString(8, layer)
	f.WriteInt(66, 1) // vertices follow
	f.vertex(geometry.Point{})
	f.WriteFloat(30, 0)
	f.WriteInt(70, closed)
	for _, p := range l.points {
		f.WriteString(0, "VERTEX")
		f.WriteString(8, layer)
		f.vertex(p)
	}
	f.WriteString(0, "SEQEND")
	f.WriteString(8, layer)
}
