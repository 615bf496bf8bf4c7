// SPDX-License-Identifier: Apache-2.0

package pages

import (
	"fmt"
	"slices"
	"strings"

	"lozenge/export/draw"
	"lozenge/export/words"
	"lozenge/geometry/quilt"
)

// MaxPages is the most pages that templates may take.
const MaxPages = 999

// Templates lays the strip gauge and a template of each kind of piece out on
// pages of the paper. The error is a *[TooSmallError].
//
// The calibration square is 4 in or 10 cm; where that has no room it is the
// largest whole number of inches or centimetres that has. Of the ways to
// divide a page the one that takes the fewest pages is chosen, and among
// those the one with the longest bar.
func Templates(p *quilt.Plan, paper Paper) ([]*draw.Drawing, error) {
	b, err := Lay(p.Spec.Name, []Quilt{{Plan: p}}, paper)
	if err != nil {
		return nil, err
	}
	return b.Draw(1, b.Len()), nil
}

// Quilt is one of several quilts that are cut with the same templates.
type Quilt struct {
	Name string // as "crib"; "" where there is only one
	Plan *quilt.Plan
}

// Lay lays the templates for quilts whose strip sets are alike out as
// [Templates] does, as part of a larger document; name is what the pages are
// called.
func Lay(name string, quilts []Quilt, paper Paper) (*Book, error) {
	p := quilts[0].Plan
	ts := templates(quilts)
	u := p.Spec.Unit
	tooMany := false
	for _, side := range squares(u) {
		for _, terse := range []bool{false, true} {
			var best *Book
			for _, l := range layouts(paper, u, side, terse) {
				b, ok := l.plan(p, ts)
				if !ok {
					continue
				}
				if n := len(b.leaves); n > MaxPages {
					tooMany = true
				} else if best == nil || n < len(best.leaves) || n == len(best.leaves) && l.bar > best.layout.bar {
					best = b
				}
			}
			if best != nil {
				best.name, best.plan = name, p
				return best, nil
			}
		}
	}
	e := &TooSmallError{Paper: paper, Unit: u, Why: "a calibration square, the words and a piece of the template have no room on it; take letter or a4 or a larger one, or turn it"}
	if tooMany {
		e.Why = fmt.Sprintf("the templates would take more than %d pages; take a larger one", MaxPages)
	}
	return nil, e
}

// Book is what stands on which page, before it is drawn.
type Book struct {
	layout *layout
	leaves []leaf
	name   string
	plan   *quilt.Plan // whose pieces are drawn
}

// Titles returns what is on the pages, in a few words each.
func (b *Book) Titles() []string {
	var out []string
	for _, l := range b.leaves {
		out = append(out, l.title)
	}
	return out
}

// Len returns the number of pages.
func (b *Book) Len() int { return len(b.leaves) }

// leaf is a page before it is drawn: beside its words it has parts of the
// strip gauge, a window onto a template, or more words.
type leaf struct {
	title    string
	say      func(*block) // its words
	high     float64      // what they are taken to need at least
	gauge    []part
	template *template
	grid     grid
	tile     tile
	base     float64 // height of most words, 0 for what there is room for beside the square
	more     []row
}

// plan finds out what stands on which page; ok is false when the page is too
// small for it. A book of more than [MaxPages] is not finished.
func (l *layout) plan(p *quilt.Plan, ts []template) (b *Book, ok bool) {
	b = &Book{layout: l}
	if l.terse {
		more := func(d *block) {
			d.say(large, 2, "How to print")
			for _, text := range l.proof {
				d.gap()
				d.say(small, 0, text)
			}
			d.gap()
			gaugeWords(p, d)
		}
		if !b.more("how to print", more) {
			return nil, false
		}
	}
	say := func(b *block) {
		if l.terse {
			b.say(middle, 1, "Strip gauge")
		} else {
			gaugeWords(p, b)
		}
	}
	r, ok := l.divide(l.withProof(say))
	if !ok {
		return nil, false
	}
	gauge, ok := l.gaugeRows(p, ts, r.drawing)
	if !ok {
		return nil, false
	}
	for _, parts := range gauge {
		b.leaves = append(b.leaves, leaf{title: "strip gauge", say: say, gauge: parts})
	}
	for i := range ts {
		if !b.template(p, &ts[i]) {
			return nil, false
		}
	}
	return b, true
}

// withProof returns the words of a page, and those that did not fit into the
// square: large ones where they are no higher than the square beside them.
func (l *layout) withProof(say func(*block)) *block {
	if b := l.withProofOf(say, middle); l.place == beside && b.high() <= l.square {
		return b
	}
	return l.withProofOf(say, small)
}

func (l *layout) withProofOf(say func(*block), base float64) *block {
	b := &block{unit: l.unit, room: l.textWidth(), base: base}
	say(b)
	for _, text := range l.outside {
		b.gap()
		b.say(base, 0, text)
	}
	return b
}

