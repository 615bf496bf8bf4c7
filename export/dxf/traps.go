// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"bytes"
	"io"
	"slices"
	"strconv"

	"github.com/yofu/dxf/block"
	"github.com/yofu/dxf/class"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/handle"
	"github.com/yofu/dxf/object"
	"github.com/yofu/dxf/table"

	"lozenge/geometry"
)

// Everything that touches the yofu/dxf library stands in this file. Its
// drawing.Drawing is not used: it shares layer 0, the text style and the line
// types with every other drawing of the process, so that building one changes
// the bytes of another and two at once are a data race. The sections are put
// together here from the library's parts, each of them new; then no lock is
// needed either.

// formatAC1015 writes the whole file.
func formatAC1015(f *formatter, c *content) {
	root := &dictionary{}
	plotStyles, normal := object.NewAcDbDictionaryWDFLT(root)
	groups := &dictionary{owner: root}
	root.add("ACAD_GROUP", groups)
	root.add("ACAD_PLOTSTYLENAME", plotStyles)

	tables, drawn, model := newTables(c, normal)
	sections := []drawing.Section{
		class.New(),
		tables,
		block.Blocks{block.NewBlock("*Model_Space", ""), block.NewBlock("*Paper_Space", "")},
		&entities{group: &c.drawing, layers: drawn, owner: model},
		object.Objects{root, plotStyles, normal, groups},
	}
	h := 1
	for _, s := range sections {
		s.SetHandle(&h)
	}
	c.header(f, "AC1015", func() {
		f.WriteString(9, "$HANDSEED")
		f.WriteHex(5, h) // the next one that is free
	})
	for _, s := range sections {
		s.Format(f)
	}
	f.WriteString(0, "EOF")
}

// newTables makes all tables that AC1015 asks for. It also returns the
// content's layers and the record of the model space, the owner of what is
// drawn.
func newTables(c *content, plotStyle handle.Handler) (table.Tables, []*table.Layer, handle.Handler) {
	tables := make(table.Tables, table.BLOCK_RECORD+1)
	for t := table.VPORT; t <= table.BLOCK_RECORD; t++ {
		tables[t] = table.NewTable(table.TableTypeString(t))
	}
	tables[table.VPORT].Add(newView(c.extents))

	solid := table.NewLineType("Continuous", "Solid line")
	dash, gap := c.dashes()
	dashed := table.NewLineType("DASHED", "Dashed __ __ __ __", dash, -gap)
	tables[table.LTYPE].Add(table.NewLineType("ByLayer", ""))
	tables[table.LTYPE].Add(table.NewLineType("ByBlock", ""))
	tables[table.LTYPE].Add(solid)
	tables[table.LTYPE].Add(dashed)

	addLayer := func(l layer) *table.Layer {
		lt := solid
		if l.dashed {
			lt = dashed
		}
		out := table.NewLayer(l.name, color.ColorNumber(l.colour), lt)
		out.SetPlotStyle(plotStyle) // without one, writing panics
		tables[table.LAYER].Add(out)
		return out
	}
	addLayer(layer{name: "0", colour: white})
	drawn := make([]*table.Layer, len(c.layers))
	for i, l := range c.layers {
		drawn[i] = addLayer(l)
	}

	style := table.NewStyle(textStyle)
	style.LastHeightUsed = c.length(0.25, 0.5)
	tables[table.STYLE].Add(style)
	tables[table.APPID].Add(table.NewAppID("ACAD"))
	tables[table.DIMSTYLE].Add(table.NewDimStyle("Standard"))

	// The library would add a second paper space that nothing refers to.
	model := table.NewBlockRecord("*Model_Space")
	tables[table.BLOCK_RECORD].Add(model)
	tables[table.BLOCK_RECORD].Add(table.NewBlockRecord("*Paper_Space"))
	return tables, drawn, model
}

// newView looks straight down on all of r. The library's default has no
// direction and no size.
func newView(r geometry.Rect) *table.Viewport {
	v := table.NewViewport("*ACTIVE")
	v.UpperRight = []float64{1, 1}
	v.ViewDirection = []float64{0, 0, 1}
	v.ViewCenter = []float64{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2}
	v.Height = max(r.Height(), r.Width()) * 1.05
	v.GridSpacing = []float64{1, 1}
	v.SnapSpacing = []float64{1, 1}
	return v
}

