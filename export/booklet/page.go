// SPDX-License-Identifier: Apache-2.0

package booklet

import (
	"fmt"

	"lozenge/export/draw"
	"lozenge/export/pages"
	"lozenge/export/pdf"
	"lozenge/export/words"
	"lozenge/geometry"
)

// Sizes on every page, in inches.
const (
	sideMargin   = 0.75
	topMargin    = 0.78
	bottomMargin = 0.62
	headerAt     = 0.5 // baseline, from the page's top
	lineWidth    = 1.3 * point
)

// writer puts blocks on pages, one below the other. Lengths are inches.
type writer struct {
	title         string
	width, height float64 // of the paper
	pages         []*draw.Pen
	sections      []string // of each page, for its header
	y             float64  // how far down the page is filled
	marks         []pdf.Bookmark
	figures       []figureAt
	section       string
	heading       []heading // that wait for what they stand above

	refs    map[string]string // what was said last time: "figure 3", "page 7"
	now     map[string]string
	nFigure int
	nTable  int
	nStep   int       // in the chapter
	fresh   bool      // what comes next begins a page
	whole   []*figure // that wait for a page of their own
	skip    int       // pages that others fill,
	front   int       // behind so many of these
}

// figureAt is where a figure lies, for those who check it.
type figureAt struct {
	key   string
	page  int
	box   geometry.Rect
	scale float64 // inches of paper to a unit of what is drawn
}

type heading struct {
	text  string
	style style
	level int // of the bookmark
	key   string
}

func newWriter(title string, paper pages.Paper, u geometry.Unit, refs map[string]string) *writer {
	return &writer{
		title: title, width: u.Inches(paper.Width), height: u.Inches(paper.Height),
		refs: refs, now: map[string]string{}, y: 1e9,
	}
}

// left, right: where text stands.
func (w *writer) left() float64  { return sideMargin }
func (w *writer) right() float64 { return w.width - sideMargin }
func (w *writer) room() float64  { return w.right() - w.left() }
func (w *writer) low() float64   { return w.height - bottomMargin } // measured down

// ref returns what the text calls something: "figure 3", "table 2", "page 7".
func (w *writer) ref(key string) string {
	if r, ok := w.refs[key]; ok {
		return r
	}
	return "page" + words.Hard + "0"
}

// page returns the pen for the page that is written.
func (w *writer) page() *draw.Pen { return w.pages[len(w.pages)-1] }

// breakPage begins a new page, after those that wait for the end of this one.
func (w *writer) breakPage() {
	w.wholePages()
	w.newPage()
}

// wholePages sets each figure that waits on a page of its own.
func (w *writer) wholePages() {
	waiting := w.whole
	w.whole = nil
	for _, f := range waiting {
		w.newPage()
		w.draw(f, w.left(), w.y, w.caption(f, w.room()))
		w.y = w.low()
	}
}

func (w *writer) newPage() {
	p := draw.NewPen(geometry.Inch, w.title, "")
	p.Line, p.Page.Max = lineWidth, geometry.Point{X: w.width, Y: w.height}
	w.pages = append(w.pages, p)
	w.sections = append(w.sections, w.section)
	w.y, w.fresh = topMargin, false
}

// need makes sure that so much of the page is free below what is on it,
// headings that wait included, and puts them there.
func (w *writer) need(high float64) {
	above := 0.0
	for _, h := range w.heading {
		above += h.before() + h.high(w.room())
	}
	if w.fresh || len(w.pages) == 0 || w.y+above+high > w.low()+1e-9 {
		w.breakPage()
	}
	waiting := w.heading
	w.heading = nil
	for _, h := range waiting {
		if w.y > topMargin {
			w.y += h.before()
			if h.level == 0 {
				w.sections[len(w.pages)-1] += "; " + h.text
			}
		}
		w.marks = append(w.marks, pdf.Bookmark{Title: h.text, Page: len(w.pages) - 1 + w.skip, Level: h.level})
		w.now[h.key] = fmt.Sprintf("page%s%d", words.Hard, len(w.pages)+w.skip)
		for _, l := range h.style.wrap(say(h.text), w.room()) {
			w.y += h.style.line()
			w.put(w.left(), w.y-0.28*h.style.size*point, l, h.style)
		}
		w.y += 4 * point
	}
}