// more adds pages that have words where others have a drawing.
func (b *Book) more(title string, say func(*block)) bool {
	l := b.layout
	nothing := func(*block) {}
	r, ok := l.divide(l.withProof(nothing))
	if !ok {
		return false
	}
	all := &block{unit: l.unit, room: r.drawing.Width(), base: small}
	say(all)
	if all.high() > r.drawing.Height() {
		// Rather no gaps than a page for the last line.
		all.rows = slices.DeleteFunc(all.rows, func(w row) bool { return w.text == "" && w.sample == noSample })
	}
	for rows := all.rows; len(rows) > 0; {
		n, high := 0, 0.0
		for n < len(rows) && high+pitch*rows[n].height <= r.drawing.Height() {
			high += pitch * rows[n].height
			n++
		}
		if n == 0 {
			return false
		}
		b.leaves = append(b.leaves, leaf{title: title, say: nothing, more: rows[:n]})
		rows = rows[n:]
	}
	return true
}

// template adds the pages of a template.
func (b *Book) template(p *quilt.Plan, t *template) bool {
	l := b.layout
	name := words.Piece(p.Spec, t.shape, t.lean, 1)
	say := func(part string) func(*block) {
		return func(d *block) {
			if l.terse {
				t.title(p, d, part)
			} else {
				t.words(p, d, part)
			}
		}
	}
	outline := t.piece.Outline
	r, ok := l.divide(l.withProof(say("")))
	if !ok {
		return false
	}
	g := newGrid(outline, r.drawing.Width(), r.drawing.Height(), l.in(overlap))
	whole := g.cols*g.rows == 1
	high := 0.0 // of the words: all parts of a template are divided alike
	if !whole {
		text := l.withProof(say(widestPart))
		high = text.high()
		if r, ok = l.divide(text); !ok {
			return false
		}
		edge := l.in(2 * gutter)
		width, height := r.drawing.Width()-edge, r.drawing.Height()-edge
		if min(width, height) < l.in(leastWay) {
			return false
		}
		g = newGrid(outline, width, height, l.in(overlap))
		g.levels, g.clear = t.levels(), l.in(0.12)
	}
	if l.terse {
		part := ""
		if !whole {
			part = fmt.Sprintf("Rows A to %s from the top, columns 1 to %d", words.Letters(g.rows-1), g.cols)
		}
		if !b.more(name, func(d *block) { t.words(p, d, part) }) {
			return false
		}
	}
	if whole {
		w := leaf{title: name, say: say(""), template: t, grid: g, tile: g.tile(0, 0)}
		// Larger words where the template leaves room for them.
		if r, ok := l.divide(l.withProofOf(w.say, middle)); ok {
			if g := newGrid(outline, r.drawing.Width(), r.drawing.Height(), l.in(overlap)); g.cols*g.rows == 1 {
				w.base, w.grid, w.tile = middle, g, g.tile(0, 0)
			}
		}
		b.leaves = append(b.leaves, w)
		return true
	}
	// A piece fills more than a quarter of its bounding box; beyond this
	// there is no need to count.
	if max(g.cols, g.rows) > 4*MaxPages || g.cols*g.rows > 16*MaxPages {
		b.leaves = append(b.leaves, make([]leaf, MaxPages+1)...)
		return true
	}
	tiles := g.tiles()
	for _, w := range tiles {
		b.leaves = append(b.leaves, leaf{title: name + ", part " + w.name(), say: say(partWords(g, tiles, w)), high: high, template: t, grid: g, tile: w})
	}
	return true
}

// widestPart stands for the names of parts while the page is divided.
const widestPart = "Part WW88: 888 pages, rows A to WW from the top, columns 1 to 888"

// partWords says which of the tiles a page shows.
func partWords(g grid, tiles []tile, w tile) string {
	if len(tiles) > 6 {
		return fmt.Sprintf("Part %s: %d pages, rows A to %s from the top, columns 1 to %d", w.name(), len(tiles), words.Letters(g.rows-1), g.cols)
	}
	var names []string
	for _, o := range tiles {
		names = append(names, o.name())
	}
	return fmt.Sprintf("Part %s of %s", w.name(), strings.Join(names, ", "))
}

// Draw draws the pages; first is the number of the first one among all.
func (b *Book) Draw(first, all int) []*draw.Drawing {
	var out []*draw.Drawing
	l, p := b.layout, b.plan
	for i, w := range b.leaves {
		said := l.withProof(w.say)
		if w.base > 0 {
			said = l.withProofOf(w.say, w.base)
		}
		if missing := w.high - said.high(); missing > 0 {
			said.rows = append(said.rows, row{height: missing / pitch})
		}
		r, _ := l.divide(said)
		d := newDrawing(l, fmt.Sprintf("%s: %s", b.name, w.title), fmt.Sprintf("Page %d of %d at true size. Print at 100 %% and measure the calibration square.", first+i, all))
		if i == 0 || w.title != b.leaves[i-1].title {
			d.Heading = words.Capital(w.title)
		}
		d.frame(r, said, b.name+", "+w.title, first+i, all)
		switch {
		case w.gauge != nil:
			d.gauge(w.gauge, r.drawing)
		case w.template != nil:
			w.template.draw(d, w.grid, w.tile, r.drawing, p)
		default:
			d.block(r.drawing, w.more)
		}
		out = append(out, d.Drawing)
	}
	return out
}