// entities is the section of what is drawn. There may be hundreds of thousands
// of polylines: one of the library's is written for each layer, without
// vertices, and shows the shape of all.
type entities struct {
	group  *group
	layers []*table.Layer
	owner  handle.Handler
	first  int // handle
}

func (e *entities) SetHandle(v *int) {
	e.first = *v
	*v += len(e.group.lines) + len(e.group.texts)
}

// Format writes to a *formatter of this package.
func (e *entities) Format(to format.Formatter) {
	f := to.(*formatter)
	f.tags(0, "SECTION", 2, "ENTITIES")
	h := e.first
	shapes := make([][2]polylineShape, len(e.layers))
	for i, l := range e.layers {
		shapes[i] = [2]polylineShape{e.polyline(l, false), e.polyline(l, true)}
	}
	for _, l := range e.group.lines {
		shape := &shapes[l.layer][0]
		if l.closed {
			shape = &shapes[l.layer][1]
		}
		f.out = append(f.out, shape.head...)
		f.out = appendHex(f.out, h)
		f.out = append(f.out, shape.middle...)
		f.out = strconv.AppendInt(f.out, int64(len(l.points)), 10)
		f.out = append(f.out, shape.tail...)
		for _, p := range l.points {
			f.vertex(p)
		}
		h++
	}
	text := entity.NewText()
	text.SetOwner(e.owner)
	text.Style = table.NewStyle(textStyle)
	text.WidthFactor = 1 // the library's is 0
	for _, t := range e.group.texts {
		text.SetHandle(&h)
		text.SetLayer(e.layers[t.layer])
		text.Coord1[0], text.Coord1[1] = t.at.X, t.at.Y
		text.Height = t.height
		text.Rotation = float64(t.turn)
		text.Value = t.value
		text.Format(f)
	}
	f.WriteString(0, "ENDSEC")
}

// polylineShape is what stands before the handle of a polyline, between it and
// the number of vertices, and before the first of them.
type polylineShape struct{ head, middle, tail []byte }

// polyline has the library write a polyline of no vertices, and takes it
// apart. The library would write as many vertices as Num says, and panic when
// there are fewer, or fewer bulges.
func (e *entities) polyline(l *table.Layer, closed bool) polylineShape {
	const mark = 0xABCDEF // its handle
	f := newFormatter(io.Discard)
	poly := entity.NewLwPolyline(0)
	handle := mark
	poly.SetHandle(&handle)
	poly.SetOwner(e.owner)
	poly.SetLayer(l)
	poly.Closed = closed
	poly.Format(f)
	head, rest, _ := bytes.Cut(f.out, appendHex(nil, mark))
	middle, tail, ok := bytes.Cut(rest, []byte("\r\n90\r\n0\r\n"))
	if !ok {
		panic("dxf: the library's polyline has another shape")
	}
	return polylineShape{head, slices.Concat(middle, []byte("\r\n90\r\n")), slices.Concat([]byte(lineEnd), tail)}
}

// dictionary replaces the library's, which names no owner and burns handles
// in the order of a map.
type dictionary struct {
	handle int
	owner  handle.Handler // nil for the root
	names  []string
	items  []handle.Handler
}

func (d *dictionary) add(name string, item handle.Handler) {
	d.names = append(d.names, name)
	d.items = append(d.items, item)
}

func (d *dictionary) IsObject() bool   { return true }
func (d *dictionary) Handle() int      { return d.handle }
func (d *dictionary) SetHandle(v *int) { d.handle = *v; *v++ }

func (d *dictionary) Format(f format.Formatter) {
	f.WriteString(0, "DICTIONARY")
	f.WriteHex(5, d.handle)
	owner := 0
	if d.owner != nil {
		owner = d.owner.Handle()
	}
	f.WriteHex(330, owner)
	f.WriteString(100, "AcDbDictionary")
	f.WriteInt(281, 1)
	for i, name := range d.names {
		f.WriteString(3, name)
		f.WriteHex(350, d.items[i].Handle())
	}
}

// unused is the rest of the library's interface: nothing here calls it.
type unused = format.Formatter