func (h heading) before() float64 { return h.style.size * 0.75 * point }
func (h heading) high(room float64) float64 {
	return float64(len(h.style.wrap(say(h.text), room)))*h.style.line() + 4*point
}

// chapter begins a section that has a bookmark. It stands on a new page when
// less than share of this one is free.
func (w *writer) chapter(key, title string, share float64) {
	w.flush()
	w.section, w.nStep = title, 0
	w.fresh = w.fresh || w.y > w.low()-share*(w.low()-topMargin)
	w.heading = append(w.heading, heading{title, headStyle, 0, key})
}

// sub begins a part of a section.
func (w *writer) sub(key, title string) {
	w.flush()
	w.heading = append(w.heading, heading{title, subStyle, 1, key})
}

// flush puts down a heading that nothing followed.
func (w *writer) flush() {
	if len(w.heading) > 0 {
		w.need(0)
	}
}

// put sets a line of text with its baseline down at y.
func (w *writer) put(x, y float64, line []run, s style) {
	for _, r := range line {
		w.page().Put(draw.Text{At: geometry.Point{X: x + r.x, Y: w.height - y}, Height: s.cap(), Value: r.text, Bold: r.bold})
	}
}

// lines sets a paragraph from the top at y, at x, and returns where it ends.
func (w *writer) lines(x, y float64, lines [][]run, s style) float64 {
	for _, l := range lines {
		y += s.line()
		w.put(x, y-(s.line()-s.cap())/2, l, s)
	}
	return y
}

// para sets a paragraph across the page.
func (w *writer) para(t text) {
	lines := bodyStyle.wrap(t, w.room())
	w.need(float64(len(lines)) * bodyStyle.line())
	w.y = w.lines(w.left(), w.y, lines, bodyStyle) + 5*point
}

const bulletIndent = 0.18

// bullet sets a paragraph of a list.
func (w *writer) bullet(t text) {
	lines := bodyStyle.wrap(t, w.room()-bulletIndent)
	w.need(float64(len(lines)) * bodyStyle.line())
	w.put(w.left()+0.03, w.y+bodyStyle.line()-(bodyStyle.line()-bodyStyle.cap())/2, []run{{0, "•", false}}, bodyStyle)
	w.y = w.lines(w.left()+bulletIndent, w.y, lines, bodyStyle) + 3*point
}

// bullets sets a list whose last entry never stands on a page alone.
func (w *writer) bullets(list []text) {
	for i, t := range list {
		if i == len(list)-2 {
			high := 3 * point
			for _, last := range list[i:] {
				high += float64(len(bodyStyle.wrap(last, w.room()-bulletIndent))) * bodyStyle.line()
			}
			w.need(high)
		}
		w.bullet(t)
	}
}

// step sets the next step of a chapter; its figure, if any, stands to the
// right of it.
func (w *writer) step(t text, f *figure) { w.steps([]text{t}, f) }

const (
	stepIndent  = 0.52 // room for the box to tick and the number
	stepBetween = 3.5 * point
	tickBox     = 0.12
)

// steps sets the next steps; those that have room there stand beside a figure
// that goes with all of them, the rest below it.
func (w *writer) steps(steps []text, f *figure) {
	if f == nil {
		for _, t := range steps {
			lines := bodyStyle.wrap(t, w.room()-stepIndent)
			w.need(float64(len(lines)) * bodyStyle.line())
			w.putStep(lines)
		}
		w.y += 2 * point
		return
	}
	slot := max(f.w, 2) // so that the caption is no column of single words
	caption := w.caption(f, slot)
	high := f.h + captionGap + float64(len(caption))*captionStyle.line()
	var beside [][][]run
	text := 0.0
	for len(beside) < len(steps) && (text < 0.8*high || len(beside) == 0) {
		l := bodyStyle.wrap(steps[len(beside)], w.room()-stepIndent-slot-0.25)
		beside = append(beside, l)
		text += float64(len(l))*bodyStyle.line() + stepBetween
	}
	w.need(max(high, text))
	top := w.y
	w.draw(f, w.right()-slot, top, caption)
	for _, l := range beside {
		w.putStep(l)
	}
	w.y = max(w.y, top+high) + 4*point
	if rest := steps[len(beside):]; len(rest) > 0 {
		w.steps(rest, nil)
	}
}

