// SPDX-License-Identifier: Apache-2.0

package dxf

import (
	"errors"
	"io"

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

// entities is the section of what is drawn. One entity of each kind takes
// the shape of all, one after the other, instead of nine allocations for
// each.
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

func (e *entities) Format(f format.Formatter) {
	f.WriteString(0, "SECTION")
	f.WriteString(2, "ENTITIES")
	h := e.first
	poly := entity.NewLwPolyline(0)
	poly.SetOwner(e.owner)
	for _, l := range e.group.lines {
		poly.SetHandle(&h)
		poly.SetLayer(e.layers[l.layer])
		fill(poly, l.points, l.closed)
		poly.Format(f)
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

// fill gives a polyline its vertices. The library writes as many as Num
// says and panics when there are fewer, or fewer bulges.
func fill(poly *entity.LwPolyline, points []geometry.Point, closed bool) {
	for len(poly.Vertices) < len(points) {
		poly.Vertices = append(poly.Vertices, make([]float64, 2))
		poly.Bulges = append(poly.Bulges, 0)
	}
	for i, p := range points {
		poly.Vertices[i][0], poly.Vertices[i][1] = p.X, p.Y
	}
	poly.Num = len(points)
	poly.Closed = closed
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

// The rest of the library's interface: nothing here calls it.

func (f *formatter) Reset()                    { f.out = f.out[:0] }
func (f *formatter) SetPrecision(int)          {}
func (f *formatter) Output() string            { return string(f.out) }
func (f *formatter) String(int, string) string { return "" }
func (f *formatter) Hex(int, int) string       { return "" }
func (f *formatter) Int(int, int) string       { return "" }
func (f *formatter) Float(int, float64) string { return "" }
func (f *formatter) WriteTo(io.Writer) (int64, error) {
	return 0, errors.ErrUnsupported
}
