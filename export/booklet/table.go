// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// table is figures in columns, one for each size. One with more columns than
// fit beside each other is set in parts, one below the other.
type table struct {
	key, title string
	corner     string   // above the labels
	heads      []string // of the columns
	rows       []row
	label      float64       // width of the labels, inches
	plans      []*quilt.Plan // of the columns, for rows that are told of each
}

// row is a line of a table. A row without cells is a heading inside it.
type row struct {
	label  string
	cells  []string
	swatch []string // colours before the label, as #rrggbb
	inset  bool     // it belongs to the row above
	ticks  int      // boxes to tick before the label
}

func (t *table) add(label string, cells ...string) {
	t.rows = append(t.rows, row{label: label, cells: cells})
}

const (
	cellPad   = 0.06
	mostWide  = 2.1  // of a column among more than two
	loneLabel = 0.56 // of the room: the labels beside a lone column
	swatchBox = 0.13
	insetBy   = 0.14
)

// table sets a table. Its rows are not broken; where it goes on to another
// page, its head is set again.
func (w *writer) table(t *table) {
	w.nTable++
	name := fmt.Sprintf("Table%s%d", words.Hard, w.nTable)
	w.now[t.key] = fmt.Sprintf("table%s%d", words.Hard, w.nTable)
	widest := 0.0
	for i, h := range t.heads {
		widest = max(widest, smallBold.widest(h))
		for _, r := range t.rows {
			if i < len(r.cells) {
				widest = max(widest, smallStyle.widest(r.cells[i]))
			}
		}
	}
	fit := max(int((w.room()-t.label)/(widest+2*cellPad)), 1)
	parts := (len(t.heads) + fit - 1) / fit
	for k := range parts {
		from, to := k*len(t.heads)/parts, (k+1)*len(t.heads)/parts
		part := name + "."
		if parts > 1 {
			part = fmt.Sprintf("%s, part %d of %d.", name, k+1, parts)
		}
		w.columns(t, part, from, to)
	}
}

// columns sets some columns of a table.
func (w *writer) columns(t *table, name string, from, to int) {
	n := to - from
	wide := min((w.room()-t.label)/float64(n), mostWide)
	if n <= 2 {
		wide = (w.room() - t.label) / float64(n)
	}
	s := &setTable{writer: w, table: t, from: from, to: to, wide: wide, all: t.label + float64(n)*wide}
	title := smallStyle.wrap(text{name, t.title}, w.room())
	head := s.measure(row{label: t.corner, cells: t.heads}, smallBold)
	var rows []measured
	first, whole := 0.0, 0.0
	for i, r := range t.rows {
		m := s.measure(r, smallStyle)
		if rows = append(rows, m); i < 2 {
			first += m.high
		}
		whole += m.high
	}
	above := float64(len(title))*smallStyle.line() + head.high + 4*point
	if above+whole < 0.15*(w.low()-topMargin) {
		first = whole // a small table is not broken
	}
	w.need(above + first)
	w.y = w.lines(w.left(), w.y, title, smallStyle) + 3*point
	s.head(head)
	for i, m := range rows {
		high := m.high
		if m.row.cells == nil && i+1 < len(rows) {
			high += rows[i+1].high // a heading does not end a page
		}
		if w.y+high > w.low() {
			w.breakPage()
			w.y = w.lines(w.left(), w.y, smallStyle.wrap(text{name, "(continued)"}, w.room()), smallStyle) + 3*point
			s.head(head)
		}
		s.set(m, false)
	}
	w.y += 9 * point
}

// setTable is a table on its way to the page.
type setTable struct {
	*writer
	table     *table
	from, to  int
	wide, all float64
}

// measured is a row whose texts are broken into lines.
type measured struct {
	row   row
	style style
	label [][]run
	cells [][][]run
	high  float64
}

func (s *setTable) measure(r row, st style) measured {
	m := measured{row: r, style: st}
	room := s.table.label
	if r.cells == nil {
		m.style, room = smallBold, s.all
	}
	room -= swatches(r) + ticks(r)
	if r.inset {
		room -= insetBy
	}
	m.label = m.style.wrap(say(r.label), room-2*cellPad)
	most := len(m.label)
	for i := s.from; i < s.to && i < len(r.cells); i++ {
		lines := st.wrap(say(r.cells[i]), s.wide-2*cellPad)
		m.cells = append(m.cells, lines)
		most = max(most, len(lines))
	}
	m.high = float64(most)*st.line() + 3*point
	return m
}

// swatches returns how much room the colours before a label take.
func swatches(r row) float64 {
	if len(r.swatch) == 0 {
		return 0
	}
	return float64(len(r.swatch))*swatchBox + 0.06
}

// head sets the head of a table, which one of a lone quilt needs none of.
func (s *setTable) head(m measured) {
	if m.row.cells[0] != loneHead {
		s.set(m, true)
		return
	}
	s.rule(s.y, false)
}

func (s *setTable) rule(y float64, thin bool) {
	s.page().Path(draw.Mark, false, geometry.Point{X: s.left(), Y: s.height - y}, geometry.Point{X: s.left() + s.all, Y: s.height - y}).Thin = thin
}

// ticks returns how much room the boxes to tick take.
func ticks(r row) float64 { return float64(r.ticks) * (tickBox + 0.06) }

func (s *setTable) set(m measured, head bool) {
	top := s.y
	if head {
		s.rule(top, false)
	}
	x := s.left() + cellPad
	if m.row.inset {
		x += insetBy
	}
	for i := range m.row.ticks {
		s.tick(x+float64(i)*(tickBox+0.06), top+1.5*point+m.style.line()/2)
	}
	x += ticks(m.row)
	if n := float64(len(m.row.swatch)); n > 0 {
		at := geometry.Point{X: x, Y: s.height - top - 1.5*point - (m.style.line()+swatchBox)/2}
		s.page().Swatch(at, 0, n*swatchBox, swatchBox, m.row.swatch)
	}
	x += swatches(m.row)
	s.lines(x, top+1.5*point, m.label, m.style)
	for i, c := range m.cells {
		s.lines(s.left()+s.table.label+float64(i)*s.wide+cellPad, top+1.5*point, c, m.style)
	}
	s.y = top + m.high
	s.rule(s.y, !head)
}

// rect returns a rectangle as an outline.
func rect(x0, y0, x1, y1 float64) geometry.Polygon {
	return geometry.Polygon{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}
