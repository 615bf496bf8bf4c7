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
	c.header(f, "AC1009", func() { f.tags(9, "$HANDLING", 70, 0) })
	f.section("TABLES", func() { f.tables(c) })
	f.section("BLOCKS", func() {
		for i := range c.blocks {
			f.block(c, &c.blocks[i])
		}
	})
	f.section("ENTITIES", func() {
		for i := range c.blocks {
			f.tags(0, "INSERT", 8, c.layers[0].name, 2, c.blocks[i].name)
			f.vertex(geometry.Point{})
		}
		f.group(c, &c.drawing)
	})
	f.WriteString(0, "EOF")
}

func (f *formatter) section(name string, write func()) {
	f.tags(0, "SECTION", 2, name)
	write()
	f.WriteString(0, "ENDSEC")
}

func (f *formatter) tables(c *content) {
	table := func(name string, n int, write func()) {
		f.tags(0, "TABLE", 2, name, 70, n)
		write()
		f.WriteString(0, "ENDTAB")
	}
	table("LTYPE", 2, func() {
		dash, gap := c.dashes()
		f.tags(0, "LTYPE", 2, solidLine, 70, 0, 3, "Solid line", 72, int('A'), 73, 0, 40, 0.0)
		f.tags(0, "LTYPE", 2, dashedLine, 70, 0, 3, "Dashed __ __ __ __", 72, int('A'), 73, 2, 40, dash+gap, 49, dash, 49, -gap)
	})
	table("LAYER", len(c.layers)+1, func() {
		for _, l := range append([]layer{{name: "0", colour: white}}, c.layers...) {
			line := solidLine
			if l.dashed {
				line = dashedLine
			}
			f.tags(0, "LAYER", 2, l.name, 70, 0, 62, l.colour, 6, line)
		}
	})
	table("STYLE", 1, func() {
		// No fixed height.
		f.tags(0, "STYLE", 2, textStyle, 70, 0, 40, 0.0, 41, 1.0, 50, 0.0, 71, 0, 42, c.length(0.25, 0.5), 3, "txt", 4, "")
	})
}

func (f *formatter) block(c *content, b *pieceBlock) {
	f.tags(0, "BLOCK", 8, c.layers[0].name, 2, b.name, 70, 0)
	f.vertex(geometry.Point{})
	f.WriteString(3, b.name)
	f.group(c, &b.group)
	f.tags(0, "ENDBLK", 8, c.layers[0].name)
}

func (f *formatter) group(c *content, g *group) {
	for _, l := range g.lines {
		f.line(c.layers[l.layer].name, l)
	}
	for _, d := range g.dots {
		f.tags(0, "POINT", 8, c.layers[d.layer].name)
		f.vertex(d.at)
	}
	for _, t := range g.texts {
		f.tags(0, "TEXT", 8, c.layers[t.layer].name)
		f.vertex(t.at)
		f.tags(40, t.height, 1, t.value, 50, float64(t.turn), 7, textStyle)
	}
}

func (f *formatter) line(layer string, l line) {
	if len(l.points) == 2 { // a closed line has three at least
		f.tags(0, "LINE", 8, layer)
		f.vertex(l.points[0])
		f.tags(11, l.points[1].X, 21, l.points[1].Y)
		return
	}
	closed := 0
	if l.closed {
		closed = 1
	}
	f.tags(0, "POLYLINE", 8, layer, 66, 1) // vertices follow
	f.vertex(geometry.Point{})
	f.tags(30, 0.0, 70, closed)
	for _, p := range l.points {
		f.WriteString(0, "VERTEX")
		f.WriteString(8, layer)
		f.vertex(p)
	}
	f.tags(0, "SEQEND", 8, layer)
}
