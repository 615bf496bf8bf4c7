// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"cmp"
	"fmt"
	"math"

	"lozenge/export/draw"
	"lozenge/export/sheet"
	"lozenge/export/words"
	"lozenge/geometry"
)

const (
	// mapLetters is the least height of a number on a piece, in inches: the
	// capitals of 7.2 point type.
	mapLetters     = 7.2 * draw.GoCap * point
	mapLettersMost = 0.15
	mapNumbers     = 0.35 // beside the map, for the numbers of the rows
	mapCaption     = 0.75 // below it
	// mostMaps is how many pages a size may take; of a larger quilt the bottom left
	// corner is shown.
	mostMaps = 12
)

// mapsOf draws the layout of a size: on one page where the numbers on its
// pieces can then be read, else in parts that overlap, each a page.
func (c *composer) mapsOf(i int, size Size) []*figure {
	p, s := size.Plan, viewOf(size.Plan)
	page := geometry.Point{X: c.room(), Y: c.low() - topMargin - mapCaption}
	_, least := sheet.PieceLabels(p, math.Inf(1))
	// What a page shows where the lowest number can just be read.
	most := geometry.Point{X: page.X - mapNumbers - 0.02, Y: page.Y - 0.04}.Mul(least / mapLetters)
	across, up := parts(s.out.Width(), most.X, p.ColumnStep), parts(s.out.Height(), most.Y, 2*p.RowStep)
	cut := p.Columns > mostColumns || p.Rows > mostRows
	if across*up > 1 {
		s.around, s.whole, s.out = nil, false, s.shown
		across, up = parts(s.out.Width(), most.X, p.ColumnStep), parts(s.out.Height(), most.Y, 2*p.RowStep)
		if across*up > mostMaps {
			cut = true
			across = min(across, 3)
			up = min(up, mostMaps/across)
			s.out.Max.X = min(s.out.Max.X, float64(across)*(most.X-p.ColumnStep))
			s.out.Max.Y = min(s.out.Max.Y, float64(up)*(most.Y-2*p.RowStep))
		}
	}
	var out []*figure
	labels := map[float64][]draw.Text{} // by their greatest height
	for k := range across * up {
		window, name := s, ""
		if across*up > 1 {
			window.out = geometry.Rect{Min: s.out.Min.Add(geometry.Point{X: slide(s.out.Width(), most.X, k%across, across), Y: slide(s.out.Height(), most.Y, k/across, up)})}
			window.out.Max = geometry.Point{X: min(window.out.Min.X+most.X, s.out.Max.X), Y: min(window.out.Min.Y+most.Y, s.out.Max.Y)}
			window.shown = window.out
			name = fmt.Sprintf(" Part %d of %d, from the bottom left on.", k+1, across*up)
		}
		f := c.mapOf(window, page, labels)
		f.key = fmt.Sprint("map ", i)
		if !s.whole {
			f.key = fmt.Sprint("part ", i, " ", k)
		}
		f.caption = fmt.Sprintf("%s: %s of %s.%s On each piece stands the number of its %s; the rows are numbered from the bottom.",
			words.Capital(cmp.Or(size.Name, "the layout")), number(p.Rows, "row"), number(p.Columns, "diamond"), name, c.set())
		if cut {
			f.caption += " Only the bottom left corner is shown."
		}
		out = append(out, f)
	}
	return out
}

// parts is how many windows that overlap show the whole.
func parts(whole, window, overlap float64) int {
	if geometry.Fits(whole, window) {
		return 1
	}
	return int(math.Ceil((whole - overlap) / max(window-overlap, window/2)))
}

// slide is where window k of n begins.
func slide(whole, window float64, k, n int) float64 {
	if n == 1 {
		return 0
	}
	return float64(k) * (whole - window) / float64(n-1)
}

// mapOf draws what is shown of a quilt, its rows and its pieces numbered.
func (c *composer) mapOf(s view, page geometry.Point, labels map[float64][]draw.Text) *figure {
	f := c.picture(s, page.X, page.Y, mapNumbers)
	coloured := f.draw
	most := mapLettersMost / f.scale
	texts, ok := labels[most]
	if !ok {
		texts, _ = sheet.PieceLabels(s.plan, most)
		labels[most] = texts
	}
	f.draw = func(d *pen) {
		coloured(d)
		for _, t := range texts {
			if box := t.Outline(draw.Loose, 0).Bounds(); s.shown.Union(box) != s.shown {
				continue
			}
			t.At, t.Height = d.on(t.At), t.Height*d.scale
			d.Put(t)
		}
	}
	return f
}