// putStep sets a step with a box to tick and its number.
func (w *writer) putStep(lines [][]run) {
	w.nStep++
	w.tick(w.left()+0.02, w.y+bodyStyle.line()/2)
	w.put(w.left()+0.24, w.y+bodyStyle.line()-(bodyStyle.line()-bodyStyle.cap())/2, []run{{0, fmt.Sprintf("%d.", w.nStep), true}}, bodyStyle)
	w.y = w.lines(w.left()+stepIndent, w.y, lines, bodyStyle) + stepBetween
}

// tick draws a box to tick, its left side at x, its middle down at y.
func (w *writer) tick(x, y float64) {
	y = w.height - y
	w.page().Path(draw.Mark, true, rect(x, y-tickBox/2, x+tickBox, y+tickBox/2)...).Thin = true
}

const (
	captionGap   = 5 * point
	figuresApart = 0.3 // beside each other
)

// caption numbers a figure and breaks its words.
func (w *writer) caption(f *figure, room float64) [][]run {
	w.nFigure++
	w.now[f.key] = fmt.Sprintf("figure%s%d", words.Hard, w.nFigure)
	return captionStyle.wrap(text{fmt.Sprintf("Figure%s%d.", words.Hard, w.nFigure), f.caption}, room)
}

// draw draws a figure with its upper left corner at x and, down, y, and its
// caption below it.
func (w *writer) draw(f *figure, x, y float64, caption [][]run) {
	at := geometry.Point{X: x, Y: w.height - y - f.h}
	d := &pen{Pen: w.page(), at: at, width: f.w, scale: f.scale, origin: f.origin}
	f.draw(d)
	w.figures = append(w.figures, figureAt{f.key, len(w.pages) - 1 + w.skip, geometry.Rect{Min: at, Max: at.Add(geometry.Point{X: f.w, Y: f.h})}, f.scale})
	w.lines(x, y+f.h+captionGap, caption, captionStyle)
}

// row sets figures beside each other.
func (w *writer) row(figures ...*figure) {
	high := 0.0
	var captions [][][]run
	for _, f := range figures {
		room := f.w
		if len(figures) == 1 {
			room = max(f.w, min(w.room(), 4.5))
		}
		c := w.caption(f, room)
		captions = append(captions, c)
		high = max(high, f.h+captionGap+float64(len(c))*captionStyle.line())
	}
	if len(w.pages) > 0 && w.y > topMargin {
		w.y += 2 * point
	}
	w.need(high)
	x := w.left()
	for i, f := range figures {
		w.draw(f, x, w.y, captions[i])
		x += f.w + figuresApart
	}
	w.y += high + 7*point
}

// leave leaves room for pages that others fill; what comes next follows them.
func (w *writer) leave(n int) {
	w.flush()
	w.wholePages()
	w.front, w.skip, w.fresh = len(w.pages), n, true
}

// finish writes headers and page numbers and returns the pages; all is the number
// of those of the whole booklet.
func (w *writer) finish(all int) []*draw.Drawing {
	h := smallStyle
	var out []*draw.Drawing
	for i, p := range w.pages {
		number := i + 1
		if i >= w.front {
			number += w.skip
		}
		p.Note = fmt.Sprintf("Page %d of %d.", number, all)
		header := fmt.Sprintf("page %d of %d: %s", number, all, w.title)
		if i > 0 && w.sections[i] != "" {
			header += ", " + w.sections[i]
		}
		y := w.height - headerAt
		p.Text(geometry.Point{X: w.left(), Y: y}, h.cap(), h.shorten(header, w.room()))
		p.Path(draw.Mark, false, geometry.Point{X: w.left(), Y: y - 0.07}, geometry.Point{X: w.right(), Y: y - 0.07}).Thin = true
		out = append(out, p.Drawing)
	}
	return out
}
